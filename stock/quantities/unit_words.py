"""The short list of unit words that we read, and what a sentence says when one is not on it.

Left out on purpose: `mil`, which is a thousandth of an inch to some and a millimetre to others,
and yards, which no bar or roll in the trade is sold by.
"""

import re
from collections.abc import Mapping

LENGTH_ADVICE = "Write a number and in, ft, thou, mm, cm or m, such as 1-1/4 in or 32 mm."
SECTION_ADVICE = "Write sizes with x between them, such as 1/8 x 1-1/4 in or 3.2 x 32 mm."
MASS_ADVICE = "Write a number and lb, oz, kg or g, such as 2 lb 6 oz or 1.1 kg."
TEMPERATURE_ADVICE = "Write a number and F or C, such as 1800 F or 980 °C."

LENGTH_UNITS: Mapping[str, str] = {
    **dict.fromkeys(('"', "in", "inch", "inches"), "in"),
    **dict.fromkeys(("'", "ft", "foot", "feet"), "ft"),
    **dict.fromkeys(("thou", "thousandth", "thousandths"), "thou"),
    **dict.fromkeys(("mm", "millimetre", "millimetres", "millimeter", "millimeters"), "mm"),
    **dict.fromkeys(("cm", "centimetre", "centimetres", "centimeter", "centimeters"), "cm"),
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), "m"),
    **dict.fromkeys(("um", "micron", "microns"), "um"),
}
MASS_UNITS: Mapping[str, str] = {
    **dict.fromkeys(("lb", "lbs", "pound", "pounds"), "lb"),
    **dict.fromkeys(("oz", "ounce", "ounces"), "oz"),
    **dict.fromkeys(("kg", "kilo", "kilos", "kilogram", "kilograms"), "kg"),
    **dict.fromkeys(("g", "gram", "grams", "gramme", "grammes"), "g"),
    **dict.fromkeys(("mg", "milligram", "milligrams"), "mg"),
}
DEGREES: Mapping[str, str] = {
    **dict.fromkeys(("f", "°f", "° f", "deg f", "degf", "degrees f", "fahrenheit"), "F"),
    **dict.fromkeys(("c", "°c", "° c", "deg c", "degc", "degrees c", "celsius"), "C"),
}
BARE_DEGREES = frozenset({"", "°", "deg", "degrees"})  # the field says which
SYSTEMS: Mapping[str, str] = {
    **dict.fromkeys(("in", "ft", "thou"), "inch"),
    **dict.fromkeys(("mm", "cm", "m", "um"), "metric"),
}
REGISTRY_NAMES: Mapping[str, str] = {
    "in": "inch",
    "ft": "foot",
    "thou": "thou",
    "mm": "millimeter",
    "cm": "centimeter",
    "m": "meter",
    "um": "micrometer",
    "lb": "pound",
    "oz": "ounce",
    "kg": "kilogram",
    "g": "gram",
    "mg": "milligram",
    "F": "degF",
    "C": "degC",
}
FEET_AND = re.compile(r"(?P<big>[0-9]+) ?(?:'|ft\.?|foot|feet)(?: ?- ?| )?(?P<small>[.,]?[0-9].*)")
POUNDS_AND = re.compile(r"(?P<big>[0-9]+) ?(?:lbs?\.?|pounds?) ?(?P<small>[.,]?[0-9].*)")


def unit_of(word: str, units: Mapping[str, str]) -> str | None:
    """The unit that a word stands for, with or without a full stop; None when not on the list.

    Args:
        word: the word after a number, in lower case; may be empty.
        units: one of the lists of this module.

    Returns:
        The unit's short name.

    Source:
        Our own list.
    """
    return units.get(word.removesuffix("."))
