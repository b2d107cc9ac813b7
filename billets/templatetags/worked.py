"""Lengths that were worked out, to what can be measured on a blade.

No fractions and no false digits; sizes that were typed in go through `figures` instead.
"""

from django import template
from django.template import Context

from billets.errors import NM_PER_MM, length_words
from stock.house import House

register = template.Library()


@register.simple_tag(takes_context=True)
def worked(context: Context, nm: int | None) -> str:
    """{% worked nm %}: 0.535 in or 13.6 mm, as bevel.js says it too."""
    house = context.get("house")
    if not isinstance(house, House):
        raise LookupError("The template has no `house`; render it with the request or pass it.")
    return "" if nm is None else length_words(nm / NM_PER_MM, system=house.system)
