"""Which stock stands for which: tolerances between what is wanted and what is sold. Pure.

It leaves out how much of it there is, and how blanks are laid out on it.
"""

from stock.alloys.book import Figure
from stock.quantities.length_text import NM_PER_MM

THICKNESS_TOLERANCE_MM = Figure(0.1, "1/8 in and 3.2 mm bar are one stock", "practice")
WIDTH_SLACK_MM = Figure(6.35, "a bar up to 1/4 in wider is ground down", "practice")

_THICKNESS_TOLERANCE_NM = round(THICKNESS_TOLERANCE_MM.value * NM_PER_MM)
_WIDTH_SLACK_NM = round(WIDTH_SLACK_MM.value * NM_PER_MM)


def is_as_thick(one_nm: int, other_nm: int) -> bool:
    """Whether two thicknesses are one in the trade.

    Args:
        one_nm: a thickness [nm].
        other_nm: another [nm].

    Returns:
        True when they differ by `THICKNESS_TOLERANCE_MM` at the most.

    Source:
        Common practice.

    >>> is_as_thick(3_175_000, 3_200_000)
    True
    """
    return abs(one_nm - other_nm) <= _THICKNESS_TOLERANCE_NM


def is_stock_for(
    *, form: str, thickness_nm: int, width_nm: int, wanted_thickness_nm: int, wanted_width_nm: int
) -> bool:
    """Whether a blank can come from stock of this section, lengths and alloy aside.

    Args:
        form: "flat" for a bar; a roll or a sheet is sheared to any width.
        thickness_nm: of the stock [nm].
        width_nm: of the stock [nm]; read for a bar only.
        wanted_thickness_nm: of the blank [nm].
        wanted_width_nm: of the blank [nm].

    Returns:
        True when the thickness agrees within `THICKNESS_TOLERANCE_MM`, and a bar is as wide as
        the blank or wider by `WIDTH_SLACK_MM` at the most.

    Source:
        Common practice.

    >>> is_stock_for(form="flat", thickness_nm=3_200_000, width_nm=32_000_000,
    ...              wanted_thickness_nm=3_175_000, wanted_width_nm=31_750_000)
    True
    """
    if not is_as_thick(thickness_nm, wanted_thickness_nm):
        return False
    return form != "flat" or wanted_width_nm <= width_nm <= wanted_width_nm + _WIDTH_SLACK_NM


KEEP_SHORT_SIDE = 4  # an offcut is kept if its short side is at least the keep length over this


def is_worth_keeping(width_nm: int, *, length_nm: int, keep_from_nm: int) -> bool:
    """Whether a rectangle of sheet goes back to the rack.

    Args:
        width_nm: one side [nm], above 0.
        length_nm: the other side [nm], above 0.
        keep_from_nm: shortest offcut that is kept of the material [nm].

    Returns:
        True when its long side reaches that, and its short side a quarter of it.

    Source:
        Common practice.

    >>> is_worth_keeping(25, length_nm=100, keep_from_nm=100)
    True
    """
    short, long = sorted((width_nm, length_nm))
    return long >= keep_from_nm and short * KEEP_SHORT_SIDE >= keep_from_nm


def roll_length_nm(area_nm2: int, *, width_nm: int) -> int:
    """The length of a roll that has as much metal as some sheets.

    Args:
        area_nm2: of the sheets together [nm²], 0 or above.
        width_nm: of the roll [nm], above 0.

    Returns:
        Length [nm], rounded down.

    >>> roll_length_nm(600, width_nm=150)
    4
    """
    return area_nm2 // width_nm
