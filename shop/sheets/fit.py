"""How large things may stand so that a worksheet keeps to two sides, whatever is on it.

Pure. Heights are measured on drawn sheets in DejaVu Sans, the widest of the fonts that they are
drawn in; narrower fonts leave room over. It leaves out what is written.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import product

# Height between the margins of sheet.css, measured [mm].
PAGE_MM: Mapping[str, float] = {"A4": 276.0, "Letter": 258.4}
HEAD_MM, BAR_MM, TABLE_MM, FINISH_MM = 30.5, 37.5, 15.5, 15.5  # fixed parts of the first side
CAPTION_MM, HEAT_MM = 19.5, 74.0  # under the stack, first lines; least height of the heat column
CAPTION_WIDE_MM, CAPTION_PT = 98.0, 6.4
LARGEST_ROW_MM, SMALLEST_ROW_MM, ROW_STEP_MM = 9.5, 2.5, 0.5
OVERRIDE_LINE_MM, OVERRIDE_LINE = 4.2, 95  # height of a line of the owner's reason, characters

MM_PER_PT = 25.4 / 72
EM_PER_CHARACTER = 0.55  # of DejaVu Sans over English sentences, part of them bold; measured
SIDE_MM: Mapping[str, float] = {"A4": 187.0, "Letter": 192.9}  # width between the margins
GUTTER_MM = 6.0
NAME_MM, HEADING_MM = 9.0, 8.8  # the mark and the name; a heading
# Cautions are read at arm's length: never smaller, whatever else a sheet has to say.
CAUTION_PT, CAUTION_LEADING, CAUTION_FRAME_MM = 9.0, 1.15, 5.6
USUAL_ON_THE_FRONT = 3  # of the gravest
EASY_ROW_MM, LOW_ROW_MM = 6.5, 4.0  # of the press table, to write in
SIZES = ("roomy", "close", "tight")


@dataclass(frozen=True)
class Type:
    """Sizes of one class of the second side, as sheet.css has them: points and millimetres."""

    step_pt: float
    step_pad_mm: float
    said_pt: float
    treatment_pt: float
    caption_pt: float
    measured_mm: float
    section_mm: float
    is_bare: bool = False  # the sources are left to the page How we know


TYPES: Mapping[str, Type] = {
    "roomy": Type(9.0, 1.9, 8.5, 9.0, 8.0, 66.0, 87.0),
    "close": Type(8.4, 1.3, 7.6, 9.0, 7.6, 62.0, 87.0),
    "tight": Type(7.4, 0.7, 6.6, 7.6, 6.6, 55.0, 75.0, is_bare=True),
}


@dataclass(frozen=True)
class BackWords:
    """What is written on the second side, part by part. Drawings by height over width."""

    steps: tuple[tuple[str, ...], ...]
    said: tuple[str, ...]
    section_ratio: float
    view_ratios: tuple[float, ...]
    treatment: tuple[str, ...]
    captions: tuple[str, ...]
    sources: str
    cautions: str


def row_mm(
    *,
    paper: str,
    stack_mm: float,
    rows: int,
    caption: str = "",
    override: int = 0,
    cautions: str = "",
) -> float:
    """Height of a row of the press table, as much as there is room for.

    Args:
        paper: "A4" or "Letter".
        stack_mm: height of the drawn stack [mm].
        rows: rows of the longest table, 1 or more.
        caption: what stands small under the stack.
        override: characters of the owner's reason, 0 where there is none.
        cautions: what the first side warns of.

    Returns:
        Height [mm] in steps of half a millimetre, 2.5 to 9.5.

    >>> row_mm(paper="A4", stack_mm=50.0, rows=8)
    9.5
    """
    lines = 2 + override // OVERRIDE_LINE if override else 0
    used = HEAD_MM + BAR_MM + TABLE_MM + FINISH_MM + lines * OVERRIDE_LINE_MM
    used += cautions_mm(cautions, paper=paper) if cautions else 0.0
    small = text_mm(caption, wide_mm=CAPTION_WIDE_MM, pt=CAPTION_PT, leading=1.28)
    pair = max(stack_mm + CAPTION_MM + small, HEAT_MM)
    left = PAGE_MM.get(paper, PAGE_MM["Letter"]) - used - pair
    height = left / max(rows, 1) // ROW_STEP_MM * ROW_STEP_MM
    return min(LARGEST_ROW_MM, max(SMALLEST_ROW_MM, height))


def row_class(height_mm: float) -> str:
    """The style sheet's name for a row of that height.

    Args:
        height_mm: as `row_mm` gives it [mm].

    Returns:
        Such as "row-95" for 9.5 mm.
    """
    return f"row-{round(height_mm * 10)}"


def back_size(*, paper: str, words: BackWords) -> str:
    """How large the words of the second side may be.

    Args:
        paper: "A4" or "Letter".
        words: everything that is written there.

    Returns:
        "roomy", "close" or "tight": the first that fits.
    """
    page_mm = PAGE_MM.get(paper, PAGE_MM["Letter"])
    fitting = (size for size in SIZES if back_mm(paper=paper, words=words, size=size) <= page_mm)
    return next(fitting, "tight")


def back_mm(*, paper: str, words: BackWords, size: str) -> float:
    """About how high the second side stands at one size of its words.

    Args:
        paper: "A4" or "Letter".
        words: everything that is written there.
        size: "roomy", "close" or "tight".

    Returns:
        Height [mm], rather too much than too little.
    """
    type_, wide = TYPES[size], SIDE_MM.get(paper, SIDE_MM["Letter"])
    half = (wide - GUTTER_MM) / 2
    steps = max(
        sum(
            max(5.6, text_mm(step, wide_mm=half - 8, pt=type_.step_pt, leading=1.2))
            + type_.step_pad_mm
            for step in column
        )
        for column in words.steps
    )
    low = max(type_.measured_mm, _treatment_mm(words, wide_mm=half, type_=type_) + HEADING_MM)
    cautions = cautions_mm(words.cautions, paper=paper)
    heads = NAME_MM + (2 if words.said else 1) * HEADING_MM
    return heads + steps + _blade_mm(words, wide_mm=wide, type_=type_) + low + cautions


def cautions_mm(cautions: str, *, paper: str) -> float:
    """About how high the framed cautions of one side stand.

    Args:
        cautions: the words.
        paper: "A4" or "Letter".

    Returns:
        Height with the frame [mm].
    """
    wide = SIDE_MM.get(paper, SIDE_MM["Letter"]) - 5
    lines = text_mm(cautions, wide_mm=wide, pt=CAUTION_PT, leading=CAUTION_LEADING)
    return lines + CAUTION_FRAME_MM


def on_the_front(
    cautions: Sequence[str], *, paper: str, words: BackWords, front_row_mm: Callable[[str], float]
) -> int:
    """How many cautions stand on the first side, the gravest, so that both sides have room.

    Args:
        cautions: the gravest first; the last one stands on the second side in any case.
        paper: "A4" or "Letter".
        words: everything else that is written on the second side.
        front_row_mm: height of a row of the press table [mm] under such cautions.

    Returns:
        Three, or as many more or fewer as let the rows be written in and the second side's words
        be large; the rows come first.
    """
    page_mm = PAGE_MM.get(paper, PAGE_MM["Letter"])
    counts: list[int] = [
        *range(USUAL_ON_THE_FRONT, len(cautions)),
        *reversed(range(USUAL_ON_THE_FRONT)),
    ]
    for least_mm, size in product((EASY_ROW_MM, LOW_ROW_MM, SMALLEST_ROW_MM), SIZES):
        for count in counts:
            front, back = (" ".join(part) for part in (cautions[:count], cautions[count:]))
            if front_row_mm(front) < least_mm:
                continue
            rest = replace(words, cautions=back)
            if back_mm(paper=paper, words=rest, size=size) <= page_mm:
                return count
    return int(min(USUAL_ON_THE_FRONT, len(cautions) - 1))


def text_mm(text: str, *, wide_mm: float, pt: float, leading: float) -> float:
    """About how high a text stands.

    Args:
        text: the words.
        wide_mm: width of its column [mm], above 0.
        pt: size of the letters [pt].
        leading: height of a line in letters' sizes.

    Returns:
        Height [mm] of its whole lines; at least one.
    """
    a_line = wide_mm / (pt * MM_PER_PT * EM_PER_CHARACTER)
    return max(1, math.ceil(len(text) / a_line)) * pt * MM_PER_PT * leading


def _blade_mm(words: BackWords, *, wide_mm: float, type_: Type) -> float:
    """The drawings beside each other, and the sentences under the side views."""
    if not words.said:
        return 0.0
    rest = wide_mm - type_.section_mm - GUTTER_MM
    section = words.section_ratio * type_.section_mm + 10.0
    views = sum(ratio * rest for ratio in words.view_ratios)
    said = sum(
        text_mm(one, wide_mm=rest, pt=type_.said_pt, leading=1.28) + 0.6 for one in words.said
    )
    return max(section, views + said)


def _treatment_mm(words: BackWords, *, wide_mm: float, type_: Type) -> float:
    """The card of the core."""
    rows = sum(
        text_mm(row, wide_mm=wide_mm - 19, pt=type_.treatment_pt * 0.9, leading=1.35) + 1.2
        for row in words.treatment
    )
    *warnings, last = words.captions or ("",)
    captions = text_mm(last, wide_mm=wide_mm, pt=type_.caption_pt, leading=1.28) + 1.0
    captions += sum(
        text_mm(one, wide_mm=wide_mm - 4, pt=CAUTION_PT, leading=CAUTION_LEADING) + 3.2
        for one in warnings
    )
    if type_.is_bare:
        return rows + captions + text_mm("", wide_mm=wide_mm, pt=6.0, leading=1.15)
    return rows + captions + text_mm(words.sources, wide_mm=wide_mm, pt=6.0, leading=1.15)
