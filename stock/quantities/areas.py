"""A typed area in whole square nanometres, and an area as it can be typed again.

It reads `2 ft²`, `2 sq ft`, `300 in2`, `0.25 m²`, and a rectangle such as `12 × 24 in`. Areas
for reading are in `stock.quantities.units.area_text`.
"""

import re
from fractions import Fraction

from stock.quantities import units
from stock.quantities.typed_text import UnitsError, number_and_rest, quoted, tidy
from stock.quantities.units import section_nm

ADVICE = "Write an area such as 2 ft² or 0.2 m², or a rectangle such as 12 × 24 in."
MOST_NM2 = 9 * 10**18  # what 64 bits hold: 9 m²
SIDES_NM = {
    "in": 25_400_000,
    "ft": 304_800_000,
    "mm": 10**6,
    "cm": 10**7,
    "m": 10**9,
}
_UNIT = re.compile(r"(?:sq\.? ?(?P<a>in|ft|mm|cm|m)|(?P<b>in|ft|mm|cm|m) ?(?:²|2|\^2))")


def area_nm2(text: str, *, unit: str) -> int:
    """A typed area in whole square nanometres.

    Args:
        text: what was typed, up to 60 characters.
        unit: what the bare sizes of a rectangle mean: "in" or "mm".

    Returns:
        Area [nm²], above 0 and up to 9 m².

    Raises:
        UnitsError: not an area, not above 0, or above 9 m².

    Source:
        International yard and pound agreement, 1959: 1 in = 25.4 mm exactly.

    >>> area_nm2("2 sq ft", unit="in")
    185806080000000000
    """
    plain = tidy(text, advice=ADVICE)
    is_rectangle = any(sign in plain for sign in ("x", "*", " by "))
    area = _rectangle(text, unit=unit) if is_rectangle else _number(plain, text)
    if area > MOST_NM2:
        problem = f"'{quoted(text)}' is above 9 m² (96 ft²), the most we take."
        raise UnitsError(text, problem, "Check the number and its unit.")
    if area <= 0:
        raise UnitsError(text, f"'{quoted(text)}' is not above 0.", ADVICE)
    return area


def _rectangle(text: str, *, unit: str) -> int:
    sizes = section_nm(text, unit=unit)
    if len(sizes) != 2:
        raise UnitsError(text, f"'{quoted(text)}' has {len(sizes)} sizes.", ADVICE)
    return sizes[0] * sizes[1]


def _number(plain: str, given: str) -> int:
    number, rest = number_and_rest(plain, given=given, kind="an area", advice=ADVICE)
    match = _UNIT.fullmatch(rest)
    if match is None:
        raise UnitsError(given, f"'{quoted(given)}' is not an area we know.", ADVICE)
    side = SIDES_NM[match["a"] or match["b"]]
    return round(number * side * side)


def area_field_text(nm2: int, *, system: str) -> str:
    """An area so that it reads back exactly, in the largest unit with few digits.

    Args:
        nm2: area [nm²], above 0.
        system: "inch" or "metric".

    Returns:
        Such as "1.5 ft²" or "0.25 m²"; square millimetres where nothing shorter is exact.

    >>> area_field_text(139_354_560_000_000_000, system="inch")
    '1.5 ft²'
    """
    for unit in ("ft", "in") if system == "inch" else ("m", "cm"):
        value = Fraction(nm2, SIDES_NM[unit] ** 2)
        scaled = value * 10**4
        if scaled.denominator == 1:
            return f"{_decimal(scaled.numerator, places=4)} {unit}²"
    return f"{_decimal(nm2, places=12)} mm²"


def _decimal(units: int, *, places: int) -> str:
    text = f"{units // 10**places}.{units % 10**places:0{places}d}"
    return text.rstrip("0").rstrip(".")


def amount_text(amount: int, *, form: str, system: str = "both", style: str = "fraction") -> str:
    """An amount in the unit of its form.

    Args:
        amount: nm for bars and rolls, nm² for sheets, µg for wire, a count otherwise.
        form: "flat", "round", "roll", "sheet", "wire" or "counted".
        system: "inch", "metric", or "both" for "12 in (304.8 mm)".
        style: of a length, as for `units.length_text`; "rack" is for a glance.

    Returns:
        Text with its unit.
    """
    if system == "both":
        first = amount_text(amount, form=form, system="inch", style=style)
        second = amount_text(amount, form=form, system="metric", style=style)
        return first if first == second else f"{first} ({second})"
    if form in ("flat", "round", "roll"):
        return units.length_text(amount, system=system, style=style)
    if form == "sheet":
        return units.area_text(amount, system=system)
    if form == "wire":
        return units.mass_text(amount, system=system)
    return f"{amount:,}"
