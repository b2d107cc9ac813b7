"""The best row-and-column layout, by an arc-flow programme in HiGHS.

A row goes right across the roll, or a sheet in either direction, and is as long as one of the
rectangles in it. It is cut into columns, and a column into rectangles one after another: one in
the two-stage programme, any number in the three-stage one. What is over at a column's side is
trimmed. Greedy rows start the first programme, its answer the second.
It leaves out rows built in any other way; sheet_exact.py and sheet_search.py find those.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from stock.cutting.sheets.flow import Column, Home, ProgrammeTooLargeError, Row, RowFlow
from stock.cutting.sheets.problem import Block, Layout, Problem, joined, single


@dataclass(frozen=True)
class BestRows:
    """The best row-and-column layout found, and what is known of all others."""

    layout: Layout
    at_least: int  # roll length [units] of every row-and-column layout


def best_rows(problem: Problem, *, limit_s: float) -> BestRows | None:
    """Find the row-and-column layout that takes the least roll.

    Args:
        problem: with a roll.
        limit_s: time for both programmes together [s].

    Returns:
        The layout, and what no other row-and-column layout can go below; None where the
        programme would be too large or found no layout in time.

    Source:
        Arc flow: J. M. Valério de Carvalho, "Exact solution of bin-packing problems using
        column generation and branch-and-bound", Annals of Operations Research 86 (1999); its
        use in stages: R. Macedo, C. Alves and J. M. Valério de Carvalho, "Arc-flow model for
        the two-dimensional guillotine cutting stock problem", Computers & Operations Research
        37 (2010). Both from memory.
    """
    homes = _homes(problem)
    rows = _greedy(problem)
    at_least = 0
    for stacks, share in ((False, 0.3), (True, 0.7)):
        try:
            flow = RowFlow(problem, homes, stacks=stacks)
        except ProgrammeTooLargeError:
            return None
        solved = flow.solved(rows, limit_s=limit_s * share)
        if solved is None:
            return None
        rows, at_least = solved
    return BestRows(_layout(problem, rows), at_least)


def _homes(problem: Problem) -> list[Home]:
    """The roll, and each sheet cut into rows in each direction."""
    homes = [Home(None, False, problem.width, problem.reach)]
    for index, (width, length) in enumerate(problem.sheets):
        homes += [Home(index, False, width, length), Home(index, True, length, width)]
    return homes


def _greedy(problem: Problem) -> list[Row]:
    """Rows on the roll alone, each opened by the longest rectangle that is left."""
    left = list(problem.counts)
    ways = sorted(
        ((i, *way) for i, kind in enumerate(problem.kinds) for way in kind.ways),
        key=lambda way: (-way[2], -way[1]),
    )
    fitting = [way for way in ways if way[1] <= problem.width and way[2] <= problem.reach]
    rows: list[Row] = []
    for kind, width, length in fitting:
        while left[kind]:
            left[kind] -= 1
            columns, room = [Column(width, ((kind, width, length),))], problem.width - width
            for other in fitting:
                while left[other[0]] and other[1] <= room and other[2] <= length:
                    left[other[0]] -= 1
                    columns.append(Column(other[1], (other,)))
                    room -= other[1]
            rows.append(Row(0, length, tuple(columns)))
    return rows


def _layout(problem: Problem, rows: Sequence[Row]) -> Layout:
    """The rows put together, without what they cut beyond what is asked."""
    left = list(problem.counts)
    homes = _homes(problem)
    found: dict[int | None, list[Block]] = {}
    for row in sorted(rows, key=lambda row: row.home == 0):
        home = homes[row.home]
        block = _row_block(row, left, is_turned=home.is_turned)
        if block is not None:
            found.setdefault(home.sheet, []).append(block)
    turned = {homes[row.home].sheet for row in rows if homes[row.home].is_turned}
    blocks = {
        sheet: joined("x" if sheet in turned else "y", parts) for sheet, parts in found.items()
    }
    return Layout(blocks.get(None), tuple(blocks.get(s) for s in range(len(problem.sheets))))


def _row_block(row: Row, left: list[int], *, is_turned: bool) -> Block | None:
    """One row as a block; a turned one lies along the sheet."""
    across, along = ("y", "x") if is_turned else ("x", "y")
    columns: list[Block] = []
    for column in row.columns:
        stack: list[Block] = []
        for kind, width, length in column.stack:
            if left[kind]:
                left[kind] -= 1
                stack.append(single(kind, (length, width) if is_turned else (width, length)))
        if stack:
            columns.append(joined(along, stack))
    return joined(across, columns) if columns else None
