"""What no layout can do better than, guillotine or not: bounds in whole numbers.

Two ideas. A line across the metal meets rectangles side by side, so it covers at most the
largest sum of sides that fits: the rest of it is waste. And any price per area for each kind
gives a bound in whole numbers, when the dearest such line is known. It leaves out where good
prices come from (flow.py), and layouts of any sort.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stock.cutting.sheets.blocks import BlockSearch, Field, Packing, TooLargeError
from stock.cutting.sheets.problem import Block, Layout, Problem

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


Offer = Callable[[Layout], None]
MOST_COVERS = 60_000
MOST_TIES = 60  # equally long layouts whose offcuts are compared


@dataclass(frozen=True)
class _Covers:
    """Sets of rectangles that the sheets so far can hold."""

    held: Ints  # packed counts, ascending
    areas: Ints
    before: Ints  # number of the set without the last sheet, in the table before
    block: Ints  # number of the last sheet's block, -1 when it is left alone


class CoverTable:
    """Sets that the sheets can hold, sheet by sheet; large sheets first.

    A set that can be held in several ways is given to the sheets that come last, the small
    ones, so that large offcuts stay whole.
    """

    def __init__(self, problem: Problem, per_level: int, pairs: int) -> None:
        packing = Packing.of(problem.counts)
        if packing is None:
            raise TooLargeError
        self.problem, self.packing = problem, packing
        self.per_level, self.pairs = per_level, pairs
        self.order = sorted(
            range(len(problem.sheets)), key=lambda s: -problem.sheets[s][0] * problem.sheets[s][1]
        )
        self.searches: list[BlockSearch] = []
        self.tables = [_Covers(*(np.full(1, n, np.int64) for n in (0, 0, -1, -1)))]
        self.is_complete = True

    @property
    def most_area(self) -> int:
        """The largest area of rectangles that the sheets hold together."""
        return int(self.tables[-1].areas.max())

    def build(self, *, goes_on: Callable[[], bool]) -> None:
        """List the sets; `is_complete` says whether none was left out."""
        for sheet in self.order:
            width, length = self.problem.sheets[sheet]
            area = Field(width, length, width * length, self.per_level, self.pairs)
            search = BlockSearch(self.problem, area)
            self.is_complete &= search.run(up_to=self._most_in(width, length), goes_on=goes_on)
            self.searches.append(search)
            self._extend(search, width, length)

    def offer_whole(self, offer: Offer) -> bool:
        """Offer a layout that needs no roll; whether there is one."""
        whole = self.packing.packed(self.problem.counts)
        numbers = np.flatnonzero(self.tables[-1].held == whole)
        for number in numbers:
            offer(Layout(None, self._sheets(int(number))))
        return len(numbers) > 0

    def offer_fullest(self, offer: Offer) -> None:
        """Offer the layouts that hold the largest area without the roll."""
        areas = self.tables[-1].areas
        for number in np.flatnonzero(areas == areas.max())[:MOST_TIES]:
            offer(Layout(None, self._sheets(int(number))))

    def offer_with_strip(self, search: BlockSearch, offer: Offer) -> bool:
        """Offer sets with the shortest block of all the rest; whether there is one."""
        held = np.concatenate([one.held for one in search.levels])
        lengths = np.concatenate([one.length for one in search.levels])
        if not len(held):
            return False
        order = np.lexsort((lengths, held))
        covers = self.tables[-1]
        rest = self.packing.packed(self.problem.counts) - covers.held
        at = np.minimum(np.searchsorted(held[order], rest), len(held) - 1)
        numbers = np.flatnonzero(held[order][at] == rest)
        if not len(numbers):
            return False
        found = lengths[order][at[numbers]]
        best = numbers[found == found.min()]
        for number in best[np.argsort(covers.areas[best], kind="stable")][:MOST_TIES]:
            strip = search.block(int(order[at[number]]))
            offer(Layout(strip, self._sheets(int(number))))
        return True

    def _most_in(self, width: int, length: int) -> int:
        """No more rectangles than this fit the area together."""
        room, n = width * length, 0
        kinds = zip(self.problem.kinds, self.problem.counts, strict=True)
        for kind, count in sorted(kinds, key=lambda one: one[0].area):
            taken = min(count, room // kind.area)
            room, n = room - taken * kind.area, n + taken
        return n

    def _extend(self, search: BlockSearch, width: int, length: int) -> None:
        """The sets that one more sheet makes possible."""
        last = self.tables[-1]
        held, areas, numbers = _best_of_each(search, width, length)
        fewest = max(1, 20 * MOST_COVERS // len(last.held))
        if len(held) > fewest:
            self.is_complete = False
            kept = np.sort(np.argsort(-areas, kind="stable")[:fewest])
            held, areas, numbers = held[kept], areas[kept], numbers[kept]
        sums = last.held[:, None] + held[None, :]
        good = (sums + self.packing.offset) & self.packing.guard == 0
        rows, columns = np.nonzero(good)
        unique, at = np.unique(sums[rows, columns], return_index=True)
        rows, columns = rows[at], columns[at]
        areas = last.areas[rows] + areas[columns]
        table = _Covers(unique, areas, rows, numbers[columns])
        if len(unique) > MOST_COVERS:
            self.is_complete = False
            kept = np.sort(np.argsort(-areas, kind="stable")[:MOST_COVERS])
            table = _Covers(unique[kept], areas[kept], table.before[kept], table.block[kept])
        self.tables.append(table)

    def _sheets(self, number: int) -> tuple[Block | None, ...]:
        """The block of each sheet, in the problem's order, for one set in the last table."""
        blocks: list[Block | None] = [None] * len(self.order)
        for step in range(len(self.order), 0, -1):
            table = self.tables[step]
            block = int(table.block[number])
            if block >= 0:
                blocks[self.order[step - 1]] = self.searches[step - 1].block(block)
            number = int(table.before[number])
        return tuple(blocks)


def _best_of_each(search: BlockSearch, width: int, length: int) -> tuple[Ints, Ints, Ints]:
    """For each set that a sheet can hold the block that leaves the best offcut; first none."""
    held, areas, across, along = (
        np.concatenate([getattr(one, name) for one in search.levels])
        for name in ("held", "area", "width", "length")
    )
    beside, above = (width - across).astype(float), (length - along).astype(float)
    left = np.maximum(
        beside * length * np.minimum(beside, length) + across * above * np.minimum(across, above),
        width * above * np.minimum(width, above) + beside * along * np.minimum(beside, along),
    )
    order = np.lexsort((-left, held))
    unique, first = np.unique(held[order], return_index=True)
    numbers = order[first]
    nothing = np.zeros(1, np.int64)
    return (
        np.concatenate([nothing, unique]),
        np.concatenate([nothing, areas[numbers]]),
        np.concatenate([nothing - 1, numbers]),
    )
