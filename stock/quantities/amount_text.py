"""Masses, temperatures and areas to words for a screen or a sheet.

Lengths are in stock.quantities.length_text, money in stock.quantities.money.

    ValueError    a system or unit that we do not have: a mistake in the program
"""

from fractions import Fraction

from stock.quantities.length_text import (
    NM_PER_IN,
    NM_PER_MM,
    decimal_words,
    other_system,
    signed_words,
)

__all__ = [
    "area_second_text",
    "area_text",
    "mass_second_text",
    "mass_text",
    "temperature_one_text",
    "temperature_second_text",
    "temperature_text",
]

UG_PER_LB, UG_PER_G = 453_592_370, 1_000_000  # international yard and pound agreement, 1959
NM2_PER_IN2, NM2_PER_MM2 = NM_PER_IN**2, NM_PER_MM**2

TENTHS_IN_LB = 160  # tenths of an ounce
POUNDS_ONLY_LB = 20  # from here on, ounces are no longer told apart
MM2_ONLY = 1_000  # square millimetres are told up to here, then cm², then m²


def mass_text(ug: int, *, system: str) -> str:
    """A mass as a scale in the shop shows it.

    Args:
        ug: mass [µg]; below 0 gets a minus sign.
        system: "inch" (pounds and ounces) or "metric".

    Returns:
        Such as "6.1 oz", "2 lb 6 oz", "20.5 lb", "4.3 g", "430 g" or "1.08 kg". Read back, it
        is the same mass within 0.05 oz below 20 lb (0.05 lb above), or within 0.5 g below 1 kg
        (5 g above).

    Raises:
        ValueError: a system that we do not have.

    Source:
        Common practice.

    >>> mass_text(1_077_281_879, system="inch")
    '2 lb 6 oz'
    """
    return signed_words(ug, _grams if other_system(system) == "inch" else _pounds)


def _pounds(ug: int) -> str:
    """Ounces under a pound, pounds and ounces up to 20 lb, then pounds to a tenth."""
    tenths = round(Fraction(ug * TENTHS_IN_LB, UG_PER_LB))
    if tenths < TENTHS_IN_LB:
        ounces = Fraction(ug * 16, UG_PER_LB)
        return f"{decimal_words(ounces, decimals=1 if ounces >= 1 else 2)} oz"
    if tenths >= TENTHS_IN_LB * POUNDS_ONLY_LB:
        return f"{decimal_words(Fraction(ug, UG_PER_LB), decimals=1)} lb"
    pounds, left = divmod(tenths, TENTHS_IN_LB)
    ounces_text = decimal_words(Fraction(left, 10), decimals=1)
    return f"{pounds} lb {ounces_text} oz" if left else f"{pounds} lb"


def _grams(ug: int) -> str:
    """Grams under a kilogram, then kilograms to a hundredth."""
    grams = Fraction(ug, UG_PER_G)
    if round(grams) >= 1000:
        return f"{decimal_words(grams / 1000, decimals=2)} kg"
    return f"{decimal_words(grams, decimals=0 if grams >= 10 else 1)} g"


def mass_second_text(ug: int, *, system: str) -> str:
    """The same mass in the system that is shown second.

    Args:
        ug: mass [µg].
        system: the system shown first.

    Returns:
        Text with its unit.
    """
    return mass_text(ug, system=other_system(system))


def temperature_one_text(mdegc: int, *, unit: str) -> str:
    """A temperature on one scale, to the degree.

    Args:
        mdegc: temperature [0.001 °C].
        unit: "F" or "C".

    Returns:
        Such as "1800 °F". Read back, it is the same temperature within half a degree.

    Raises:
        ValueError: a scale that we do not have.

    >>> temperature_one_text(1_084_620, unit="F")
    '1984 °F'
    """
    if unit not in ("F", "C"):
        raise ValueError(f"unit is '{unit}'; use F or C.")
    celsius = Fraction(mdegc, 1000)
    degrees = round(celsius if unit == "C" else celsius * 9 / 5 + 32)
    return f"{signed_words(degrees, str)} °{unit}"


def temperature_text(mdegc: int, *, first: str) -> str:
    """A temperature on both scales.

    Args:
        mdegc: temperature [0.001 °C].
        first: the scale to show first, "F" or "C".

    Returns:
        Such as "1800 °F · 982 °C".

    Raises:
        ValueError: a scale that we do not have.
    """
    one = temperature_one_text(mdegc, unit=first)
    return f"{one} · {temperature_second_text(mdegc, first=first)}"


def temperature_second_text(mdegc: int, *, first: str) -> str:
    """The same temperature on the scale that is shown second.

    Args:
        mdegc: temperature [0.001 °C].
        first: the scale shown first, "F" or "C".

    Returns:
        Text with its unit.
    """
    return temperature_one_text(mdegc, unit="C" if first == "F" else "F")


def area_text(nm2: int, *, system: str) -> str:
    """An area with about three figures.

    Args:
        nm2: area [nm²]; below 0 gets a minus sign.
        system: "inch" (in² below one square foot, then ft²) or "metric" (mm², cm², m²).

    Returns:
        Such as "0.156 in²", "1.25 ft²", "101 mm²", "80.6 cm²" or "1.2 m²".

    Raises:
        ValueError: a system that we do not have.

    Source:
        Common practice.

    >>> area_text(645_160_000_000_000, system="inch")
    '1 in²'
    """
    return signed_words(nm2, _metric_area if other_system(system) == "inch" else _inch_area)


def _inch_area(nm2: int) -> str:
    """Square inches below one square foot, then square feet."""
    square_inches = Fraction(nm2, NM2_PER_IN2)
    if square_inches < 144:
        return f"{_figures(square_inches)} in²"
    return f"{_figures(square_inches / 144)} ft²"


def _metric_area(nm2: int) -> str:
    """Square millimetres for a bar's section, then square centimetres, then square metres."""
    square_mm = Fraction(nm2, NM2_PER_MM2)
    if square_mm < MM2_ONLY:
        return f"{_figures(square_mm)} mm²"
    if square_mm < 1_000_000:
        return f"{_figures(square_mm / 100)} cm²"
    return f"{_figures(square_mm / 1_000_000)} m²"


def _figures(value: Fraction) -> str:
    """A number with about three figures, never rounding tens or more away."""
    decimals = 3 if value < 1 else 2 if value < 10 else 1 if value < 100 else 0
    return decimal_words(value, decimals=decimals)


def area_second_text(nm2: int, *, system: str) -> str:
    """The same area in the system that is shown second.

    Args:
        nm2: area [nm²].
        system: the system shown first.

    Returns:
        Text with its unit.
    """
    return area_text(nm2, system=other_system(system))
