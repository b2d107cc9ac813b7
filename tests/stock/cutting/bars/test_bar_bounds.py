"""Bounds of bar plans: worked by hand, and never above the best of all ways."""

from collections import Counter
from math import ceil

import pytest

from stock.cutting.bars import best, knapsack
from stock.cutting.bars.bounds import least_cents, least_scaled_loss
from stock.cutting.bars.knapsack import table_of, table_within
from stock.cutting.bars.problem import problem_of
from stock.cutting.plans.checks import faults, lost_worth
from stock.cutting.plans.plan import BarCase, Offer, OnHand, Wanted
from tests.stock.brute_bars import best_figures, tiny_case

MM = 1_000_000


def make_case(
    *pieces: tuple[int, int], on_hand: tuple[tuple[int, int], ...], offers: tuple[Offer, ...] = ()
) -> BarCase:
    wanted = tuple(Wanted(*piece) for piece in pieces)
    hand = tuple(OnHand(*bar) for bar in on_hand)
    return BarCase("by hand", 2, 10, 100, hand, offers, wanted)


def pieces_of(case: BarCase) -> Counter[int]:
    return Counter({piece.length_nm: piece.count for piece in case.pieces})


def test_money_is_bounded_by_the_length_that_the_rack_lacks() -> None:
    # Four of 48 take 200 with their kerfs; the bar of 58 counts as 60, so 140 are lacking.
    # A bar of 98 counts as 100 and costs 7: 140 · 7 / 100 = 9.8, so 10 at the least.
    case = make_case((48, 4), on_hand=((58, 1),), offers=(Offer(98, 7),))

    assert least_cents(problem_of(case, pieces_of(case))) == 10


def test_a_rack_that_is_long_enough_bounds_money_by_nothing() -> None:
    case = make_case((48, 4), on_hand=((300, 1),), offers=(Offer(98, 7),))

    assert least_cents(problem_of(case, pieces_of(case))) == 0


def test_worth_is_bounded_by_the_cheapest_lengths() -> None:
    # worth(50)·200 = 50·250, or 250 for each of its 50; a bar of 100 loses 300 for each.
    # 60 of pieces: 50·250 + 10·300 = 15 500.
    case = make_case((30, 2), on_hand=((50, 1), (100, 1)))

    assert least_scaled_loss(problem_of(case, pieces_of(case)), 0) == 15_500


def test_bought_bars_may_add_their_worth_to_the_bound() -> None:
    # A budget of 5 at 100·300 of worth for 5 cents: −30 000. The pieces take 60 at 300 each.
    case = make_case((30, 2), on_hand=(), offers=(Offer(100, 5),))

    assert least_scaled_loss(problem_of(case, pieces_of(case)), 5) == -12_000


@pytest.mark.slow
def test_quick_bounds_are_never_above_the_best() -> None:
    for seed in range(4000, 4200):
        case = tiny_case(seed)
        longest = max([bar.length_nm for bar in (*case.offers,)], default=0)
        pieces = Counter({n: c for n, c in pieces_of(case).items() if n <= longest})
        if not pieces:
            continue
        spent, loss = best_figures(case, list(pieces.elements()))

        problem = problem_of(case, pieces)

        assert least_cents(problem) <= spent, seed
        bound = problem.worth.whole_nm(least_scaled_loss(problem, spent))
        assert bound <= ceil(loss), seed


def test_a_table_of_equal_pieces_has_one_state_for_each_number() -> None:
    case = make_case((148 * MM, 90), on_hand=((3000 * MM, 1),))

    table = table_of(problem_of(case, pieces_of(case)))

    # ⌊(3000 mm + 2 nm) / (148 mm + 2 nm)⌋ = 20 pieces, and none.
    assert len(table.states) == 21


def test_lengths_without_a_common_unit_are_rounded_down_for_the_bounds() -> None:
    pieces = [(100 * MM + 1_234_567 * i + i * i, 3) for i in range(40)]
    case = make_case(*pieces, on_hand=((3000 * MM + 1, 20),))

    table = table_within(case, pieces_of(case))

    assert not table.problem.is_exact
    assert len(table.states) <= knapsack.MOST_STATES


@pytest.mark.slow
@pytest.mark.parametrize("first_seed", range(5000, 5120, 40))
def test_coarse_units_give_plans_that_can_be_cut_and_bounds_that_hold(
    first_seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    # With room for so few states every case is rounded, most of them badly.
    monkeypatch.setattr(knapsack, "MOST_CELLS", 1)
    monkeypatch.setattr(knapsack, "LEAST_STATES", 6)
    monkeypatch.setattr(knapsack, "COARSE_STATES", 5)
    for seed in range(first_seed, first_seed + 40):
        case = tiny_case(seed, longest=1000)

        plan = best.solve(case, limit_s=1)

        assert faults(case, plan) == (), seed
        cut = [length for bar in plan.bars for length in bar.cuts]
        spent, loss = best_figures(case, cut)
        assert plan.spent_at_least <= spent <= plan.spent_cents, seed
        if plan.spent_cents == spent:
            assert plan.loss_at_least <= ceil(loss), seed
            assert lost_worth(case, plan.bars) >= loss, seed
        if plan.proved:
            assert (plan.spent_cents, lost_worth(case, plan.bars)) == (spent, loss), seed
