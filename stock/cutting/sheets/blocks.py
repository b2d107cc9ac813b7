"""Every guillotine block that wastes little: small blocks joined to larger ones, in arrays.

The bottom-up method of P. Y. Wang, "Two algorithms for constrained two-dimensional cutting
stock problems", Operations Research 31 (1983), with the frontier of sizes kept for each set of
rectangles. It leaves out what is done with the blocks (exact.py, shelves.py).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from stock.cutting.sheets.problem import Block, Counts, Problem, joined, single

Ints = NDArray[np.int64]
LARGEST = 2**61  # areas and packed counts stay below, so that sums of two fit in 64 bits
OVER = 25  # times as many blocks are compared as are kept
MOST_BEFORE_CUT = 300_000  # blocks of one level kept until all of them are known
CHUNK = 500_000  # pairs looked at in one go


@dataclass(frozen=True)
class Field:
    """The area that blocks must fit, how much of it may be wasted, and how many are kept."""

    width: int
    length: int
    waste: int  # square units
    most_per_level: int
    most_pairs: int = 400_000_000
    all_or_none: bool = False  # stop as soon as a block has to be left out


@dataclass
class Packing:
    """Counts of each kind packed into one number, with a guard bit above each."""

    shifts: list[int]
    offset: int
    guard: int

    @classmethod
    def of(cls, counts: Counts) -> Packing | None:
        """The packing for at most so many of each kind; None when it takes over 61 bits."""
        shifts, offset, guard, at = [], 0, 0, 0
        for count in counts:
            bits = count.bit_length()
            shifts.append(at)
            offset |= (2**bits - 1 - count) << at
            guard |= 1 << (at + bits)
            at += bits + 1
        return cls(shifts, offset, guard) if at <= 61 else None

    def packed(self, counts: Counts) -> int:
        """The counts as one number."""
        return sum(n << shift for n, shift in zip(counts, self.shifts, strict=True))


@dataclass
class Level:
    """Blocks of equally many rectangles."""

    held: Ints  # packed counts
    width: Ints
    length: Ints
    area: Ints  # of the rectangles in it
    parents: Ints  # n x 2: numbers of the two blocks joined; -1 - kind for a single one
    axis: Ints  # 0 side by side, 1 one after another
    first: int = 0  # number of its first block
    by_width: Ints = field(default_factory=lambda: np.zeros(0, np.int64))
    by_length: Ints = field(default_factory=lambda: np.zeros(0, np.int64))

    @property
    def waste(self) -> Ints:
        """Area inside each block that no rectangle covers."""
        return self.width * self.length - self.area


class BlockSearch:
    """All blocks in a field, level by level of how many rectangles they hold."""

    def __init__(
        self,
        problem: Problem,
        area: Field,
        *,
        across: Callable[[Ints], Ints] | None = None,
        along: Callable[[Ints], Ints] | None = None,
    ) -> None:
        """`across` and `along` say what must stay empty beside blocks of these sizes."""
        packing = Packing.of(problem.counts)
        if packing is None or area.width * area.length > LARGEST:
            raise TooLargeError
        self.problem, self.area, self.packing = problem, area, packing
        self.across, self.along = across, along
        self.levels: list[Level] = []
        self.is_complete = True
        self.pairs = 0
        self._blocks: dict[int, Block] = {}
        self._goes_on: Callable[[], bool] = lambda: True

    def run(self, *, up_to: int, goes_on: Callable[[], bool]) -> bool:
        """Build levels up to so many rectangles; whether nothing was left out."""
        self._goes_on = goes_on
        self._begin()
        most = MOST_BEFORE_CUT + self.area.most_per_level
        try:
            for size in range(2, up_to + 1):
                found = _Gathered(lambda rows: self._thinned(rows, most))
                for small in range(1, size // 2 + 1):
                    self._join(self.levels[small - 1], self.levels[size - small - 1], found)
                self._add(found.rows())
        except _StoppedError:
            self.is_complete = False
        return self.is_complete

    def block(self, number: int) -> Block:
        """The block of this number, as a tree."""
        if number in self._blocks:
            return self._blocks[number]
        level = next(one for one in reversed(self.levels) if one.first <= number)
        at = number - level.first
        a, b = (int(parent) for parent in level.parents[at])
        if a < 0:
            found = single(-1 - a, (int(level.width[at]), int(level.length[at])))
        else:
            found = joined("xy"[int(level.axis[at])], (self.block(a), self.block(b)))
        self._blocks[number] = found
        return found

    def _begin(self) -> None:
        rows = []
        for index, kind in enumerate(self.problem.kinds):
            if self.problem.counts[index]:
                held = 1 << self.packing.shifts[index]
                rows += [(held, w, h, kind.area, -1 - index, -1, 0) for w, h in kind.ways]
        self._add(np.array(rows, np.int64).reshape(-1, 7))

    def _add(self, rows: Ints) -> None:
        first = self.levels[-1].first + len(self.levels[-1].held) if self.levels else 0
        rows = rows[self._may_be_used(rows)]
        if not self.area.all_or_none:
            rows = self._thinned(rows, OVER * self.area.most_per_level)
        rows = self._thinned(_frontier(rows), self.area.most_per_level)
        level = Level(rows[:, 0], rows[:, 1], rows[:, 2], rows[:, 3], rows[:, 4:6], rows[:, 6])
        level.first = first
        level.by_width = np.argsort(level.width, kind="stable")
        level.by_length = np.argsort(level.length, kind="stable")
        self.levels.append(level)

    def _thinned(self, rows: Ints, most: int) -> Ints:
        """The least wasteful blocks, no more than so many."""
        if len(rows) <= most:
            return rows
        self.is_complete = False
        if self.area.all_or_none:
            raise _StoppedError
        share = (rows[:, 1] * rows[:, 2] - rows[:, 3]) / rows[:, 3]
        return rows[np.sort(np.argpartition(share, most)[:most])]

    def _may_be_used(self, rows: Ints) -> NDArray[np.bool_]:
        """Whether blocks fit the field and force no more waste than is allowed."""
        width, length = rows[:, 1], rows[:, 2]
        fits = (width <= self.area.width) & (length <= self.area.length)
        waste = width * length - rows[:, 3]
        if self.across and self.along and len(rows):
            waste = waste + self.across(width) * length + self.along(length) * width
        return np.asarray(fits & (waste <= self.area.waste))

    def _join(self, a: Level, b: Level, found: _Gathered) -> None:
        """Blocks of one level joined to those of another, in both directions."""
        for axis in (0, 1):
            self._join_shorter(a, b, axis, found, strictly=False)
            if a is not b:
                self._join_shorter(b, a, axis, found, strictly=True)

    def _join_shorter(
        self, a: Level, b: Level, axis: int, found: _Gathered, *, strictly: bool
    ) -> None:
        """Joins in which the block of `a` is the shorter one beside that of `b`."""
        if not len(a.held) or not len(b.held):
            return
        order = b.by_length if axis == 0 else b.by_width
        side_a, base_a = (a.length, a.width) if axis == 0 else (a.width, a.length)
        side_b = (b.length if axis == 0 else b.width)[order]
        slack = (self.area.waste - a.waste) // base_a
        low = np.searchsorted(side_b, side_a, side="right" if strictly else "left")
        each = np.maximum(np.searchsorted(side_b, side_a + slack, side="right") - low, 0)
        ends = np.cumsum(each)
        self.pairs += int(ends[-1])
        at = 0
        while at < len(each):
            if not self._goes_on() or self.pairs > self.area.most_pairs:
                raise _StoppedError
            done = int(ends[at - 1]) if at else 0
            upto = max(at + 1, int(np.searchsorted(ends, done + CHUNK, side="right")))
            from_a = np.repeat(np.arange(at, upto), each[at:upto])
            begin = np.repeat(low[at:upto] - (ends[at:upto] - each[at:upto] - done), each[at:upto])
            found.add(self._joined(a, b, from_a, order[begin + np.arange(len(from_a))], axis))
            at = upto

    def _joined(self, a: Level, b: Level, from_a: Ints, from_b: Ints, axis: int) -> Ints:
        held = a.held[from_a] + b.held[from_b]
        good = (held + self.packing.offset) & self.packing.guard == 0
        from_a, from_b, held = from_a[good], from_b[good], held[good]
        if axis == 0:
            width = a.width[from_a] + b.width[from_b]
            length = b.length[from_b]
        else:
            width = b.width[from_b]
            length = a.length[from_a] + b.length[from_b]
        area = a.area[from_a] + b.area[from_b]
        good = (width <= self.area.width) & (length <= self.area.length)
        good &= width * length - area <= self.area.waste
        rows = np.empty((int(good.sum()), 7), np.int64)
        parts = (held, width, length, area, from_a + a.first, from_b + b.first)
        for column, values in enumerate(parts):
            rows[:, column] = values[good]
        rows[:, 6] = axis
        return rows


class _StoppedError(Exception):
    """The time, or the number of pairs, is used up."""


class _Gathered:
    """Rows found so far; thinned out whenever they become many."""

    def __init__(self, thinned: Callable[[Ints], Ints]) -> None:
        self._found: list[Ints] = []
        self._n, self._limit = 0, CHUNK
        self._thinned = thinned

    def add(self, rows: Ints) -> None:
        self._found.append(rows)
        self._n += len(rows)
        if self._n > self._limit:
            thinned = self._thinned(_frontier(np.concatenate(self._found)))
            self._found, self._n = [thinned], len(thinned)
            self._limit = CHUNK + self._n

    def rows(self) -> Ints:
        return np.concatenate(self._found) if self._found else np.zeros((0, 7), np.int64)


class TooLargeError(ValueError):
    """The case has too many kinds, or too large a field, for whole numbers of 64 bits."""


def _frontier(rows: Ints) -> Ints:
    """Of the blocks that hold the same, those that no other beats in width and length."""
    if not len(rows):
        return rows
    rows = rows[np.lexsort((rows[:, 2], rows[:, 1], rows[:, 0]))]
    new = np.concatenate(([True], rows[1:, 0] != rows[:-1, 0]))
    group = np.cumsum(new)
    step = int(rows[:, 2].max()) + 1
    key = rows[:, 2] - group * step
    before = np.concatenate(([np.iinfo(np.int64).max], np.minimum.accumulate(key)[:-1]))
    return np.asarray(rows[key < before])
