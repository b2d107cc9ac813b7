"""Text that somebody typed, made plain, and the numbers in it; no units yet.

Our own strict grammar, so that no text reaches a library that would guess. It reads `3/16`,
`1-1/2`, `1 1/2`, `½`, `1½`, `.020`, `0.5` and `1,5`. It leaves out exponents, signs and sums.

    UnitsError (ValueError)    text that we cannot read, with the sentence for the user
"""

import re
from collections.abc import Mapping
from fractions import Fraction

LONGEST_TEXT = 60  # characters; longer text is refused before anything looks at it
LONGEST_SHOWN = 24  # characters of what was typed that a sentence repeats

_SINGLE = {
    **dict.fromkeys("\u00a0\u2007\u2009\u202f\t\r\n", " "),
    **dict.fromkeys("‐‑‒–—−", "-"),
    **dict.fromkeys("′‘’ʹ´`", "'"),
    **dict.fromkeys("″“”ʺ", '"'),
    **dict.fromkeys("⁄∕", "/"),
    **dict.fromkeys("º˚", "°"),
    "×": "x",
    "µ": "u",
    "μ": "u",
    "℃": "°c",
    "℉": "°f",
}
_PLAIN = str.maketrans(_SINGLE)
_GLYPHS = {
    "½": "1/2",
    "⅓": "1/3",
    "⅔": "2/3",
    "¼": "1/4",
    "¾": "3/4",
    "⅕": "1/5",
    "⅖": "2/5",
    "⅗": "3/5",
    "⅘": "4/5",
    "⅙": "1/6",
    "⅚": "5/6",
    "⅛": "1/8",
    "⅜": "3/8",
    "⅝": "5/8",
    "⅞": "7/8",
}
_GLYPH = re.compile(
    rf"(?:(?P<before>[0-9]) ?)?(?P<glyph>[{''.join(_GLYPHS)}])(?P<after>(?=[0-9]))?"
)
_NUMBER = re.compile(
    r"(?:(?P<whole>[0-9]+)[ -])?(?P<top>[0-9]+) ?/ ?(?P<bottom>[0-9]+)"
    r"|(?P<decimal>[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+)(?![0-9.,])"
)
_GROUPED = re.compile(r"0*[1-9][0-9]*,[0-9]{3}")
_NEGATIVE = re.compile(r"- ?[0-9.,]")


class UnitsError(ValueError):
    """Text that we cannot read as what the field asks for.

    Attributes:
        given: the text as it was typed.
        problem: what is wrong with it, as a sentence.
        advice: what to write instead, as a sentence, with an example.
    """

    def __init__(self, given: str, problem: str, advice: str) -> None:
        super().__init__(f"{problem} {advice}".strip())
        self.given = given
        self.problem = problem
        self.advice = advice


def quoted(text: str) -> str:
    """The typed text as a sentence repeats it: one line, printable, cut short.

    Args:
        text: what was typed.

    Returns:
        The text in one line; an ellipsis stands for what was cut off.
    """
    head = "".join(c if c.isprintable() else " " for c in text[: LONGEST_SHOWN + 1])
    head = " ".join(head.split())
    return head if len(text) <= LONGEST_SHOWN else f"{head[:LONGEST_SHOWN]}…"


def tidy(text: str, *, advice: str) -> str:
    """Typed text in lower case, with plain quotes, dashes, fractions and single spaces.

    Args:
        text: what was typed, up to 60 characters.
        advice: the sentence that says what to write instead.

    Returns:
        The same text made plain; `1½″` becomes `1 1/2"`.

    Raises:
        UnitsError: nothing was written, or the text is too long.
    """
    if len(text) > LONGEST_TEXT:
        problem = f"'{quoted(text)}' is {len(text)} characters long; we read up to {LONGEST_TEXT}."
        raise UnitsError(text, problem, advice)
    plain = " ".join(text.translate(_PLAIN).split()).lower().replace("''", '"')
    if not plain:
        raise UnitsError(text, "Nothing was written.", advice)
    return _GLYPH.sub(_spelt_fraction, plain)


def _spelt_fraction(match: re.Match[str]) -> str:
    """A fraction sign as digits, kept apart from the digits on either side."""
    before = f"{match['before']} " if match["before"] else ""
    after = "" if match["after"] is None else " "
    return f"{before}{_GLYPHS[match['glyph']]}{after}"


def number_and_rest(plain: str, *, given: str, kind: str, advice: str) -> tuple[Fraction, str]:
    """The number at the start of tidied text, exactly, and what follows it.

    Args:
        plain: text from `tidy`.
        given: the text as it was typed, for the sentence.
        kind: what the field asks for, such as "a length".
        advice: the sentence that says what to write instead.

    Returns:
        The number, 0 or above, and the rest of the text without spaces around it.

    Raises:
        UnitsError: no number, a negative number, a fraction with 0 below the line, a mixed
            number whose fraction is 1 or more, or a comma that can mean thousands.
    """
    if _NEGATIVE.match(plain):
        raise UnitsError(given, f"'{quoted(given)}' is below 0.", advice)
    match = _NUMBER.match(plain)
    if match is None:
        raise UnitsError(given, f"'{quoted(given)}' is not {kind} we know.", advice)
    rest = plain[match.end() :].strip()
    if match["decimal"] is not None:
        return _decimal(match["decimal"], given=given, advice=advice), rest
    return _fraction(match, given=given, advice=advice), rest


def _decimal(digits: str, *, given: str, advice: str) -> Fraction:
    """A decimal with a point or a comma; `1,250` is refused, since it has two readings."""
    if _GROUPED.fullmatch(digits):
        thousands, decimal = digits.replace(",", ""), digits.replace(",", ".")
        problem = f"'{quoted(given)}' can mean {thousands} or {decimal}; write one of the two."
        raise UnitsError(given, problem, "")
    return Fraction(f"0{digits.replace(',', '.')}")


def _fraction(match: re.Match[str], *, given: str, advice: str) -> Fraction:
    """A fraction with or without a whole number before it."""
    top, bottom = int(match["top"]), int(match["bottom"])
    if bottom == 0:
        raise UnitsError(given, f"'{quoted(given)}' has 0 below the line.", advice)
    if match["whole"] is None:
        return Fraction(top, bottom)
    if top >= bottom:
        problem = f"'{quoted(given)}' has a fraction of 1 or more after a whole number."
        raise UnitsError(given, problem, advice)
    return int(match["whole"]) + Fraction(top, bottom)


def whole(exact: Fraction) -> int:
    """The nearest whole number of the small unit; a half goes to the even one.

    Args:
        exact: an exact amount in a small unit (nm, µg, thousandths of a °C).

    Returns:
        That amount as a whole number. Every form whose size is not whole in its small unit,
        such as 1/3 in, is rounded here once and nowhere else.
    """
    return round(exact)


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
    """
    return units.get(word.removesuffix("."))
