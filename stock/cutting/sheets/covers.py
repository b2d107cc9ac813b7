"""What sheet offcuts can hold together: every set of rectangles, a block for each sheet.

Leaves out the roll, but for putting a set and a block of all the rest together.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stock.cutting.sheets.blocks import BlockSearch, Field, Packing, TooLargeError
from stock.cutting.sheets.problem import Block, Layout, Problem

Ints = NDArray[np.int64]
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
