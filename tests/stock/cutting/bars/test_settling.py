"""Cases whose patterns are too many to list: the plan is sound, its bounds hold, none is lost."""

from __future__ import annotations

import random

import pytest

from stock.cutting.bars import best
from stock.cutting.plans.checks import faults
from stock.cutting.plans.plan import BarCase, BarPlan, Offer, OnHand, Plan, Wanted

MM = 1_000_000
LIMIT_S = 3


def strange_lengths(
    *, seed: int, kinds: int, offers: int, shortest_mm: int, longest_mm: int
) -> BarCase:
    """Pieces whose lengths have no unit in common, so that sums hardly ever meet."""
    rng = random.Random(seed)
    pieces = tuple(
        Wanted(rng.randrange(shortest_mm * MM, longest_mm * MM), rng.randint(1, 3))
        for _ in range(kinds)
    )
    hand = tuple(OnHand(rng.randrange(900 * MM, 1900 * MM), 1) for _ in range(6))
    bought = tuple(
        Offer(rng.randrange(2000 * MM, 4000 * MM), rng.randint(2000, 6000)) for _ in range(offers)
    )
    return BarCase(f"strange {seed}", 1_600_000, 100 * MM, 0, hand, bought, pieces)


CASES = (
    strange_lengths(seed=1, kinds=30, offers=2, shortest_mm=80, longest_mm=700),
    strange_lengths(seed=6, kinds=40, offers=1, shortest_mm=80, longest_mm=700),
    strange_lengths(seed=8, kinds=24, offers=1, shortest_mm=500, longest_mm=1500),
)


@pytest.mark.slow
@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_a_plan_with_too_many_patterns_to_list_is_sound_and_its_bounds_hold(case: BarCase) -> None:
    told: list[Plan] = []

    plan = best.solve(case, limit_s=LIMIT_S, progress=lambda step: told.append(step.best))

    earlier = [one for one in told if isinstance(one, BarPlan)]

    assert faults(case, plan) == ()
    assert plan.short == ()
    assert plan.spent_at_least <= plan.spent_cents
    assert plan.loss_at_least <= plan.loss
    assert plan.proved == (plan.gap == 0)
    assert earlier
    assert all(plan.spent_cents <= one.spent_cents for one in earlier)
