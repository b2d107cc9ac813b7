"""The stack as a sheet of paper draws it: rows in millimetres, every layer named and measured.

Pure. Metals differ by lightness and hatching, so that black and white is enough. It leaves out
which layer is magnified and by how much: that is `billets.drawings.stack`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from billets.drawings.stack import StackDrawing, StackRow, drawn_stack
from billets.layup.case import Case
from billets.layup.design import Design
from shop.sheets.subject import Source
from shop.sheets.words import Told, size_told
from stock.quantities import units

MM_PER_PX = 0.25  # of the screen's drawing, whose rows hold a line of 14 px words
TALLEST_MM = 56.0  # of the drawing; a stack of very many layers is drawn flatter
MOST_SOURCES = 10  # pieces that are named under a stack
LONGEST_NAME = 18  # characters of an alloy's name that stand beside a layer
WORD_MM: Mapping[str, float] = {"roomy": 3.3, "close": 2.9, "tight": 2.1}  # height of the words
ROLE_WORDS: Mapping[str, str] = {
    "cladding": "Cladding",
    "line": "Line",
    "core": "CORE",
    "jacket": "Jacket",
}


@dataclass(frozen=True)
class LayerRow:
    """One layer on paper: where it is drawn [mm from the top], and its words."""

    number: int
    y_mm: float
    height_mm: float
    base_mm: float  # foot of its words
    ink: str
    is_line: bool
    role: str
    name: str
    size: Told


@dataclass(frozen=True)
class StackOnPaper:
    """The stack, top face first, `height_mm` high on paper; words about blanks and height."""

    rows: tuple[LayerRow, ...]
    height_mm: float
    word_mm: float  # height of its words
    blanks: str
    blanks_second: str
    height: Told
    magnified: str
    cut_from: str  # pieces, and their heat or lot

    @property
    def small_words(self) -> str:
        """What stands small under the drawing."""
        return f"{self.magnified} Cut from {self.cut_from}." if self.cut_from else self.magnified


def stack_on_paper(
    case: Case, *, sources: Mapping[int, Source] | None = None
) -> StackOnPaper | None:
    """A stack ready to be printed.

    Args:
        case: the layup in its shop.
        sources: piece and heat or lot of each layer by its place, where they are known.

    Returns:
        Rows from the top face down; None for a layup that has no layer to draw.
    """
    design, system, drawing = case.design, case.house.system, drawn_stack(case)
    if drawing is None:
        return None
    scale = min(MM_PER_PX, TALLEST_MM / drawing.height_px)
    word_mm = WORD_MM[_density(min(row.height_px for row in drawing.rows) * scale)]
    rows, y_mm = [], 0.0
    for row in drawing.rows:
        made = _row(row, y_mm=y_mm, scale=scale, word_mm=word_mm, system=system)
        rows.append(made)
        y_mm = round(y_mm + made.height_mm, 2)
    return StackOnPaper(
        rows=tuple(rows),
        height_mm=y_mm,
        word_mm=word_mm,
        blanks=_blanks(design, system=system),
        blanks_second=_blanks(design, system=units.other_system(system)),
        height=size_told(case.height_nm, system=system, style="thou"),
        magnified=_magnified(drawing),
        cut_from=_cut_from(sources or {}),
    )


def _row(row: StackRow, *, y_mm: float, scale: float, word_mm: float, system: str) -> LayerRow:
    height_mm = round(row.height_px * scale, 2)
    style = "thou" if row.role == "line" else "fraction"
    return LayerRow(
        number=row.number,
        y_mm=y_mm,
        height_mm=height_mm,
        base_mm=round(y_mm + height_mm / 2 + 0.36 * word_mm, 2),  # half of a capital
        ink=row.rect.ink,
        is_line=row.role == "line",
        role=ROLE_WORDS.get(row.role, row.role),
        name=_fitting(row.name),
        size=size_told(row.thickness_nm, system=system, style=style),
    )


def _cut_from(sources: Mapping[int, Source]) -> str:
    """Which piece each layer is cut from, like ones once: "1, 5: KT7 (H4471); 3: HM4"."""
    places: dict[str, list[int]] = {}
    for place, source in sorted(sources.items()):
        if source.piece:
            words = f"{source.piece} ({source.heat_lot})" if source.heat_lot else source.piece
            places.setdefault(words, []).append(place + 1)
    told_of = [f"{', '.join(map(str, numbers))}: {words}" for words, numbers in places.items()]
    more = ["others"] if len(told_of) > MOST_SOURCES else []
    return "; ".join([*told_of[:MOST_SOURCES], *more])


def _fitting(name: str) -> str:
    """A name that fits beside its layer."""
    return name if len(name) <= LONGEST_NAME else name[: LONGEST_NAME - 1].rstrip() + "…"


def _density(lowest_mm: float) -> str:
    """How small words must be to stand beside the lowest row."""
    if lowest_mm >= 5.2:
        return "roomy"
    return "close" if lowest_mm >= 3.6 else "tight"


def _blanks(design: Design, *, system: str) -> str:
    """How many blanks of what size; the cut allowance is trimmed off before welding."""
    sizes = (design.blank_length_nm, design.blank_width_nm)
    return f"{len(design.layers)} blanks {units.section_text(sizes, system=system)}"


def _magnified(drawing: StackDrawing) -> str:
    """What is drawn thicker than to scale, and how much."""
    if drawing.magnified <= 1:
        return "Drawn to scale."
    names = " and ".join(drawing.magnified_names)
    return f"To scale, but {names} {drawing.magnified:g} times too thick."
