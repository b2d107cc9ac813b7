"""Layouts at once: rooms filled rectangle by rectangle, by a rule of thumb that can be varied.

A room takes the first rectangle in the rule's order that fits its corner; two cuts free it and
leave two smaller rooms. The roll is filled in rows (shelves), or as one long room. It leaves out
any proof: the layouts are where the other methods start from.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from random import Random
from typing import Any

import numpy as np
from numpy.typing import NDArray

from stock.cutting.plans.highs import quiet_model
from stock.cutting.sheets.blocks import BlockSearch, Field, TooLargeError
from stock.cutting.sheets.problem import Block, Layout, Problem, joined, single

Way = tuple[int, int, int]  # kind, width, length


@dataclass(frozen=True)
class Rule:
    """How rooms are filled."""

    order: tuple[Way, ...]
    split: str  # "across" | "along" | "large" | "small": which cut comes first
    fits_first: bool  # a rectangle as wide or as long as the room goes before the order
    sheets: tuple[int, ...]  # in which order sheets are filled, some may be left alone
    strip: int  # length of the one room on the roll, 0 for rows


def filled(problem: Problem, rule: Rule) -> Layout:
    """The layout that a rule leads to; rectangles that found no room are not in it.

    Args:
        problem: any.
        rule: each way of each kind once in its order.

    Returns:
        A layout within the sheets and what is left on the roll.

    Source:
        Shelf and guillotine rules of thumb, common practice.
    """
    work = _Filling(problem, rule)
    sheets: list[Block | None] = [None] * len(problem.sheets)
    for index in rule.sheets:
        sheets[index] = work.room(*problem.sheets[index])
    if not problem.width:
        strip = None
    elif rule.strip:
        strip = work.room(problem.width, min(rule.strip, problem.reach))
    else:
        strip = work.rows()
    return Layout(strip, tuple(sheets))


class _Filling:
    def __init__(self, problem: Problem, rule: Rule) -> None:
        self.problem, self.rule = problem, rule
        self.left = list(problem.counts)

    def room(self, width: int, length: int) -> Block | None:
        """What goes into one room."""
        way = self._chosen(width, length)
        if way is None:
            return None
        self.left[way[0]] -= 1
        return self._around(way, width, length)

    def _around(self, first: Way, width: int, length: int) -> Block:
        """A room whose first rectangle is chosen: rows and columns until nothing more fits."""
        parts: list[tuple[str, Block]] = []
        way: Way | None = first
        while way:
            kind, across, along = way
            block = single(kind, (across, along))
            if self._is_along_first(width - across, length - along, across, along):
                above = self.room(across, length - along)
                parts.append(("x", joined("y", (block, above)) if above else block))
                width -= across
            else:
                beside = self.room(width - across, along)
                parts.append(("y", joined("x", (block, beside)) if beside else block))
                length -= along
            way = self._chosen(width, length)
            if way:
                self.left[way[0]] -= 1
        return _folded(parts)

    def rows(self) -> Block | None:
        """Rows across the roll, each as long as its first rectangle."""
        rows: list[Block] = []
        reach = self.problem.reach
        while way := self._chosen(self.problem.width, reach, is_row=True):
            self.left[way[0]] -= 1
            rows.append(self._around(way, self.problem.width, way[2]))
            reach -= way[2]
        return joined("y", rows) if rows else None

    def _chosen(self, width: int, length: int, *, is_row: bool = False) -> Way | None:
        first = None
        for way in self.rule.order:
            if way[1] <= width and way[2] <= length and self.left[way[0]]:
                if is_row or not self.rule.fits_first or way[1] == width or way[2] == length:
                    return way
                first = first or way
        return first

    def _is_along_first(self, beside: int, above: int, across: int, along: int) -> bool:
        if not beside or not above:
            return bool(beside)
        match self.rule.split:
            case "across":
                return False
            case "along":
                return True
            case "large":  # keep the larger of the two rooms whole
                return beside * (above + along) > above * (beside + across)
            case _:
                return beside * (above + along) <= above * (beside + across)


def _folded(parts: list[tuple[str, Block]]) -> Block:
    """One block of parts, each joined along its axis to all that come after it."""
    run_axis, run = "", [parts[-1][1]]
    for axis, part in reversed(parts[:-1]):
        if run_axis and axis != run_axis:
            run = [joined(run_axis, reversed(run))]
        run_axis = axis
        run.append(part)
    return joined(run_axis, reversed(run)) if run_axis else run[0]


def plain_rules(problem: Problem) -> Iterator[Rule]:
    """Orders of trade, each with each way of splitting: largest, longest, widest first."""
    ways = [(index, *way) for index, kind in enumerate(problem.kinds) for way in kind.ways]
    keys = (
        lambda way: (-way[1] * way[2], -way[1]),
        lambda way: (-way[2], -way[1]),
        lambda way: (-way[1], -way[2]),
        lambda way: (-max(way[1:]), -min(way[1:]), -way[1]),
        lambda way: (-max(way[1:]), -min(way[1:]), -way[2]),
    )
    sheets = tuple(sorted(range(len(problem.sheets)), key=lambda s: _area(problem, s)))
    for use in dict.fromkeys((sheets, sheets[::-1], ())):
        for key in keys:
            for split in ("large", "across", "along", "small"):
                for fits_first in (True, False):
                    yield Rule(tuple(sorted(ways, key=key)), split, fits_first, use, 0)


def _area(problem: Problem, sheet: int) -> int:
    return problem.sheets[sheet][0] * problem.sheets[sheet][1]


def varied(rule: Rule, problem: Problem, rng: Random, *, strip: int) -> Rule:
    """A rule near to this one: two or three ways change places, now and then the rest too."""
    order = list(rule.order)
    for _ in range(rng.choice((1, 1, 2, 3))):
        a, b = rng.randrange(len(order)), rng.randrange(len(order))
        order.insert(b, order.pop(a))
    split, fits_first, sheets = rule.split, rule.fits_first, list(rule.sheets)
    if rng.random() < 0.2:
        split = rng.choice(("large", "across", "along", "small"))
    if rng.random() < 0.1:
        fits_first = not fits_first
    if problem.sheets and rng.random() < 0.2:
        sheets = list(range(len(problem.sheets)))
        rng.shuffle(sheets)
        sheets = sheets[: rng.randint(0, len(sheets))] if rng.random() < 0.3 else sheets
    return Rule(tuple(order), split, fits_first, tuple(sheets), strip if rng.random() < 0.4 else 0)


Ints = NDArray[np.int64]
MOST_ROWS, MOST_FOR_SHEET = 2500, 250
PER_LEVEL, PAIRS, MOST_IN_ROW = 600, 20_000_000, 16
WASTE_IN_ROW = 0.06  # of the roll's width times the longest row that is tried
MOST_IN_WHOLE = 500  # choices in the programme in whole numbers
FEASIBLE = 2  # HiGHS: the solution is one


@dataclass(frozen=True)
class _Choice:
    """A block that may be cut; from the roll any number of times, from a sheet once."""

    sheet: int | None
    block: Block


def chosen_rows(
    problem: Problem,
    layout: Layout,
    *,
    at_least: int,
    limit_s: float,
    goes_on: Callable[[], bool],
) -> Layout | None:
    """A layout of rows that a programme chooses.

    Args:
        problem: with a roll.
        layout: whose rows may be used again.
        at_least: bound on the roll length [units]; a layout as short ends the programme.
        limit_s: time for the programme [s].
        goes_on: asked while blocks are gathered.

    Returns:
        A layout; None where there are too many kinds, or the time was up before there was one.

    Source:
        Pattern-based cutting: P. C. Gilmore and R. E. Gomory, "Multistage cutting stock
        problems of two and more dimensions", Operations Research 13 (1965), with patterns
        listed beforehand.
    """
    try:
        choices = [*_present(layout), *_gathered(problem, goes_on)]
    except TooLargeError:
        return None
    times = _solved(problem, choices, at_least, limit_s)
    return _layout(problem, choices, times) if times else None


def _present(layout: Layout) -> Iterator[_Choice]:
    """The rows and the sheets' blocks of a layout."""
    strip = layout.strip
    if strip is not None:
        yield from (_Choice(None, row) for row in (strip.parts if strip.axis == "y" else (strip,)))
    yield from (_Choice(i, block) for i, block in enumerate(layout.sheets) if block is not None)


def _gathered(problem: Problem, goes_on: Callable[[], bool]) -> Iterator[_Choice]:
    longest = 2 * max(max(way) for kind in problem.kinds for way in kind.ways)
    yield from _blocks(problem, None, problem.width, min(longest, problem.reach), goes_on)
    for index, (width, length) in enumerate(problem.sheets):
        yield from _blocks(problem, index, width, length, goes_on)


def _blocks(
    problem: Problem, sheet: int | None, width: int, length: int, goes_on: Callable[[], bool]
) -> Iterator[_Choice]:
    """The least wasteful rows, or the blocks that fill most of a sheet."""
    waste = int(width * length * (WASTE_IN_ROW if sheet is None else 1))
    per_level = PER_LEVEL if sheet is None else PER_LEVEL // 3
    search = BlockSearch(problem, Field(width, length, waste, per_level, PAIRS))
    search.run(up_to=min(MOST_IN_ROW, sum(problem.counts)), goes_on=goes_on)
    areas = np.concatenate([one.area for one in search.levels])
    lengths = np.concatenate([one.length for one in search.levels])
    held = np.concatenate([one.held for one in search.levels])
    rank = areas / (lengths * width) if sheet is None else areas.astype(float)
    _, first = np.unique(np.stack([held, lengths]), axis=1, return_index=True)
    best = first[np.argsort(-rank[first], kind="stable")]
    for number in best[: MOST_ROWS if sheet is None else MOST_FOR_SHEET]:
        yield _Choice(sheet, search.block(int(number)))


def _solved(
    problem: Problem, choices: list[_Choice], at_least: int, limit_s: float
) -> list[int] | None:
    """How many times each choice is cut.

    The programme in fractions comes first; only what it finds cheap goes on to whole numbers.
    """
    model = _model(problem, choices, limit_s)
    model.run()
    if model.modelStatusToString(model.getModelStatus()) != "Optimal":
        return None
    reduced = np.array(model.getSolution().col_dual)
    kept = np.sort(np.argsort(reduced, kind="stable")[:MOST_IN_WHOLE])
    model = _model(problem, [choices[number] for number in kept], limit_s)
    n = len(kept)
    model.setOptionValue("objective_target", at_least + 0.5)
    model.changeColsIntegrality(n, np.arange(n, dtype=np.int32), np.ones(n, np.uint8))
    model.run()
    if model.getInfo().primal_solution_status != FEASIBLE:
        return None
    times = [0] * len(choices)
    for number, value in zip(kept, model.getSolution().col_value, strict=True):
        times[number] = round(value)
    return times


def _model(problem: Problem, choices: list[_Choice], limit_s: float) -> Any:
    """Least roll length, within what there is, all cut and no sheet twice; in fractions."""
    model = quiet_model()
    model.setOptionValue("time_limit", limit_s)
    n = len(choices)
    costs = np.array([c.block.length if c.sheet is None else 0 for c in choices], float)
    most = np.array([np.inf if c.sheet is None else 1.0 for c in choices])
    none = np.zeros(0, np.int32)
    model.addCols(n, costs, np.zeros(n), most, 0, none, none, np.zeros(0))
    made = np.array([c.block.counts(len(problem.kinds)) for c in choices], float)
    for kind, count in enumerate(problem.counts):
        columns = np.flatnonzero(made[:, kind]).astype(np.int32)
        model.addRow(count, np.inf, len(columns), columns, made[columns, kind])
    on_roll = np.flatnonzero(costs).astype(np.int32)
    model.addRow(0, problem.reach, len(on_roll), on_roll, costs[on_roll])
    for sheet in range(len(problem.sheets)):
        columns = np.array([i for i, c in enumerate(choices) if c.sheet == sheet], np.int32)
        model.addRow(0, 1, len(columns), columns, np.ones(len(columns)))
    return model


def _layout(problem: Problem, choices: list[_Choice], times: list[int]) -> Layout:
    left = list(problem.counts)
    rows: list[Block] = []
    sheets: list[Block | None] = [None] * len(problem.sheets)
    for choice, n in zip(choices, times, strict=True):
        for _ in range(n):
            block = without_surplus(choice.block, left)
            if block is not None and choice.sheet is None:
                rows.append(block)
            elif block is not None and choice.sheet is not None:
                sheets[choice.sheet] = block
    return Layout(joined("y", rows) if rows else None, tuple(sheets))


def without_surplus(block: Block, left: list[int]) -> Block | None:
    """The block without rectangles of which no more are wanted; `left` counts down."""
    if not block.parts:
        left[block.kind] -= 1
        return block if left[block.kind] >= 0 else None
    parts = [part for each in block.parts if (part := without_surplus(each, left))]
    return joined(block.axis, parts) if parts else None
