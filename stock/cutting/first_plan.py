"""A first packing for a stage, quickly, so that there is always something to hand back.

Also first-fit decreasing on its own, the way a plan is often made by eye, for comparison.
It proves nothing.
"""

from collections import Counter

from stock.cutting.bar_problem import (
    Packing,
    Pattern,
    Problem,
    bar_lengths_nm,
    cut_bars,
    problem_of,
    wanted,
)
from stock.cutting.check import lost_worth, sound
from stock.cutting.filling import Fillable, filled
from stock.cutting.plan import BarCase, BarPlan, CutBar
from stock.cutting.stages import Stage


def first_packing(case: Fillable, stage: Stage, known: Packing | None = None) -> Packing:
    """The better of a packing made bar by bar and one that is already known."""
    run = filled(case, stage, [], None)
    packings = [p for p in (run.best, known) if p is not None]
    return min(packings, key=stage.total)


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
    groups = range(len(problem.groups))
    hand = [g for g in groups if not problem.groups[g].is_offer]
    offers = [g for g in groups if problem.groups[g].is_offer]
    for group in [*hand, *offers[-1:]]:
        while any(left) and spare[group] > 0:
            cuts = _longest_first(problem, group, left)
            if not cuts:
                break
            times = min([spare[group], *(left[piece] // n for piece, n in cuts)])
            packing[Pattern(group, cuts)] += times
            spare[group] -= times
            for piece, n in cuts:
                left[piece] -= times * n
    return packing


def _longest_first(problem: Problem, group: int, left: list[int]) -> tuple[tuple[int, int], ...]:
    room = problem.groups[group].length_nm + problem.kerf_nm
    cuts = []
    for piece, length in enumerate(problem.lengths_nm):
        n = min(left[piece], room // (length + problem.kerf_nm))
        if n:
            cuts.append((piece, n))
            room -= n * (length + problem.kerf_nm)
    return tuple(cuts)


def first_fit_decreasing(case: BarCase) -> BarPlan:
    """The plan that first-fit decreasing makes, for comparison.

    Args:
        case: bars, offers and pieces [nm, cents].

    Returns:
        A plan that claims nothing: bars on hand from the shortest, pieces from the longest;
        what does not fit comes from the longest bar on offer.

    Raises:
        BadCase: a number makes no sense.

    Source:
        First-fit decreasing, the textbook rule for bin packing.
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
