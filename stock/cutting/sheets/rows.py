"""Rows of any make, chosen by a programme: how often each is cut, and one block for each sheet.

Good blocks right across the roll are gathered from the search of sheet_blocks.py, and from the
best layout so far. It leaves out proofs: other rows might do better.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from stock.cutting.plans.highs import quiet_model
from stock.cutting.sheets.blocks import BlockSearch, Field, TooLargeError
from stock.cutting.sheets.problem import Block, Layout, Problem, joined

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
