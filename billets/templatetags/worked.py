"""Lengths that were worked out, to what can be measured on a blade.

No fractions and no false digits; sizes that were typed in go through `figures` instead.
"""

from django import template
from django.template import Context

from billets.drawings.side import SideView
from billets.errors import NM_PER_MM, length_words
from billets.panel.figures import length_estimate
from stock.house import House
from stock.quantities.units import length_text

register = template.Library()


@register.simple_tag(takes_context=True)
def worked(context: Context, nm: int | None) -> str:
    """{% worked nm %}: 0.535 in or 13.6 mm, as bevel.js says it too."""
    system = _system(context)
    return "" if nm is None else length_words(nm / NM_PER_MM, system=system)


@register.simple_tag(takes_context=True)
def blade_length(context: Context, drawing: SideView) -> str:
    """{% blade_length drawing %}: 9 in as entered, about 6-7/8 in where it was worked out."""
    system = _system(context)
    if not drawing.is_estimate:
        return length_text(drawing.length_nm, system=system)
    return f"about {length_estimate(drawing.length_nm / NM_PER_MM, system=system)}"


def _system(context: Context) -> str:
    house = context.get("house")
    if not isinstance(house, House):
        raise LookupError("The template has no `house`; render it with the request or pass it.")
    return house.system
