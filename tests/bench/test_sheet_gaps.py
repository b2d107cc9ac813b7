"""How near layouts come to what no layout can go below, on made-up cases."""

from time import perf_counter

import pytest

from stock.cutting.bench.cases import dissected_cases
from stock.cutting.bench.sheet_cases import class_sheet_cases, gaps, mixed_sheet_cases
from stock.cutting.plans.plan import Placed, SheetPlan
from stock.cutting.sheets.best import solve

INCH = 25_400_000


def plan_taking(roll_length_nm: int, at_least_nm: int, seconds: float) -> SheetPlan:
    proved = roll_length_nm == at_least_nm
    placed: tuple[Placed, ...] = ()
    return SheetPlan("made", proved, roll_length_nm, at_least_nm, seconds, placed)


def test_a_seed_makes_the_same_sheet_cases_again() -> None:
    assert class_sheet_cases(3, seed=8) == class_sheet_cases(3, seed=8)
    assert mixed_sheet_cases(3, seed=8) == mixed_sheet_cases(3, seed=8)
    assert mixed_sheet_cases(3, seed=8) != mixed_sheet_cases(3, seed=9)


def test_class_cases_ask_for_what_a_class_asks_for() -> None:
    cases = class_sheet_cases(20, seed=2)

    assert {case.roll for case in cases} == {(12 * INCH, 600 * INCH)}
    assert all(20 <= case.pieces[0].count <= 40 for case in cases)
    assert max(len(case.sheets) for case in cases) == 4


def test_gaps_are_over_the_bound() -> None:
    plans = [plan_taking(110, 100, 0.5), plan_taking(100, 100, 2.0), plan_taking(0, 0, 0.1)]

    found = gaps(plans)

    assert (found.cases, found.proved, found.slowest_s) == (3, 2, 2.0)
    assert round(found.mean_gap, 4) == 0.0333
    assert round(found.worst_gap, 4) == 0.1


@pytest.mark.slow
def test_strips_cut_into_twelve_without_waste_are_put_together_with_little() -> None:
    plans = [solve(case, limit_s=10) for case in dissected_cases(12, seed=4)]

    assert gaps(plans).mean_gap < 0.0475


@pytest.mark.slow
def test_blanks_for_a_class_are_proved_within_the_limit() -> None:
    plans = [solve(case, limit_s=10) for case in class_sheet_cases(8, seed=4)]

    assert gaps(plans).proved == 8


@pytest.mark.slow
def test_a_large_mixture_keeps_its_limit_and_states_a_bound() -> None:
    (case,) = mixed_sheet_cases(1, seed=4, pieces=60)
    began = perf_counter()

    plan = solve(case, limit_s=2)

    assert perf_counter() - began < 3.5  # a busy machine may take a little longer than it counts
    assert 0 < plan.at_least_nm < plan.roll_length_nm
    assert plan.short == ()
