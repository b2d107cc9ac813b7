"""A few bars of a packing cut anew: no piece lost, no bar used twice, never dearer."""

from __future__ import annotations

import random
import time
from collections import Counter

import pytest

from stock.cutting.bars.knapsack import table_of
from stock.cutting.bars.problem import Packing, Pattern, Problem, problem_of
from stock.cutting.bars.settling import BARS_AT_ONCE, Solver, recut
from stock.cutting.bars.stages import Stage, money_stage, worth_stage
from stock.cutting.plans.plan import BarCase, Offer, OnHand, Wanted

MM = 1_000_000
LENGTHS = (400 * MM, 300 * MM, 200 * MM)  # with a kerf of 2 mm each


def made(*, on_hand: tuple[tuple[int, int], ...], counts: tuple[int, ...]) -> Problem:
    """Pieces of 400, 300 and 200 mm from bars on hand [mm, how many] or of 1 m for 9.00."""
    pieces = tuple(Wanted(n, count) for n, count in zip(LENGTHS, counts, strict=True))
    hand = tuple(OnHand(length * MM, n) for length, n in on_hand)
    case = BarCase("by hand", 2 * MM, 50 * MM, 0, hand, (Offer(1000 * MM, 900),), pieces)
    return problem_of(case, Counter({one.length_nm: one.count for one in pieces}))


def group_of(problem: Problem, length_mm: int) -> int:
    """The number of the group with bars of this length."""
    return next(g for g, one in enumerate(problem.groups) if one.length_nm == length_mm * MM)


def pieces_in(problem: Problem, packing: Packing) -> Counter[int]:
    """How many pieces of each length a packing cuts [nm]."""
    found: Counter[int] = Counter()
    for pattern, bars in packing.items():
        for piece, n in pattern.cuts:
            found[problem.lengths_nm[piece]] += bars * n
    return found


def spending(problem: Problem, packing: Packing) -> Stage:
    """The stage that minimises money, from what a packing spends."""
    cents = sum(n * problem.groups[p.group].price_cents for p, n in packing.items())
    return money_stage(table_of(problem), at_most=cents)


def bettered(problem: Problem, packing: Packing, solver: Solver, *, seed: int = 1) -> Packing:
    """The packing after one part of it was cut anew."""
    stage, until = spending(problem, packing), time.monotonic() + 60
    return recut(packing, stage, solver, random.Random(seed), until=until)


@pytest.fixture
def wasteful() -> tuple[Problem, Packing]:
    """Three bought bars, one piece of 400, 300 and 200 mm from each: one bar would hold all."""
    problem = made(on_hand=(), counts=(1, 1, 1))
    bought = group_of(problem, 1000)
    return problem, Counter(Pattern(bought, ((piece, 1),)) for piece in range(3))


def test_a_better_part_is_taken_into_the_whole(wasteful: tuple[Problem, Packing]) -> None:
    problem, packing = wasteful

    def all_from_one(small: Problem, stage: Stage, known: Packing, seconds: float) -> Packing:
        return Counter([Pattern(0, tuple((i, n) for i, n in enumerate(small.counts)))])

    better = bettered(problem, packing, all_from_one)

    assert pieces_in(problem, better) == Counter(LENGTHS)
    assert better.total() == 1
    assert all(map(problem.fits, better))


def test_a_part_that_cannot_be_bettered_leaves_the_packing_as_it_was(
    wasteful: tuple[Problem, Packing],
) -> None:
    problem, packing = wasteful

    assert bettered(problem, packing, lambda small, stage, known, seconds: known) == packing


@pytest.mark.parametrize("seed", range(12))
def test_the_part_is_offered_only_bars_that_the_rest_leaves(seed: int) -> None:
    # Eight bars of 410 mm hold a 400 each, four of 310 mm a 300 each; two of the first are free.
    problem = made(on_hand=((410, 10), (310, 4)), counts=(8, 4, 6))
    long, short, bought = (group_of(problem, n) for n in (410, 310, 1000))
    packing: Packing = Counter(
        {
            Pattern(long, ((0, 1),)): 8,
            Pattern(short, ((1, 1),)): 4,
            Pattern(bought, ((2, 3),)): 2,
        }
    )
    seen: list[tuple[Problem, Packing, float]] = []

    def look(small: Problem, stage: Stage, known: Packing, seconds: float) -> Packing:
        seen.append((small, known, seconds))
        return known

    after = bettered(problem, packing, look, seed=seed)

    ((small, known, seconds),) = seen
    taken = pieces_in(small, known)
    assert after == packing
    assert known.total() >= BARS_AT_ONCE
    assert taken == Counter(dict(zip(small.lengths_nm, small.counts, strict=True)))
    limits = {group.length_nm // MM: group.limit for group in small.groups}
    of_long = sum(n for p, n in known.items() if small.groups[p.group].length_nm == 410 * MM)
    of_short = sum(n for p, n in known.items() if small.groups[p.group].length_nm == 310 * MM)
    assert limits.get(410, 0) == min(2 + of_long, taken.total())
    assert limits.get(310, 0) == of_short
    assert 0 < seconds <= 60


def test_the_bar_with_most_left_is_always_among_those_cut_anew() -> None:
    problem = made(on_hand=((1010, 1), (410, 30)), counts=(30, 0, 1))
    roomy, snug = group_of(problem, 1010), group_of(problem, 410)
    least = problem.lengths_nm.index(200 * MM)
    most_left = Pattern(roomy, ((least, 1),))
    packing: Packing = Counter({most_left: 1, Pattern(snug, ((0, 1),)): 30})
    parts: list[Counter[int]] = []

    def look(small: Problem, stage: Stage, known: Packing, seconds: float) -> Packing:
        parts.append(pieces_in(small, known))
        return known

    for seed in range(6):
        bettered(problem, packing, look, seed=seed)

    assert [part[200 * MM] for part in parts] == [1] * 6
    assert all(part.total() <= 25 for part in parts)


def test_a_part_keeps_to_the_stage_of_the_whole() -> None:
    problem = made(on_hand=((1010, 3),), counts=(2, 2, 2))
    bar = group_of(problem, 1010)
    packing: Packing = Counter({Pattern(bar, ((0, 2),)): 1, Pattern(bar, ((1, 2), (2, 2))): 1})
    stage = worth_stage(table_of(problem), budget=0, bars=2)
    stages: list[Stage] = []

    def look(small: Problem, given: Stage, known: Packing, seconds: float) -> Packing:
        stages.append(given)
        return known

    recut(packing, stage, look, random.Random(3), until=time.monotonic() + 60)

    assert stages == [stage]
