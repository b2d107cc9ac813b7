"""The best of all guillotine layouts, with its proof, where there are few enough blocks.

Every set of rectangles that each sheet can hold is listed; what they leave over must come from
the roll. A roll length is then tried: all blocks that waste no more than it allows are built,
so that finding none proves the length too short. Lengths are tried from the bound upwards.
It leaves out large cases: a search that is cut short proves nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from stock.cutting.sheets.blocks import BlockSearch, Field, TooLargeError
from stock.cutting.sheets.bounds import CoverTable, sums_across, sums_along
from stock.cutting.sheets.cuts import score
from stock.cutting.sheets.problem import Layout, Problem

Going = Callable[[], bool]
MOST_PIECES = 250  # more are not searched together
FIRST_STEP, STEP_GROWTH = 0.008, 1.8  # of the length, and by how much steps grow


@dataclass(frozen=True)
class Limits:
    """How far a search goes, and from where."""

    per_level: int = 60_000
    pairs: int = 1_500_000_000
    equal_too: bool = False  # look for layouts as long as the start, with better offcuts
    must_prove: bool = True  # stop at once where no proof can come of it


@dataclass(frozen=True)
class Found:
    """A layout at least as good as the one begun with, and what is now known."""

    layout: Layout
    at_least: int  # roll length [units] that every guillotine layout of all rectangles takes
    is_best: bool  # of all guillotine layouts
    all_fit: bool | None  # None is not known


def best_layout(
    problem: Problem, start: Layout, *, at_least: int, limits: Limits, goes_on: Going
) -> Found:
    """Search all guillotine layouts, or the most promising of them.

    Args:
        problem: with at most 250 pieces, their counts in 61 bits; else the start comes back.
        start: any layout.
        at_least: proved bound on the roll length [units].
        limits: beyond them blocks are left out, the more wasteful first, and so is the proof.
        goes_on: asked often; False stops the search.

    Returns:
        The best layout found and what it proves.
    """
    if not problem.area:
        return Found(start, 0, True, True)
    if sum(problem.counts) > MOST_PIECES:
        return Found(start, at_least, False, None)
    try:
        return _Search(problem, start, at_least, limits, goes_on).run()
    except TooLargeError:
        return Found(start, at_least, False, None)


class _Search:
    def __init__(
        self, problem: Problem, start: Layout, at_least: int, limits: Limits, goes_on: Going
    ) -> None:
        self.problem, self.best, self.at_least = problem, start, at_least
        self.limits, self.goes_on = limits, goes_on
        self.score = score(problem, start)
        self.covers = CoverTable(problem, limits.per_level, limits.pairs)

    def run(self) -> Found:
        self.covers.build(goes_on=self.goes_on)
        if not self.covers.is_complete and self.limits.must_prove:
            return Found(self.best, self.at_least, False, None)
        roll = (self.problem.width, self.problem.reach)
        if not any(_fits(way, roll) for kind in self.problem.kinds for way in kind.ways):
            return self._without_roll()
        if self.covers.offer_whole(self._offer):
            return Found(self.best, 0, True, True)
        return self._with_roll()

    def _offer(self, layout: Layout) -> None:
        found = score(self.problem, layout)
        if found < self.score:
            self.best, self.score = layout, found

    def _without_roll(self) -> Found:
        self.covers.offer_fullest(self._offer)
        proved = self.covers.is_complete
        all_fit = True if not self.score[0] else (False if proved else None)
        return Found(self.best, 0, proved, all_fit)

    def _with_roll(self) -> Found:
        problem = self.problem
        self.needed = problem.area - self.covers.most_area
        usable = sums_across(problem, problem.width).most(problem.width)
        if self.covers.is_complete:
            self.at_least = max(self.at_least, -(-self.needed // usable))
        longest = self._longest()
        self.along = sums_along(problem, max(longest, self.at_least) + 1)
        self.at_least = self.along.next(self.at_least)
        if not self.limits.must_prove:
            return self._without_proof()
        for length in self._lengths(longest):
            found, is_whole = self._try(length)
            if not is_whole:
                return Found(self.best, self.at_least, False, None)
            if found:
                return Found(self.best, self.best.strip_length, True, True)
            self.at_least = self.along.next(length + 1)
        fits = not self.score[0]
        if fits:
            self.at_least = self.best.strip_length
        return Found(self.best, self.at_least, fits, fits)

    def _longest(self) -> int:
        """The longest roll length of interest."""
        if self.score[0]:
            return self.problem.reach
        return self.score[1] - (0 if self.limits.equal_too else 1)

    def _lengths(self, longest: int) -> Iterator[int]:
        length, step = self.at_least, max(1, int(self.at_least * FIRST_STEP))
        while length < longest:
            yield length
            length, step = length + step, int(step * STEP_GROWTH) + 1
        if self.at_least <= longest:
            yield longest

    def _without_proof(self) -> Found:
        """Half-way between bound and best first, which wastes least; then just below the best."""
        share = 0.5
        while self.goes_on():
            longest = self._longest()
            length = longest - int((longest - self.at_least) * share)
            if length < self.at_least:
                break
            before = self.score
            self._try(length)
            if self.score == before:
                if share == 0.0:
                    break
                share = 0.0 if share < 0.2 else share / 3
        return Found(self.best, self.at_least, False, None if self.score[0] else True)

    def _try(self, length: int) -> tuple[bool, bool]:
        """Whether a layout of at most this roll length was found, and nothing left out."""
        problem = self.problem
        waste = max(0, problem.width * length - self.needed)
        limits = self.limits
        area = Field(
            problem.width, length, waste, limits.per_level, limits.pairs, limits.must_prove
        )
        across = sums_across(problem, problem.width)
        search = BlockSearch(
            problem,
            area,
            across=lambda widths: across.idle(problem.width - widths),
            along=lambda lengths: self.along.idle(length - lengths),
        )
        is_whole = search.run(up_to=sum(problem.counts), goes_on=self.goes_on)
        return self.covers.offer_with_strip(search, self._offer), is_whole


def _fits(size: tuple[int, int], home: tuple[int, int]) -> bool:
    return size[0] <= home[0] and size[1] <= home[1]
