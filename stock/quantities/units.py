"""Typed text to exact whole numbers: lengths, sections, masses and temperatures.

The only place with a unit registry. Text is matched by our own grammar against a short list of
units, to a `Fraction`, and converted only then; raw text never reaches the registry, which reads `1
1/2 in` as half an inch and hangs on a power tower. What `stock.quantities.amounts`,
`stock.quantities.length_text` and `stock.quantities.amount_text` give can be had from here too, and
UnitsError of `stock.quantities.typed_text`.
"""

import re
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING

from stock.quantities import gauges
from stock.quantities.amount_text import area_second_text as area_second_text
from stock.quantities.amount_text import area_text as area_text
from stock.quantities.amount_text import mass_second_text as mass_second_text
from stock.quantities.amount_text import mass_text as mass_text
from stock.quantities.amount_text import temperature_one_text as temperature_one_text
from stock.quantities.amount_text import temperature_second_text as temperature_second_text
from stock.quantities.amount_text import temperature_text as temperature_text
from stock.quantities.amounts import count as count
from stock.quantities.amounts import money_cents as money_cents
from stock.quantities.amounts import seconds as seconds
from stock.quantities.length_text import field_text as field_text
from stock.quantities.length_text import length_second_text as length_second_text
from stock.quantities.length_text import length_text as length_text
from stock.quantities.length_text import other_system as other_system
from stock.quantities.length_text import section_as_sold as section_as_sold
from stock.quantities.length_text import section_second_text as section_second_text
from stock.quantities.length_text import section_text as section_text
from stock.quantities.typed_text import (
    BARE_DEGREES,
    DEGREES,
    FEET_AND,
    LENGTH_ADVICE,
    LENGTH_UNITS,
    MASS_ADVICE,
    MASS_UNITS,
    POUNDS_AND,
    REGISTRY_NAMES,
    SECTION_ADVICE,
    SYSTEMS,
    TEMPERATURE_ADVICE,
    number_and_rest,
    quoted,
    tidy,
    unit_of,
    whole,
)
from stock.quantities.typed_text import UnitsError as UnitsError

if TYPE_CHECKING:
    import pint

LONGEST_NM = 100_000_000_000  # 100 m: longer than any bar or roll that a workshop keeps
HEAVIEST_UG = 10_000_000_000_000  # 10 t
COLDEST_MDEGC, HOTTEST_MDEGC = -200_000, 3_000_000  # liquid nitrogen to above any forge
MOST_SIZES = 3  # thickness, width and length

_GROUPED_DEGREES = re.compile(r"([1-9]),([0-9]{3})(?![0-9.,])")
_TIMES = re.compile(r" ?(?:x|\*|\bby\b) ?")
_WORD = re.compile(r"[a-z\"'].*")


@cache
def _registry() -> "pint.UnitRegistry[Fraction]":
    """The only registry, made when first needed: it takes close to half a second."""
    import pint

    return pint.UnitRegistry(non_int_type=Fraction)


def _converted(number: Fraction, *, unit: str, to: str) -> Fraction:
    """A number of one unit in another, exactly."""
    quantity = _registry().Quantity(number, REGISTRY_NAMES[unit])
    return Fraction(quantity.to(to).magnitude)


@cache
def _nm_in(unit: str) -> Fraction:
    """Nanometres in one of a unit of length."""
    return _converted(Fraction(1), unit=unit, to="nanometer")


@cache
def _ug_in(unit: str) -> Fraction:
    """Micrograms in one of a unit of mass."""
    return _converted(Fraction(1), unit=unit, to="microgram")


def length_nm(text: str, *, unit: str, gauge: str | None = None, zero_ok: bool = False) -> int:
    """A typed length in whole nanometres.

    Reads 3/16, 1-1/2 in, 1 1/2", ½ in, 10'6", 10 ft 6 in, .020, 20 thou, 0.5mm, 1,5 mm; 18 ga
    and 16 oz only with a gauge table. A size that is not whole nanometres goes to the nearest.

    Args:
        text: what was typed, up to 60 characters.
        unit: what a bare number means: "in", "ft", "thou", "mm", "cm", "m" or "um".
        gauge: the table that the material names: "awg", "msg", "copper-oz" or None.
        zero_ok: whether 0 is a sensible answer, as for the kerf of a shear.

    Returns:
        Length [nm], above 0 (or 0 where that is allowed) and up to 100 m.

    Raises:
        UnitsError: not a length, not above 0, longer than 100 m, or a gauge without a table.

    Source:
        International yard and pound agreement, 1959: 1 in = 25.4 mm exactly.

    >>> length_nm("1 1/2", unit="in")
    38100000
    """
    plain = tidy(text, advice=LENGTH_ADVICE)
    return _length_nm(plain, given=text, unit=unit, gauge=gauge, zero_ok=zero_ok)


def _length_nm(plain: str, *, given: str, unit: str, gauge: str | None, zero_ok: bool) -> int:
    """A tidied length in whole nanometres, checked against its limits."""
    exact_nm = _exact_nm(plain, given=given, unit=unit, gauge=gauge)
    if exact_nm > LONGEST_NM:
        problem = f"'{quoted(given)}' is longer than 100 m (328 ft), the longest we take."
        raise UnitsError(given, problem, "Check the number and its unit.")
    length = whole(exact_nm)
    if length == 0 and not (zero_ok and exact_nm == 0):
        problem = "not above 0" if exact_nm == 0 else "less than a millionth of a millimetre"
        raise UnitsError(given, f"'{quoted(given)}' is {problem}.", LENGTH_ADVICE)
    return length


def _exact_nm(plain: str, *, given: str, unit: str, gauge: str | None) -> Fraction:
    """A tidied length, exactly, before any limit."""
    thickness_in = gauges.thickness_in(plain, given=given, table=gauge)
    if thickness_in is not None:
        return thickness_in * _nm_in("in")
    feet_and = FEET_AND.fullmatch(plain)
    if feet_and is not None:
        inches = _inches_after_feet(feet_and["small"], given=given)
        return int(feet_and["big"]) * _nm_in("ft") + inches * _nm_in("in")
    number, word = _length_number(plain, given=given)
    if word in gauges.OUNCE_WORDS:
        return gauges.copper_in(number, given=given, table=gauge) * _nm_in("in")
    name = unit_of(word, LENGTH_UNITS) if word else unit
    if name is None:
        raise UnitsError(given, f"'{quoted(given)}' is not a length we know.", LENGTH_ADVICE)
    return number * _nm_in(name)


def _length_number(plain: str, *, given: str) -> tuple[Fraction, str]:
    """The number at the start of a length, and the word after it."""
    return number_and_rest(plain, given=given, kind="a length", advice=LENGTH_ADVICE)


def _inches_after_feet(plain: str, *, given: str) -> Fraction:
    """The inches in `10 ft 6 in` or `10'6`: under 12, with or without their unit."""
    number, word = _length_number(plain, given=given)
    if word and unit_of(word, LENGTH_UNITS) != "in":
        raise UnitsError(given, f"'{quoted(given)}' is not a length we know.", LENGTH_ADVICE)
    if number >= 12:
        problem = f"'{quoted(given)}' has 12 in or more after the feet."
        raise UnitsError(given, problem, "Write it as 10 ft 6 in, or all in inches.")
    return number


def section_nm(text: str, *, unit: str, gauge: str | None = None) -> tuple[int, ...]:
    """Typed sizes with x, ×, * or "by" between them, in whole nanometres.

    A bare number takes the next unit to its right, else the field's unit. Where that would mix
    inches and millimetres without saying so, the text is refused.

    Args:
        text: what was typed, such as 1/8 x 1-1/4", 3.2 × 32 mm, 20 thou x 6 in.
        unit: what a bare number means, as for `length_nm`.
        gauge: the table that the material names, as for `length_nm`.

    Returns:
        One to three sizes [nm] in the order they were written, each above 0.

    Raises:
        UnitsError: as for `length_nm`, more than three sizes, or a bare number that could be
            of either system.

    >>> section_nm("3.2 × 32 mm", unit="in")
    (3200000, 32000000)
    """
    parts = _TIMES.split(tidy(text, advice=SECTION_ADVICE))
    if not all(parts) or len(parts) > MOST_SIZES:
        raise UnitsError(text, f"'{quoted(text)}' is not a section we know.", SECTION_ADVICE)
    named = [_unit_named(part) for part in parts]
    units = [_unit_meant(named[at:], field=unit) for at in range(len(parts))]
    for part, name, meant in zip(parts, named, units, strict=True):
        if name == "" and _is_doubtful(part, meant=meant, named=named):
            problem = f"'{part}' has no unit in '{quoted(text)}', which could be in or mm."
            raise UnitsError(text, problem, "Write a unit after each size.")
    return tuple(
        _length_nm(part, given=text, unit=meant, gauge=gauge, zero_ok=False)
        for part, meant in zip(parts, units, strict=True)
    )


def _unit_named(part: str) -> str | None:
    """The unit that a size names: "" for a bare number, None for a gauge or a stranger."""
    if FEET_AND.fullmatch(part):
        return "in"
    word = _WORD.search(part)
    return unit_of(word[0], LENGTH_UNITS) if word else ""


def _unit_meant(named: list[str | None], *, field: str) -> str:
    """The unit of the first of some sizes: its own, or the next one to its right."""
    return next((name for name in named if name), field)


def _is_doubtful(part: str, *, meant: str, named: list[str | None]) -> bool:
    """Whether a bare size could be of either system: inches beside mm, or 1/8 of a mm."""
    systems = {SYSTEMS[name] for name in named if name}
    is_fraction_of_mm = bool(systems) and "/" in part and SYSTEMS[meant] == "metric"
    return is_fraction_of_mm or bool(systems - {SYSTEMS[meant]})


def mass_ug(text: str, *, unit: str, zero_ok: bool = False) -> int:
    """A typed mass in whole micrograms.

    Args:
        text: what was typed, such as 2 lb 6 oz, 1-1/2 lb, 0.5 kg or 430 g.
        unit: what a bare number means: "lb", "oz", "kg", "g" or "mg".
        zero_ok: whether 0 is a sensible answer, as for an empty spool.

    Returns:
        Mass [µg], above 0 (or 0 where that is allowed) and up to 10 t.

    Raises:
        UnitsError: not a mass, not above 0, or above 10 t.

    Source:
        International yard and pound agreement, 1959: 1 lb = 0.45359237 kg exactly.

    >>> mass_ug("2 lb 6 oz", unit="kg")
    1077281879
    """
    exact_ug = _exact_ug(tidy(text, advice=MASS_ADVICE), given=text, unit=unit)
    if exact_ug > HEAVIEST_UG:
        problem = f"'{quoted(text)}' is above 10 t (22,046 lb), the heaviest we take."
        raise UnitsError(text, problem, "Check the number and its unit.")
    mass = whole(exact_ug)
    if mass == 0 and not (zero_ok and exact_ug == 0):
        raise UnitsError(text, f"'{quoted(text)}' is not above 0.", MASS_ADVICE)
    return mass


def _exact_ug(plain: str, *, given: str, unit: str) -> Fraction:
    """A tidied mass, exactly, before any limit."""
    pounds_and = POUNDS_AND.fullmatch(plain)
    start = pounds_and["small"] if pounds_and else plain
    number, word = number_and_rest(start, given=given, kind="a mass", advice=MASS_ADVICE)
    name = unit_of(word, MASS_UNITS) if word or pounds_and else unit
    if name is None or (pounds_and and (name != "oz" or number >= 16)):
        raise UnitsError(given, f"'{quoted(given)}' is not a mass we know.", MASS_ADVICE)
    pounds = int(pounds_and["big"]) if pounds_and else 0
    return pounds * _ug_in("lb") + number * _ug_in(name)


def temperature_mdegc(text: str, *, unit: str) -> int:
    """A typed temperature in whole thousandths of a degree Celsius.

    Args:
        text: what was typed, such as 1800 F, 1,800 °F, 980 °C or -73 C.
        unit: what a bare number means: "F" or "C".

    Returns:
        Temperature [0.001 °C], from -200 °C to 3000 °C.

    Raises:
        UnitsError: not a temperature, or outside those limits.

    >>> temperature_mdegc("1800 F", unit="C")
    982222
    """
    plain = tidy(text, advice=TEMPERATURE_ADVICE)
    sign = -1 if plain.startswith("-") else 1
    # Nobody writes thousandths of a degree: a comma before three digits marks thousands.
    bare = _GROUPED_DEGREES.sub(r"\1\2", plain.removeprefix("-").lstrip(), count=1)
    number, word = number_and_rest(
        bare, given=text, kind="a temperature", advice=TEMPERATURE_ADVICE
    )
    name = unit if word in BARE_DEGREES else unit_of(word, DEGREES)
    if name is None:
        problem = f"'{quoted(text)}' is not a temperature we know."
        raise UnitsError(text, problem, TEMPERATURE_ADVICE)
    mdegc = whole(_converted(sign * number, unit=name, to="degC") * 1000)
    if not COLDEST_MDEGC <= mdegc <= HOTTEST_MDEGC:
        problem = f"'{quoted(text)}' is outside -200 to 3000 °C (-328 to 5432 °F)."
        raise UnitsError(text, problem, TEMPERATURE_ADVICE)
    return mdegc
