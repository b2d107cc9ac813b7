"""How large things may stand so that a worksheet keeps to two sides, whatever is on it.

Pure. Heights are measured on drawn sheets in DejaVu Sans, the widest of the fonts that they are
drawn in; narrower fonts leave room over. It leaves out what is written.
"""

from __future__ import annotations

from collections.abc import Mapping

# Height between the margins of sheet.css, measured [mm].
PAGE_MM: Mapping[str, float] = {"A4": 276.0, "Letter": 258.4}
HEAD_MM, BAR_MM, TABLE_MM, FINISH_MM = 40.0, 36.0, 14.0, 17.0  # fixed parts of the first side
CAPTION_MM, HEAT_MM = 20.0, 74.0  # under the stack; least height of the heat column
LARGEST_ROW_MM, SMALLEST_ROW_MM, ROW_STEP_MM = 9.5, 3.5, 0.5
OVERRIDE_LINE_MM, OVERRIDE_LINE = 4.2, 100  # height of a line of the owner's reason, characters

# Characters on the second side up to which each size of its words fits, measured.
BACK_SIZES: Mapping[str, tuple[tuple[int, str], ...]] = {
    "A4": ((3500, "roomy"), (4700, "close")),
    "Letter": ((3050, "roomy"), (4100, "close")),
}


def row_mm(*, paper: str, stack_mm: float, rows: int, override: int = 0) -> float:
    """Height of a row of the press table, as much as there is room for.

    Args:
        paper: "A4" or "Letter".
        stack_mm: height of the drawn stack [mm].
        rows: rows of the longest table, 1 or more.
        override: characters of the owner's reason, 0 where there is none.

    Returns:
        Height [mm] in steps of half a millimetre, 3.5 to 9.5.

    Source:
        Measured on drawn sheets.

    >>> row_mm(paper="A4", stack_mm=50.0, rows=8)
    9.5
    """
    lines = 2 + override // OVERRIDE_LINE if override else 0
    used = HEAD_MM + BAR_MM + TABLE_MM + FINISH_MM + lines * OVERRIDE_LINE_MM
    left = PAGE_MM.get(paper, PAGE_MM["Letter"]) - used - max(stack_mm + CAPTION_MM, HEAT_MM)
    height = left / max(rows, 1) // ROW_STEP_MM * ROW_STEP_MM
    return min(LARGEST_ROW_MM, max(SMALLEST_ROW_MM, height))


def row_class(height_mm: float) -> str:
    """The style sheet's name for a row of that height.

    Args:
        height_mm: as `row_mm` gives it.

    Returns:
        Such as "row-95" for 9.5 mm.

    Source:
        sheet.css.
    """
    return f"row-{round(height_mm * 10)}"


def back_size(*, paper: str, characters: int) -> str:
    """How large the words of the second side may be.

    Args:
        paper: "A4" or "Letter".
        characters: everything that is written there.

    Returns:
        "roomy", "close" or "tight".

    Source:
        Measured on drawn sheets.
    """
    for most, size in BACK_SIZES.get(paper, BACK_SIZES["Letter"]):
        if characters <= most:
            return size
    return "tight"
