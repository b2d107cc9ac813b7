"""Figures in templates, in the units, language and roles that the shop has set.

Each tag reads `house` from the context, so that no template chooses a unit. A figure that is
not known (None) prints nothing; money prints nothing to anybody who may not see it.
"""

from django import template
from django.template import Context
from django.utils.html import format_html

from stock.house import House
from stock.quantities import units
from stock.quantities.money import money_text, round_money_text

register = template.Library()


def _house(context: Context) -> House:
    """The shop's settings; without them a figure would silently get the wrong unit."""
    house = context.get("house")
    if not isinstance(house, House):
        raise LookupError("The template has no `house`; render it with the request or pass it.")
    return house


def _known(sizes: tuple[int | None, ...]) -> list[int]:
    """The sizes that are known."""
    return [nm for nm in sizes if nm is not None]


@register.simple_tag(takes_context=True)
def length(context: Context, nm: int | None, style: str = "fraction") -> str:
    """{% length nm %} or {% length nm "thou" %}: 1-1/4 in."""
    house = _house(context)
    return "" if nm is None else units.length_text(nm, system=house.system, style=style)


@register.simple_tag(takes_context=True)
def lengths(context: Context, *nms: int | None) -> str:
    """{% lengths thickness width %}: 1/8 × 1-1/4 in; sizes that are None are left out."""
    house = _house(context)
    known = _known(nms)
    return units.section_text(known, system=house.system) if known else ""


@register.simple_tag(takes_context=True)
def section(context: Context, *nms: int | None) -> str:
    """{% section thickness width %}: stock in the system that it was rolled to."""
    house = _house(context)
    known = _known(nms)
    return units.section_as_sold(known, system=house.system) if known else ""


@register.simple_tag(takes_context=True)
def second(context: Context, *nms: int | None) -> str:
    """{% second nm %} or {% second thickness width %}: the other system, small."""
    house = _house(context)
    known = _known(nms)
    if not known:
        return ""
    text = units.section_second_text(known, system=house.system)
    return format_html('<small class="second">{}</small>', text)


@register.simple_tag(takes_context=True)
def mass(context: Context, ug: int | None) -> str:
    """{% mass ug %}: 2 lb 6 oz."""
    house = _house(context)
    return "" if ug is None else units.mass_text(ug, system=house.system)


@register.simple_tag(takes_context=True)
def area(context: Context, nm2: int | None) -> str:
    """{% area nm2 %}: 1.25 ft²."""
    house = _house(context)
    return "" if nm2 is None else units.area_text(nm2, system=house.system)


@register.simple_tag(takes_context=True)
def temperature(context: Context, mdegc: int | None) -> str:
    """{% temperature mdegc %}: 1800 °F · 982 °C, the shop's scale first."""
    first = _house(context).temperature_unit
    return "" if mdegc is None else units.temperature_text(mdegc, first=first)


@register.simple_tag(takes_context=True)
def money(context: Context, cents: int | None) -> str:
    """{% money cents %}: $12.50, −$0.50; nothing at all where the person sees no money."""
    house = _house(context)
    if cents is None or not house.sees_money:
        return ""
    return money_text(cents, currency=house.currency, locale=house.locale).replace("-", "−")


@register.simple_tag(takes_context=True)
def round_money(context: Context, cents: int | None) -> str:
    """{% round_money cents %}: $1,250 on an axis; nothing where the person sees no money."""
    house = _house(context)
    if cents is None or not house.sees_money:
        return ""
    text = round_money_text(cents, currency=house.currency, locale=house.locale)
    return text.replace("-", "−")
