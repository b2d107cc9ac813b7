"""A first packing for a stage, quickly, so that there is always something to hand back.

Also first-fit decreasing on its own, the way a plan is often made by eye, for comparison.
It proves nothing.
"""

from bisect import bisect_left
from collections import Counter
from dataclasses import dataclass

from stock.cutting.bars.filling import Fillable, filled
from stock.cutting.bars.problem import (
    Packing,
    Pattern,
    Problem,
    bar_lengths_nm,
    cut_bars,
    problem_of,
    wanted,
)
from stock.cutting.bars.stages import Stage
from stock.cutting.plans.checks import lost_worth, sound
from stock.cutting.plans.plan import BarCase, BarPlan, CutBar


def first_packing(case: Fillable, stage: Stage, known: Packing, *, until: float) -> Packing:
    """The better of a packing made bar by bar, if time allows, and one that is known."""
    made = filled(case, stage, [], None, until=until).best
    return known if made is None else min(made, known, key=stage.total)


def decreasing(problem: Problem, start: Packing) -> Packing:
    """What `start` cuts, and the rest by first-fit decreasing: on hand first, then bought.

    Bars on hand are taken from the shortest; what they cannot hold comes from the longest
    offer. Pieces that no bar holds are left out.
    """
    left = list(problem.counts)
    spare = Counter({g: group.limit for g, group in enumerate(problem.groups)})
    packing: Packing = Counter(start)
    for pattern, bars in start.items():
        spare[pattern.group] -= bars
        for piece, n in pattern.cuts:
            left[piece] -= bars * n
    wanted = Wants(problem, left)
    groups = range(len(problem.groups))
    hand = [g for g in groups if not problem.groups[g].is_offer]
    offers = [g for g in groups if problem.groups[g].is_offer]
    for group in [*hand, *offers[-1:]]:
        while spare[group] > 0:
            cuts = wanted.longest_first(group)
            if not cuts:
                break
            times = min([spare[group], *(left[piece] // n for piece, n in cuts)])
            packing[Pattern(group, cuts)] += times
            spare[group] -= times
            wanted.take(cuts, times)
    return packing


@dataclass
class Wants:
    """What is still wanted, with a quick way past the lengths that are all cut."""

    problem: Problem
    left: list[int]

    def __post_init__(self) -> None:
        self._next = list(range(len(self.left) + 1))
        self._negative = [-length for length in self.problem.lengths_nm]

    def longest_first(self, group: int) -> tuple[tuple[int, int], ...]:
        """Pieces for one bar, each time as many of the longest as still fit."""
        kerf = self.problem.kerf_nm
        room = self.problem.groups[group].length_nm + kerf
        cuts = []
        piece = self._from(bisect_left(self._negative, kerf - room))
        while piece < len(self.left):
            takes = self.problem.lengths_nm[piece] + kerf
            n = min(self.left[piece], room // takes)
            if n:
                cuts.append((piece, n))
                room -= n * takes
            piece = self._from(max(piece + 1, bisect_left(self._negative, kerf - room)))
        return tuple(cuts)

    def take(self, cuts: tuple[tuple[int, int], ...], times: int) -> None:
        """Note that so many bars are cut like this."""
        for piece, n in cuts:
            self.left[piece] -= n * times

    def _from(self, piece: int) -> int:
        """The first piece from here on that is still wanted."""
        start = piece
        while piece < len(self.left) and (self.left[piece] == 0 or self._next[piece] != piece):
            piece = max(piece + 1, self._next[piece])
        while start < piece:
            start, self._next[start] = max(start + 1, self._next[start]), piece
        return piece


def first_fit_decreasing(case: BarCase) -> BarPlan:
    """The plan that first-fit decreasing makes, for comparison.

    Args:
        case: bars, offers and pieces [nm, cents].

    Returns:
        A plan that claims nothing: bars on hand from the shortest, pieces from the longest;
        what does not fit comes from the longest bar on offer.

    Raises:
        BadCase: a number makes no sense.
    """
    sound(case)
    longest = max(bar_lengths_nm(case), default=0)
    pieces: Counter[int] = Counter()
    short: Counter[int] = Counter()
    for piece in case.pieces:
        (pieces if piece.length_nm <= longest else short)[piece.length_nm] += piece.count
    cut: tuple[CutBar, ...] = ()
    spent = 0
    if pieces.total():
        problem = problem_of(case, pieces)
        packing = decreasing(problem, Counter())
        cut = cut_bars(problem, packing)
        spent = sum(n * problem.groups[p.group].price_cents for p, n in packing.items())
    for length, n in pieces.items():
        short[length] += n
    short.subtract(length for bar in cut for length in bar.cuts)
    loss = lost_worth(case, cut).__floor__()
    return BarPlan(case.name, False, spent, 0, loss, loss, 0.0, cut, wanted(short))
