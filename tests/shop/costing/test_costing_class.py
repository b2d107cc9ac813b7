"""Seats: fee, break-even, profit by seats, the next seat."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.costing.lines import Line
from shop.costing.pricing import Charges, Fee
from shop.costing.seats import (
    ClassCosts,
    break_even,
    break_even_seats,
    class_priced,
    fee_for_margin,
    next_seat_cents,
    seats_table,
)
from stock.quantities.money import MoneyError

COSTS = ClassCosts(
    seats=6,
    fixed=(Line("place", "Place", 30_000), Line("labour", "Preparation", 20_000)),
    per_seat=(Line("billet", "Sound billet", 12_000), Line("lunch", "Lunch", 1_500)),
)


def make_costs(*, seats: int, fixed: int, seat: int, extra: tuple[int, ...] = ()) -> ClassCosts:
    return ClassCosts(
        seats=seats,
        fixed=(Line("fixed", "Fixed", fixed),),
        per_seat=(Line("seat", "Seat", seat),),
        extra_cents=extra,
    )


def test_profit_by_seats_and_what_each_one_adds() -> None:
    rows = seats_table(COSTS, fee=Fee(30_000))

    assert [row.profit_cents for row in rows] == [
        -50_000,
        -33_500,
        -17_000,
        -500,
        16_000,
        32_500,
        49_000,
    ]
    assert [row.adds_cents for row in rows] == [0, *[16_500] * 6]


def test_the_class_breaks_even_at_the_fourth_seat() -> None:
    found = break_even(COSTS, fee=Fee(30_000))

    assert found.seats == 4
    assert found.is_within_reach


def test_a_fee_too_low_says_how_many_seats_it_would_take() -> None:
    # 500.00 / (200.00 - 135.00) = 7.7
    found = break_even(COSTS, fee=Fee(20_000))

    assert found.seats == 8
    assert not found.is_within_reach


def test_a_seat_that_brings_less_than_it_costs_never_breaks_even() -> None:
    found = break_even(COSTS, fee=Fee(13_500))

    assert found.seats is None
    assert not found.is_within_reach


def test_the_card_fee_moves_the_break_even() -> None:
    # 275.00 brings 247.50 after 10 %: 500.00 / (247.50 - 135.00) = 4.4; without it 3.6
    charges = Charges(card_fee_bp=1_000)

    assert break_even(COSTS, fee=Fee(27_500)).seats == 4
    assert break_even(COSTS, fee=Fee(27_500, charges)).seats == 5


def test_a_second_helper_from_the_fifth_seat_moves_the_break_even_up_again() -> None:
    # profit: -100, -40, 20, 80, 140, -50, 10
    costs = make_costs(seats=6, fixed=100, seat=40, extra=(0, 0, 0, 0, 0, 250, 250))

    found = break_even(costs, fee=Fee(100))

    assert found.seats == 6


def test_what_the_next_seat_adds_sees_a_jump() -> None:
    costs = make_costs(seats=2, fixed=0, seat=40, extra=(0, 0, 250))

    assert next_seat_cents(costs, taken=0, fee=Fee(100)) == 60
    assert next_seat_cents(costs, taken=1, fee=Fee(100)) == -190
    assert next_seat_cents(costs, taken=2, fee=Fee(100)) is None


def test_the_fee_for_a_margin_shares_all_costs_over_the_seats_counted_on() -> None:
    # (500.00 + 4 x 135.00) / 4 = 260.00; at a margin of 35 %: 400.00
    found = fee_for_margin(COSTS, taken=4, margin_bp=3_500)

    assert found.price_cents == 40_000
    assert found.margin == Fraction(35, 100)
    assert found.markup == Fraction(7, 13)


def test_the_whole_class_shows_margin_and_markup() -> None:
    found = class_priced(COSTS, taken=4, fee=Fee(40_000))

    assert found.profit_cents == 56_000
    assert found.margin == Fraction(35, 100)


def test_a_class_of_no_seats_only_costs() -> None:
    costs = make_costs(seats=0, fixed=500, seat=10)

    assert [row.profit_cents for row in seats_table(costs, fee=Fee(100))] == [-500]


def test_a_free_class_without_costs_breaks_even_at_once() -> None:
    assert break_even(make_costs(seats=3, fixed=0, seat=0), fee=Fee(0)).seats == 0
    assert break_even_seats(fixed_cents=0, fee_cents=0, seat_cents=0) == 0


def test_a_fee_with_no_seat_taken_is_refused() -> None:
    with pytest.raises(MoneyError, match="at least 1 seat"):
        fee_for_margin(COSTS, taken=0, margin_bp=0)


def test_more_seats_than_there_are_is_refused() -> None:
    with pytest.raises(MoneyError, match="7 seats of 6"):
        COSTS.cost_cents(7)


def test_extra_costs_must_cover_every_number_of_seats() -> None:
    with pytest.raises(MoneyError, match="give 3, for 0 to 2 seats"):
        make_costs(seats=2, fixed=0, seat=0, extra=(0, 0))


def test_a_cost_below_zero_is_refused_by_its_label() -> None:
    with pytest.raises(MoneyError, match="cost of Seat was given as -1"):
        make_costs(seats=2, fixed=0, seat=-1)


@given(
    fixed=st.integers(0, 10**7),
    fee=st.integers(0, 10**5),
    seat=st.integers(0, 10**5),
    seats=st.integers(0, 24),
)
def test_break_even_is_the_first_seat_without_loss(
    fixed: int, fee: int, seat: int, seats: int
) -> None:
    found = break_even_seats(fixed_cents=fixed, fee_cents=fee, seat_cents=seat)
    by_table = break_even(make_costs(seats=seats, fixed=fixed, seat=seat), fee=Fee(fee))

    if found is None:
        assert fee <= seat
        return
    assert found * fee >= fixed + found * seat
    assert found == 0 or (found - 1) * fee < fixed + (found - 1) * seat
    assert by_table.seats == found


@given(
    taken=st.integers(1, 12),
    margin=st.integers(0, 6_000),
    fixed=st.integers(0, 10**7),
    seat=st.integers(0, 10**6),
)
def test_the_fee_leaves_the_class_the_margin_it_was_asked_for(
    taken: int, margin: int, fixed: int, seat: int
) -> None:
    costs = make_costs(seats=12, fixed=fixed, seat=seat)
    charges = Charges(card_fee_bp=290, card_fixed_cents=30, tax_bp=825)

    fee = fee_for_margin(costs, taken=taken, margin_bp=margin, charges=charges).price_cents

    whole = class_priced(costs, taken=taken, fee=Fee(fee, charges))
    assert whole.profit_cents * 10_000 >= margin * whole.price_cents
