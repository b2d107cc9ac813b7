"""Shares in templates: a fraction as per cent."""

from fractions import Fraction

from django import template

from stock.money import whole_cents

register = template.Library()


@register.simple_tag
def percent(share: Fraction | float | None) -> str:
    """{% percent share %}: 41.7 %; a half goes away from nought, what is not known is a dash."""
    if share is None:
        return "–"
    return f"{whole_cents(Fraction(share) * 1000) / 10:.1f} %".replace("-", "−")
