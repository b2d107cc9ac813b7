"""Sharing and rounding money: nothing is lost, nothing is invented."""

import itertools
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stock.quantities import money

WEIGHTS = st.lists(st.integers(min_value=0, max_value=10**15), min_size=1, max_size=40)


def test_a_third_of_a_dollar_each_adds_up_to_the_dollar() -> None:
    parts = money.allocate(100, weights=(1, 1, 1))

    assert parts == (34, 33, 33)


def test_the_largest_remainder_gets_the_cent() -> None:
    # exact shares 14.2857…, 28.5714…, 57.1428…: the second is cut short the most
    parts = money.allocate(100, weights=(1, 2, 4))

    assert parts == (14, 29, 57)


def test_a_share_of_nothing_is_nothing_even_without_weights() -> None:
    assert money.allocate(0, weights=(0, 0)) == (0, 0)
    assert money.allocate(0, weights=()) == ()


def test_a_credit_is_shared_like_a_charge() -> None:
    assert money.allocate(-100, weights=(1, 1, 1)) == (-34, -33, -33)


def test_money_without_a_weight_to_share_it_by_is_refused() -> None:
    with pytest.raises(money.MoneyError, match="nothing to share it by") as refusal:
        money.allocate(5, weights=(0, 0))

    assert refusal.value.given == 5


def test_a_weight_below_zero_is_refused_by_name() -> None:
    with pytest.raises(money.MoneyError, match="The share was given as -1"):
        money.allocate(5, weights=(1, -1))


@pytest.mark.slow
@given(total=st.integers(min_value=0, max_value=10**12), weights=WEIGHTS)
def test_parts_always_sum_to_the_whole_and_stay_within_a_unit_of_their_share(
    total: int, weights: list[int]
) -> None:
    if sum(weights) == 0:
        weights = [*weights, 1]

    parts = money.allocate(total, weights=weights)

    assert sum(parts) == total
    assert all(part >= 0 for part in parts)
    whole = sum(weights)
    assert all(
        abs(part * whole - total * weight) < whole
        for part, weight in zip(parts, weights, strict=True)
    )


@given(total=st.integers(min_value=0, max_value=10**9), weights=WEIGHTS)
def test_a_heavier_part_never_gets_less(total: int, weights: list[int]) -> None:
    weights = [*weights, 1]

    parts = money.allocate(total, weights=weights)

    ranked = sorted(zip(weights, parts, strict=True))
    pairs = itertools.pairwise(ranked)
    assert all(light[1] <= heavy[1] for light, heavy in pairs if light[0] < heavy[0])


def test_an_exact_half_rounds_away_from_zero() -> None:
    assert money.whole_cents(Fraction(5, 2)) == 3
    assert money.whole_cents(Fraction(-5, 2)) == -3
    assert money.whole_cents(Fraction(249, 100)) == 2
    assert money.whole_cents(7) == 7


def test_ninety_minutes_at_forty_dollars_an_hour_cost_sixty() -> None:
    assert money.for_hours(4_000, seconds=5_400) == 6_000


def test_a_second_of_work_is_rounded_once() -> None:
    # 4 500 cents / 3 600 = 1.25 cents a second; ten seconds are 12.5
    assert money.for_hours(4_500, seconds=10) == 13


def test_time_below_zero_is_refused() -> None:
    with pytest.raises(money.MoneyError, match="time in seconds was given as -1"):
        money.for_hours(4_500, seconds=-1)


def test_card_fee_of_two_point_nine_percent() -> None:
    assert money.portion(10_000, bp=290) == 290


def test_a_price_by_the_pound_prices_a_half_pound() -> None:
    price = money.Price(cents=399, per=money.UG_PER_LB)

    assert price.of(226_796_185) == Fraction(399, 2)


def test_a_price_for_no_amount_is_refused() -> None:
    with pytest.raises(money.MoneyError, match="amount of 0"):
        money.Price(cents=1, per=0)


@pytest.mark.parametrize(("code", "digits"), [("USD", 2), ("EUR", 2), ("JPY", 0), ("KWD", 3)])
def test_decimals_of_a_currency(code: str, digits: int) -> None:
    assert money.currency_digits(code) == digits


def test_a_code_that_is_no_currency_is_refused() -> None:
    with pytest.raises(money.MoneyError, match="'dollars' is not a currency"):
        money.currency_digits("dollars")
