"""Layouts at once: rooms filled rectangle by rectangle, by a rule of thumb that can be varied.

A room takes the first rectangle in the rule's order that fits its corner; two cuts free it and
leave two smaller rooms. The roll is filled in rows (shelves), or as one long room. It leaves out
any proof: the layouts are where the other methods start from.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from random import Random

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
