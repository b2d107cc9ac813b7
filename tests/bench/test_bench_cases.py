"""Made-up benchmark cases: the same from run to run, and what they promise."""

import pytest

from stock.cutting.bars import best
from stock.cutting.bars.first_packing import first_fit_decreasing
from stock.cutting.bench.cases import bin_packing_cases, dissected_cases, made_cases, published_case
from stock.cutting.plans.checks import faults

MM = 1_000_000


def test_a_seed_makes_the_same_cases_again() -> None:
    assert made_cases(3, seed=8) == made_cases(3, seed=8)
    assert made_cases(3, seed=8) != made_cases(3, seed=9)
    assert bin_packing_cases(2, seed=8) == bin_packing_cases(2, seed=8)
    assert dissected_cases(2, seed=8) == dissected_cases(2, seed=8)


def test_made_up_cases_are_of_the_size_asked_for() -> None:
    cases = made_cases(40, seed=3, pieces=(100, 200))

    sizes = [sum(piece.count for piece in case.pieces) for case in cases]

    assert min(sizes) >= 100
    assert max(sizes) <= 200


def test_the_published_case_has_219_pieces() -> None:
    # 22 + 25 + 12 + 14 + 18 + 18 + 20 + 10 + 12 + 14 + 16 + 18 + 20
    assert sum(piece.count for piece in published_case().pieces) == 219


def test_triplets_fill_their_bins_exactly() -> None:
    triplets = bin_packing_cases(2, seed=1)[1]

    total = sum(piece.length_nm * piece.count for piece in triplets.pieces)

    assert sum(piece.count for piece in triplets.pieces) == 60
    assert total == 20 * 1000 * MM


def test_triplets_are_packed_into_twenty_bins() -> None:
    triplets = bin_packing_cases(2, seed=1)[1]

    plan = best.solve(triplets, limit_s=60)

    assert (plan.spent_cents, plan.spent_at_least) == (20, 20)


@pytest.mark.parametrize("pieces", [1, 5, 12])
def test_a_dissected_strip_loses_nothing(pieces: int) -> None:
    (case,) = dissected_cases(1, seed=6, pieces=pieces)

    assert case.roll is not None
    area = sum(p.width_nm * p.length_nm * p.count for p in case.pieces)

    assert len(case.pieces) == pieces
    strip_mm = int(case.name.rsplit("-", 1)[1].removesuffix("mm"))
    assert area == case.roll[0] * strip_mm * MM


def test_first_fit_decreasing_can_be_cut_but_claims_nothing() -> None:
    for case in made_cases(20, seed=11):
        plan = first_fit_decreasing(case)

        assert faults(case, plan) == ()
        assert not plan.proved


@pytest.mark.slow
def test_the_solver_never_spends_more_than_first_fit_decreasing() -> None:
    for case in made_cases(12, seed=12, pieces=(10, 40)):
        by_eye = first_fit_decreasing(case)

        plan = best.solve(case, limit_s=20)

        assert faults(case, plan) == ()
        assert plan.short or plan.spent_cents <= by_eye.spent_cents
