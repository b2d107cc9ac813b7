"""A layout written out as a plan: pieces, what is left, cuts in order, and what is proved.

Leaves out how the layout was found.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from stock.cutting.plans.plan import Cut, Left, Placed, Rectangle, SheetCase, SheetPlan
from stock.cutting.sheets.cuts import Part, parts_of
from stock.cutting.sheets.problem import Counts, Layout, Problem, enlarged

INCH_NM = 25_400_000
MM_NM = 1_000_000
Where = tuple[str, int | None]


@dataclass(frozen=True)
class Known:
    """What is known of a layout."""

    at_least: int = 0  # roll length [units]
    rows_at_least: int = 0  # roll length [units] that every row-and-column layout takes
    short_for_certain: bool = False  # no layout holds more metal


def plan_of(
    case: SheetCase,
    problem: Problem,
    layout: Layout,
    *,
    known: Known,
    unfit: Counts,
    seconds: float,
) -> SheetPlan:
    """The plan for a layout.

    Args:
        case: that was asked.
        problem: made from it.
        layout: of any of its rectangles.
        known: bounds [units].
        unfit: for each of case.pieces how many fit no metal at all.
        seconds: that the search took.

    Returns:
        The plan, all sizes in nanometres.
    """
    length = layout.strip_length
    at_least = min(length, known.at_least)
    short = _short(case, problem, layout, unfit)
    unit = problem.unit_nm
    writer = _Writer(case, problem)
    for where, part in _wholes(case, problem, layout):
        writer.write(where, part)
    return SheetPlan(
        name=case.name,
        proved=at_least == length,
        roll_length_nm=length * unit,
        at_least_nm=at_least * unit,
        seconds=seconds,
        placed=tuple(writer.placed),
        left=tuple(writer.left),
        short=short,
        cuts=tuple(writer.cuts),
        claim=claim(length, known=replace(known, at_least=at_least), unit_nm=unit, short=short),
    )


def claim(length: int, *, known: Known, unit_nm: int, short: tuple[Rectangle, ...]) -> str:
    """What is proved of a plan, in plain words.

    Args:
        length: roll taken [units].
        known: bounds [units], and whether what is short is short for certain.
        unit_nm: one unit [nm].
        short: pieces that are not cut.

    Returns:
        One or two sentences.
    """
    if not length:
        said = "No roll is needed."
    elif length <= known.at_least:
        said = "Proved best: no layout that shears can cut takes less of the roll."
    else:
        least = _length(known.at_least * unit_nm)
        said = f"{_standing(length, known)}; no layout that shears can cut takes less than {least}."
    if not short:
        return said
    if known.short_for_certain:
        return f"Not all pieces fit, and no layout holds more metal. For the rest: {said}"
    return f"Not all pieces were made to fit. For the rest: {said}"


def _standing(length: int, known: Known) -> str:
    if length <= known.rows_at_least:
        return "Best row-and-column layout (rows as long as one of their pieces)"
    return "Best layout found"


def _length(length_nm: int) -> str:
    """In both systems, rounded down as a bound must be."""
    inches = Fraction(length_nm * 1000 // INCH_NM, 1000)
    mm = Fraction(length_nm * 10 // MM_NM, 10)
    return f"{float(inches):g} in ({float(mm):g} mm)"


def _short(
    case: SheetCase, problem: Problem, layout: Layout, unfit: Counts
) -> tuple[Rectangle, ...]:
    """Pieces that are not cut; of equal pieces the last in the case are the short ones."""
    missing = list(unfit)
    cut = layout.counts(len(problem.kinds))
    for kind, wanted, got in zip(problem.kinds, problem.counts, cut, strict=True):
        lacking = wanted - got
        for index, count in reversed(kind.pieces):
            missing[index] += min(lacking, count)
            lacking -= min(lacking, count)
    return tuple(
        Rectangle(piece.width_nm, piece.length_nm, n, piece.may_turn)
        for piece, n in zip(case.pieces, missing, strict=True)
        if n
    )


def _wholes(case: SheetCase, problem: Problem, layout: Layout) -> Iterator[tuple[Where, Part]]:
    """Each sheet and strip that is cut, sheets first, in nanometres.

    Metal need not be a whole number of units wide: what is over stays in the parts.
    """
    for index, block in enumerate(layout.sheets):
        if block is not None:
            yield ("sheet", index), parts_of(enlarged(block, problem.unit_nm), *case.sheets[index])
    if layout.strip is not None and case.roll is not None:
        block = enlarged(layout.strip, problem.unit_nm)
        yield ("roll", None), parts_of(block, case.roll[0], block.length)


class _Writer:
    def __init__(self, case: SheetCase, problem: Problem) -> None:
        self.case = case
        self.placed: list[Placed] = []
        self.left: list[Left] = []
        self.cuts: list[Cut] = []
        self.waiting = [
            [index for index, n in reversed(kind.pieces) for _ in range(n)]
            for kind in problem.kinds
        ]

    def write(self, where: Where, whole: Part) -> None:
        """All that comes of one sheet or strip."""
        roll = self.case.roll
        if where[0] == "roll" and roll and whole.length < roll[1]:
            leaves = (_what(whole), "roll")
            self.cuts.append(Cut(*where, 0, 0, *roll, "across", whole.length, leaves))
        for part in whole.walk():
            box = (part.x, part.y, part.width, part.length)
            if part.sides:
                direction = "along" if part.axis == "x" else "across"
                leaves = (_what(part.sides[0]), _what(part.sides[1]))
                self.cuts.append(Cut(*where, *box, direction, part.at, leaves))
            elif part.is_left:
                self.left.append(Left(*where, *box))
            else:
                self.placed.append(Placed(*where, *box, self.waiting[part.kind].pop()))


def _what(part: Part) -> str:
    if part.sides:
        return "part"
    return "left" if part.is_left else "piece"
