"""What no layout can do better than, guillotine or not: bounds in whole numbers.

Two ideas. A line across the metal meets rectangles side by side, so it covers at most the
largest sum of sides that fits: the rest of it is waste. And any price per area for each kind
gives a bound in whole numbers, when the dearest such line is known. It leaves out where good
prices come from (sheet_prices.py), and layouts of any sort.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stock.cutting.sheets.problem import Problem

Ints = NDArray[np.int64]
_State = tuple[int, int, tuple[tuple[int, int], ...]]  # size, value, what the line meets
MOST_SUMS = 20_000  # sums kept exactly; beyond that a bound is rounded to the safe side
MOST_ONE_BY_ONE = 40  # sides of one kind; more are bundled
MOST_STATES, FEWEST_STATES = 12_000, 60  # of a line's search, over all kinds and for each
PRICE = 10**6  # prices are whole numbers up to about this


@dataclass(frozen=True)
class Sums:
    """The sums of sides that rectangles in a row can have, up to a limit."""

    values: Ints  # ascending, beginning with 0
    limit: int
    is_exact: bool

    def most(self, room: int) -> int:
        """The largest sum that fits the room; the room itself where sums are not known."""
        if not self.is_exact or room > self.limit:
            return max(room, 0)
        return int(self.values[np.searchsorted(self.values, room, side="right") - 1])

    def idle(self, room: Ints) -> Ints:
        """What stays empty in each room, whatever is put there."""
        if not self.is_exact:
            return np.zeros_like(room)
        room = np.maximum(room, 0)
        inside = np.minimum(room, self.limit)
        best = self.values[np.searchsorted(self.values, inside, side="right") - 1]
        return np.where(room > self.limit, 0, room - best)

    def next(self, value: int) -> int:
        """The least sum that is not below the value."""
        if not self.is_exact or value > self.limit:
            return value
        at = int(np.searchsorted(self.values, value, side="left"))
        return int(self.values[at]) if at < len(self.values) else self.limit + 1


def sums_of(items: Iterable[tuple[Sequence[int], int]], limit: int) -> Sums:
    """All sums up to the limit of at most so many sides of each item, in any of its ways.

    Args:
        items: for each kind its sides [units] as it may lie, and how many there are.
        limit: the largest sum of interest [units].

    Returns:
        The sums; marked as not exact when there are too many of them to keep.

    Source:
        "Normal patterns": N. Christofides and C. Whitlock, "An algorithm for two-dimensional
        cutting problems", Operations Research 25 (1977), from memory.
    """
    values = np.zeros(1, np.int64)
    for sides, count in items:
        for steps in _bundles(sides, count, limit):
            grown = np.concatenate([values, *(values + step for step in steps)])
            grown = np.sort(grown[grown <= limit])
            grown = grown[np.concatenate(([True], grown[1:] != grown[:-1]))]
            if len(grown) > MOST_SUMS:
                return Sums(grown, limit, False)
            values = grown
    return Sums(values, limit, True)


def _bundles(sides: Iterable[int], count: int, limit: int) -> Iterator[tuple[int, ...]]:
    """Steps that together make every number of sides up to the count; one of each is taken.

    A few are counted one by one. Of many, 1, 2, 4 … are bundled and each way has its own count:
    that allows sums that there are not, and never forbids one.
    """
    usable = tuple(sorted({side for side in sides if side <= limit}))
    if not usable:
        return
    count = min(count, limit // usable[0])
    if count <= MOST_ONE_BY_ONE:
        yield from (usable for _ in range(count))
        return
    size = 1
    while count > 0:
        for side in usable:
            if side * min(size, count) <= limit:
                yield (side * min(size, count),)
        count, size = count - size, size * 2


def sums_across(problem: Problem, limit: int) -> Sums:
    """Sums of sides that lie across."""
    ways = ([way[0] for way in kind.ways] for kind in problem.kinds)
    return sums_of(zip(ways, problem.counts, strict=True), limit)


def sums_along(problem: Problem, limit: int) -> Sums:
    """Sums of sides that lie along."""
    ways = ([way[1] for way in kind.ways] for kind in problem.kinds)
    return sums_of(zip(ways, problem.counts, strict=True), limit)


def area_bound(problem: Problem) -> int:
    """Least roll length by area: what the sheets cannot hold, over what a line can cover.

    Args:
        problem: any, with a roll; grain is heeded in the sums of sides.

    Returns:
        Roll length [units], 0 or more.

    Source:
        Conservation of area; a line covers at most the largest sum of sides that fits.
    """
    if not problem.width:
        return 0
    areas = sums_of(
        (([kind.area], n) for kind, n in zip(problem.kinds, problem.counts, strict=True)),
        problem.area,
    )
    held = 0
    for width, length in problem.sheets:
        usable = sums_across(problem, width).most(width) * sums_along(problem, length).most(length)
        held += areas.most(usable)
    left = max(0, problem.area - held)
    usable = sums_across(problem, problem.width).most(problem.width)
    return max(-(-left // usable) if usable else 0, _tallest(problem))


def _tallest(problem: Problem) -> int:
    """The longest of the rectangles that only the roll can hold, lying at its shortest."""
    least = [0]
    for kind, count in zip(problem.kinds, problem.counts, strict=True):
        on_sheet = any(w <= s[0] and h <= s[1] for w, h in kind.ways for s in problem.sheets)
        if count and not on_sheet:
            least.append(min((h for w, h in kind.ways if w <= problem.width), default=0))
    return max(least)


def bound_at(problem: Problem, prices: Sequence[int]) -> int:
    """Least roll length at these prices per area, one for each kind, in whole numbers."""
    worth = sum(
        price * kind.area * n
        for price, kind, n in zip(prices, problem.kinds, problem.counts, strict=True)
    )
    for width, length in problem.sheets:
        across = dearest_line(problem, prices, room=width, other=length, side=0)[0] * length
        along = dearest_line(problem, prices, room=length, other=width, side=1)[0] * width
        worth -= min(across, along)
    line = dearest_line(problem, prices, room=problem.width, other=None, side=0)[0]
    return -(-worth // line) if line and worth > 0 else 0


def dearest_line(
    problem: Problem, prices: Sequence[int], *, room: int, other: int | None, side: int
) -> tuple[int, tuple[tuple[int, int], ...]]:
    """The most that one line can cover, in price, and what it meets: kinds and sides.

    `side` 0 looks at lines across, 1 at lines along; `other` is the room in the other
    direction, None where there is no limit. Where sums are too many to keep, near ones are
    put together so that the answer can only be too high.
    """
    best: list[_State] = [(0, 0, ())]
    most = max(FEWEST_STATES, MOST_STATES // len(problem.kinds))
    for index, kind in enumerate(problem.kinds):
        fits = [w for w in kind.ways if w[side] <= room and (other is None or w[1 - side] <= other)]
        for steps in _bundles((way[side] for way in fits), problem.counts[index], room):
            grown = [
                (size + step, value + prices[index] * step, (*met, (index, step)))
                for size, value, met in best
                for step in steps
                if size + step <= room
            ]
            best = _undominated([*best, *grown], most)
    return best[-1][1], best[-1][2]


def _undominated(states: list[_State], most: int) -> list[_State]:
    states.sort(key=lambda state: (state[0], -state[1]))
    kept: list[_State] = []
    for state in states:
        if not kept or state[1] > kept[-1][1]:
            kept.append(state)
    step = len(kept) // most + 1
    if step == 1:
        return kept
    # Of each few neighbours the smallest size goes with the greatest value: too high, never low.
    groups = [kept[at : at + step] for at in range(0, len(kept), step)]
    return [(group[0][0], group[-1][1], group[-1][2]) for group in groups]
