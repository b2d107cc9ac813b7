"""Cut plans for bars: worked by hand, held against trying everything, honest on odd cases."""

import random
from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stock.cutting.bars import best
from stock.cutting.plans.checks import BadCase, faults, lost_worth
from stock.cutting.plans.plan import BarCase, BarPlan, CutBar, Offer, OnHand, Progress, Wanted
from tests.stock.brute_bars import best_figures, most_cut, tiny_case

MM = 1_000_000


def make_case(
    *pieces: tuple[int, int],
    on_hand: tuple[tuple[int, int], ...] = (),
    offers: tuple[tuple[int, int], ...] = (),
    kerf: int = 0,
    keep_from: int = 0,
    reference: int = 0,
) -> BarCase:
    return BarCase(
        name="made by hand",
        kerf_nm=kerf,
        keep_from_nm=keep_from,
        reference_nm=reference,
        on_hand=tuple(OnHand(*bar) for bar in on_hand),
        offers=tuple(Offer(*offer) for offer in offers),
        pieces=tuple(Wanted(*piece) for piece in pieces),
    )


def cut_pieces(plan: BarPlan) -> Counter[int]:
    return Counter(length for bar in plan.bars for length in bar.cuts)


def test_the_last_cut_may_consume_the_end() -> None:
    case = make_case((30, 3), on_hand=((94, 1),), kerf=2)

    plan = best.solve(case, limit_s=5)

    assert plan.bars == (CutBar("on_hand", 94, (30, 30, 30)),)
    assert plan.short == ()
    assert plan.proved


def test_a_bar_one_nanometre_too_short_gives_one_piece_less() -> None:
    case = make_case((30, 3), on_hand=((93, 1),), kerf=2)

    plan = best.solve(case, limit_s=5)

    assert plan.bars == (CutBar("on_hand", 93, (30, 30)),)
    assert plan.short == (Wanted(30, 1),)
    assert plan.proved


def test_metal_on_hand_is_used_before_money_is_spent() -> None:
    case = make_case((40, 2), on_hand=((50, 2),), offers=((80, 1),))

    plan = best.solve(case, limit_s=5)

    assert plan.spent_cents == 0
    assert plan.bars == (CutBar("on_hand", 50, (40,)), CutBar("on_hand", 50, (40,)))


def test_two_cheap_bars_beat_one_dear_one() -> None:
    case = make_case((40, 4), offers=((100, 7), (160, 15)))

    plan = best.solve(case, limit_s=5)

    assert (plan.spent_cents, plan.spent_at_least) == (14, 14)
    assert [bar.length_nm for bar in plan.bars] == [100, 100]


def test_one_long_remnant_is_left_rather_than_two_short_ones() -> None:
    # Cut both from one bar: 100 + 100²/200 − (20 + 20²/200) = 150 − 22 = 128.
    # Cut one from each: 2·(150 − (60 + 60²/200)) = 2·(150 − 78) = 144.
    case = make_case((40, 2), on_hand=((100, 2),), reference=100)

    plan = best.solve(case, limit_s=5)

    assert plan.bars == (CutBar("on_hand", 100, (40, 40)),)
    assert (plan.loss, plan.loss_at_least) == (128, 128)


def test_scrap_below_the_keep_length_is_worth_nothing() -> None:
    # 100 + 50 = 150 is lost whole, for the 20 that are left are below the keep length.
    case = make_case((80, 1), on_hand=((100, 1),), keep_from=21, reference=100)

    plan = best.solve(case, limit_s=5)

    assert plan.loss == 150


def test_what_is_left_of_a_bought_bar_adds_to_the_rack() -> None:
    # 60 are left of the bought bar: −(60 + 60²/200) = −78.
    case = make_case((40, 1), offers=((100, 500),), reference=100)

    plan = best.solve(case, limit_s=5)

    assert (plan.spent_cents, plan.loss) == (500, -78)
    assert plan.proved


def test_money_is_saved_first_even_where_worth_is_lost() -> None:
    # The bar on hand costs nothing though the rack loses 150 by it.
    case = make_case((100, 1), on_hand=((100, 1),), offers=((300, 1),), reference=100)

    plan = best.solve(case, limit_s=5)

    assert (plan.spent_cents, plan.loss) == (0, 150)


def test_a_piece_longer_than_every_bar_is_named_as_short() -> None:
    case = make_case((7000 * MM, 1), (200 * MM, 3), offers=((6000 * MM, 4000),))

    plan = best.solve(case, limit_s=5)

    assert plan.short == (Wanted(7000 * MM, 1),)
    assert cut_pieces(plan) == {200 * MM: 3}
    assert plan.proved


def test_nothing_on_hand_and_nothing_on_offer_leaves_all_short() -> None:
    case = make_case((30, 2), (40, 1))

    plan = best.solve(case, limit_s=5)

    assert plan.short == (Wanted(40, 1), Wanted(30, 2))
    assert plan.bars == ()
    assert plan.proved


def test_no_pieces_need_no_bars() -> None:
    plan = best.solve(make_case(on_hand=((100, 1),)), limit_s=5)

    assert (plan.bars, plan.short, plan.proved) == ((), (), True)


def test_short_pieces_leave_the_greatest_length_cut() -> None:
    # 70 + 30 fill the bar; the two 50 would as well, in as many pieces, but 60 + 30 would not.
    case = make_case((70, 1), (60, 1), (30, 1), on_hand=((100, 1),))

    plan = best.solve(case, limit_s=5)

    assert plan.short == (Wanted(60, 1),)
    assert plan.short_is_proved


def test_as_much_length_in_more_pieces_is_preferred() -> None:
    case = make_case((60, 1), (30, 2), on_hand=((60, 1),))

    plan = best.solve(case, limit_s=5)

    assert plan.short == (Wanted(60, 1),)


def test_a_piece_that_only_the_rack_holds_gets_its_bar() -> None:
    # 150 fits only the bar on hand; the 40s must be bought though they would fit it too.
    case = make_case((150, 1), (40, 4), on_hand=((160, 1),), offers=((80, 3),))

    plan = best.solve(case, limit_s=5)

    assert plan.short == ()
    assert plan.spent_cents == 6


def test_a_kerf_wider_than_the_rest_leaves_nothing() -> None:
    case = make_case((95, 1), on_hand=((100, 1),), kerf=30, reference=100)

    plan = best.solve(case, limit_s=5)

    assert plan.bars == (CutBar("on_hand", 100, (95,)),)
    assert plan.loss == 150


def test_a_bar_listed_twice_counts_twice() -> None:
    case = make_case((90, 2), on_hand=((100, 1), (100, 1)))

    plan = best.solve(case, limit_s=5)

    assert plan.short == ()
    assert len(plan.bars) == 2


def test_the_lower_of_two_prices_for_one_length_is_paid() -> None:
    plan = best.solve(make_case((90, 1), offers=((100, 9), (100, 4))), limit_s=5)

    assert plan.spent_cents == 4


@pytest.mark.parametrize(
    ("case", "sentence"),
    [
        (make_case((0, 1)), "The length of a bar or piece [nm] is 0; it must be above 0."),
        (make_case((5, -1)), "The count of pieces is -1; it must be 0 or more."),
        (make_case((5, 1), kerf=-1), "The kerf is -1; it must be 0 or more."),
        (
            make_case((5, 1), offers=((9, -2),)),
            "The price of an offer is -2; it must be 0 or more.",
        ),
    ],
)
def test_a_number_that_makes_no_sense_is_named(case: BarCase, sentence: str) -> None:
    with pytest.raises(BadCase) as caught:
        best.solve(case, limit_s=5)

    assert str(caught.value) == sentence


@pytest.mark.slow
@pytest.mark.parametrize("first_seed", range(0, 400, 50))
def test_money_and_worth_are_the_best_of_all_ways(first_seed: int) -> None:
    for seed in range(first_seed, first_seed + 50):
        case = tiny_case(seed)

        plan = best.solve(case, limit_s=20)

        cut = list(cut_pieces(plan).elements())
        assert (plan.spent_cents, lost_worth(case, plan.bars)) == best_figures(case, cut), seed
        assert plan.proved, seed


@pytest.mark.parametrize("first_seed", range(1000, 1300, 100))
def test_what_is_short_is_the_least_of_all_ways(first_seed: int) -> None:
    for seed in range(first_seed, first_seed + 100):
        case = tiny_case(seed, pieces=4)

        plan = best.solve(case, limit_s=20)

        cut = cut_pieces(plan)
        wanted = [piece.length_nm for piece in case.pieces for _ in range(piece.count)]
        length = sum(n * count for n, count in cut.items())
        assert (length, cut.total()) == most_cut(case, wanted), seed


@pytest.mark.parametrize("seed", range(2000, 2012))
def test_seven_pieces_are_cut_best_too(seed: int) -> None:
    case = tiny_case(seed, pieces=7, longest=1000)

    plan = best.solve(case, limit_s=20)

    cut = list(cut_pieces(plan).elements())
    assert (plan.spent_cents, lost_worth(case, plan.bars)) == best_figures(case, cut)


PRIMES = (150_000_007, 203_200_027, 254_000_009, 99_999_989)  # nm; no common unit but one

lengths = st.one_of(st.sampled_from(PRIMES), st.integers(1, 400 * MM))
counts = st.integers(0, 6)


@settings(max_examples=60)
@given(
    pieces=st.lists(st.tuples(lengths, counts), max_size=6),
    on_hand=st.lists(st.tuples(st.integers(1, 900 * MM), st.integers(0, 4)), max_size=5),
    offers=st.lists(st.tuples(st.integers(1, 900 * MM), st.integers(0, 9000)), max_size=3),
    kerf=st.one_of(st.just(0), st.integers(0, 500 * MM)),
    keep_from=st.integers(0, 200 * MM),
)
def test_every_plan_for_an_odd_case_can_be_cut(
    pieces: list[tuple[int, int]],
    on_hand: list[tuple[int, int]],
    offers: list[tuple[int, int]],
    kerf: int,
    keep_from: int,
) -> None:
    case = make_case(
        *pieces, on_hand=tuple(on_hand), offers=tuple(offers), kerf=kerf, keep_from=keep_from
    )

    plan = best.solve(case, limit_s=2)

    assert faults(case, plan) == ()
    longest = max([n for n, count in on_hand if count] + [n for n, _ in offers], default=0)
    too_long = sum(count for n, count in pieces if n > longest)
    assert sum(piece.count for piece in plan.short) >= too_long
    if offers and max(n for n, _ in offers) == longest:
        assert sum(piece.count for piece in plan.short) == too_long


def test_many_equal_bars_are_as_quick_as_one() -> None:
    case = make_case(
        (150 * MM, 40), (203 * MM, 25), on_hand=((1200 * MM, 60),), kerf=2 * MM, keep_from=50 * MM
    )

    plan = best.solve(case, limit_s=20)

    # 40·152 + 25·205 = 11 205 in bars that count as 1202: at least ten.
    assert plan.proved
    assert len(plan.bars) == 10


@pytest.mark.slow
def test_ten_thousand_pieces_are_answered_with_honest_bounds() -> None:
    rng = random.Random(7)
    pieces = [(rng.randint(80, 900) * MM, rng.randint(20, 45)) for _ in range(310)]
    case = make_case(*pieces, offers=((6000 * MM, 5000), (3000 * MM, 2700)), kerf=2 * MM)

    plan = best.solve(case, limit_s=3)

    assert sum(count for _, count in pieces) > 9_000
    assert faults(case, plan) == ()
    assert plan.short == ()
    assert 0 < plan.spent_at_least <= plan.spent_cents < 1.05 * plan.spent_at_least


def test_each_better_plan_is_told_and_can_be_cut() -> None:
    case = make_case(
        *((length * MM, 4) for length in (101, 137, 163, 199, 241, 277)),
        on_hand=tuple((length * MM, 1) for length in (640, 710, 880, 930, 1210, 1350, 1490)),
        offers=((3000 * MM, 2500),),
        kerf=2 * MM,
        keep_from=50 * MM,
    )
    told: list[Progress] = []

    plan = best.solve(case, limit_s=10, progress=told.append)

    assert told
    for progress in told:
        assert isinstance(progress.best, BarPlan)
        assert faults(case, progress.best) == ()
        assert progress.gap >= 0
    assert isinstance(told[-1].best, BarPlan)
    assert (plan.spent_cents, plan.loss) <= (told[-1].best.spent_cents, told[-1].best.loss)
