"""Shares and months in templates: a fraction as per cent, a month as it is said."""

from datetime import date
from fractions import Fraction

from django import template
from django.template import Context
from django.utils.dateformat import format as date_format

from stock.house import House
from stock.quantities.money import decimal_mark, whole_cents

register = template.Library()


@register.simple_tag(takes_context=True)
def percent(context: Context, share: Fraction | float | None) -> str:
    """{% percent share %}: 41.7 %; a half goes away from nought, what is not known is a dash.

    The decimal mark is that of the shop's language, as in its money.
    """
    if share is None:
        return "–"
    house = context.get("house")
    mark = decimal_mark(house.locale) if isinstance(house, House) else "."
    text = f"{whole_cents(Fraction(share) * 1000) / 10:.1f} %"
    return text.replace("-", "−").replace(".", mark)


@register.filter
def month_words(name: str) -> str:
    """{{ "2026-07"|month_words }}: Jul 2026; what is no month stays as it is."""
    try:
        return date_format(date.fromisoformat(f"{name}-01"), "M Y")
    except ValueError:
        return name
