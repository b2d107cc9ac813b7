"""Gauge tables: what thickness a gauge number or a sheet weight stands for.

Three tables, and a gauge number is read only where a material names one of them, because the
same number means different thicknesses: 18 ga is 0.0403 in by AWG and 0.0478 in by the US
Manufacturers' Standard. Nominal thicknesses; what a mill delivers has a tolerance on top.

    UnitsError (ValueError)    see stock.quantities.typed_text
"""

import re
from fractions import Fraction

from stock.quantities.typed_text import UnitsError, quoted

AWG = "awg"
MSG = "msg"
COPPER_OZ = "copper-oz"
TABLES = (AWG, MSG, COPPER_OZ)
NAMES = {
    AWG: "American Wire Gauge",
    MSG: "US Manufacturers' Standard Gauge for sheet steel",
    COPPER_OZ: "ounces per square foot",
}

# Size 36 is 0.0050 in and size 0000 is 0.4600 in, 39 equal ratios apart; from memory of ASTM B258.
_AWG_THINNEST_IN, _AWG_RATIO, _AWG_STEPS, _AWG_LAST = 0.005, 92.0, 39, 40
_AWG_ZEROS = {"0": 0, "00": -1, "000": -2, "0000": -3, "1/0": 0, "2/0": -1, "3/0": -2, "4/0": -3}

# Ten-thousandths of an inch, gauges 3 to 38. Gauges 10, 16, 18 and 20 were read in a published
# table; the others are from memory and agree with their weight / 41.82 lb/ft² per inch.
_MSG_FIRST = 3
_MSG_TEN_THOUSANDTHS = (
    *(2391, 2242, 2092, 1943, 1793, 1644, 1495, 1345, 1196, 1046, 897, 747),  # 3 to 14
    *(673, 598, 538, 478, 418, 359, 329, 299, 269, 239, 209, 179),  # 15 to 26
    *(164, 149, 135, 120, 105, 97, 90, 82, 75, 67, 64, 60),  # 27 to 38
)

# Ten-thousandths of an inch by ounces per square foot. Copper Development Association, Copper in
# Architecture handbook, Table 1.1.3; ASTM B370.
_COPPER_TEN_THOUSANDTHS = {8: 108, 10: 135, 12: 162, 16: 216, 20: 270, 24: 323, 32: 431, 48: 646}
_COPPER_LB_PER_IN3 = Fraction(322, 1000)  # the density that table stands on
_HEAVIEST_OZ = 160

_GAUGE = re.compile(
    r"(?P<size>[1-4]/0|0{1,4}|[1-9][0-9]?)[ -]?(?P<word>gauge|gage|ga\.?|awg|msg|b&s|swg)"
)
_WORD_TABLES = {"awg": AWG, "b&s": AWG, "msg": MSG, "swg": "swg"}
IN_FULL = "Write the thickness, such as 0.048 in or 1.2 mm."
OUNCE_WORDS = frozenset({"oz", "oz.", "ounce", "ounces", "oz/ft2", "oz/ft²", "oz/sq ft"})


def thickness_in(plain: str, *, given: str, table: str | None) -> Fraction | None:
    """Thickness that a gauge such as `18 ga` stands for [in]; None where the text is no gauge.

    Args:
        plain: text from `stock.quantities.typed_text.tidy`.
        given: the text as it was typed, for the sentence.
        table: the table that the material names: "awg", "msg", "copper-oz" or None.

    Returns:
        Nominal thickness [in], exactly.

    Raises:
        UnitsError: a gauge, but the material names no table, another one, or one without
            this size.
    """
    _check_table(table)
    match = _GAUGE.fullmatch(plain)
    if match is None:
        return None
    named = _WORD_TABLES.get(match["word"], table)
    if table is None or table == COPPER_OZ or named != table:
        raise UnitsError(given, f"'{quoted(given)}' is a gauge. {_told(table)}", IN_FULL)
    thickness = gauge_in(match["size"], table=table)
    if thickness is None:
        problem = f"'{quoted(given)}' is not a size of the {NAMES[table]}."
        raise UnitsError(given, problem, IN_FULL)
    return thickness


def copper_in(ounces: Fraction, *, given: str, table: str | None) -> Fraction:
    """Thickness of copper sheet of so many ounces a square foot [in].

    Args:
        ounces: weight per square foot [oz/ft²], 0 or above.
        given: the text as it was typed, for the sentence.
        table: the table that the material names.

    Returns:
        Nominal thickness [in], exactly; 0 for no ounces.

    Raises:
        UnitsError: the material is not sold by weight, or the weight is above 160 oz.
    """
    _check_table(table)
    if table != COPPER_OZ:
        raise UnitsError(given, f"'{quoted(given)}' is a weight. {_told(table)}", IN_FULL)
    thickness = copper_sheet_in(ounces) if ounces else Fraction(0)
    if thickness is None:
        problem = f"'{quoted(given)}' is above 160 oz a square foot, the heaviest we take."
        raise UnitsError(given, problem, IN_FULL)
    return thickness


def _told(table: str | None) -> str:
    """What a material says about its gauge table, as a sentence."""
    if table is None:
        return "This material names no gauge table."
    return f"This material goes by {NAMES[table]}."


def _check_table(table: str | None) -> None:
    """Stop a misspelt table name, which is a mistake in the program."""
    if table is not None and table not in TABLES:
        raise ValueError(f"gauge is '{table}'; use one of {', '.join(TABLES)} or None.")


def gauge_in(size: str, *, table: str) -> Fraction | None:
    """Nominal thickness of a gauge size [in], to 0.0001 in.

    Args:
        size: the size as written: "18", "0", "4/0", "0000".
        table: "awg" (sizes 0000 to 40) or "msg" (3 to 38).

    Returns:
        Thickness [in], exactly; None when the table has no such size.

    Source:
        ASTM B258 for AWG, from memory: d = 0.005 x 92^((36 - n) / 39) in. US Manufacturers'
        Standard: weight per square foot / 41.82 lb/ft² per inch.

    >>> gauge_in("18", table="msg")
    Fraction(239, 5000)
    """
    if table == AWG:
        number = _AWG_ZEROS[size] if size in _AWG_ZEROS else int(size)
        return awg_in(number) if number <= _AWG_LAST else None
    index = int(size) - _MSG_FIRST if size.isdigit() else -1
    if not 0 <= index < len(_MSG_TEN_THOUSANDTHS):
        return None
    return Fraction(_MSG_TEN_THOUSANDTHS[index], 10_000)


def awg_in(number: int) -> Fraction:
    """Diameter of an AWG size [in], rounded once to 0.0001 in as the published table is.

    Args:
        number: size, -3 (0000) to 40.

    Returns:
        Diameter [in].

    Source:
        ASTM B258, from memory.
    """
    diameter_in = _AWG_THINNEST_IN * _AWG_RATIO ** ((36 - number) / _AWG_STEPS)
    return Fraction(round(diameter_in * 10_000), 10_000)


def copper_sheet_in(ounces: Fraction) -> Fraction | None:
    """Nominal thickness of copper sheet sold by weight [in].

    Args:
        ounces: weight per square foot [oz/ft²], above 0 and up to 160.

    Returns:
        Thickness [in]: the published figure for the eight listed weights, otherwise weight
        over density; None when the weight is out of range.

    Source:
        Copper Development Association, Copper in Architecture handbook, Table 1.1.3; ASTM B370.
        Other weights at 0.322 lb/in³, which gives the table back within 0.0001 in.

    >>> copper_sheet_in(Fraction(16))
    Fraction(27, 1250)
    """
    if not 0 < ounces <= _HEAVIEST_OZ:
        return None
    if ounces in _COPPER_TEN_THOUSANDTHS:
        return Fraction(_COPPER_TEN_THOUSANDTHS[int(ounces)], 10_000)
    return ounces / 16 / 144 / _COPPER_LB_PER_IN3
