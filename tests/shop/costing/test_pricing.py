"""Prices: margin and mark-up never confused, card fee and tax never forgotten."""

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.costing.pricing import (
    Charges,
    Fee,
    MarginOutOfReachError,
    margin_of_markup,
    markup_of_margin,
    price_at_margin,
    priced,
)
from stock.quantities.money import MoneyError

CARD = Charges(card_fee_bp=290, card_fixed_cents=30)
CHARGES = st.builds(
    Charges,
    card_fee_bp=st.integers(0, 600),
    card_fixed_cents=st.integers(0, 100),
    tax_bp=st.integers(0, 2_500),
)


def test_a_margin_of_forty_percent_is_a_markup_of_two_thirds() -> None:
    found = price_at_margin(cost_cents=6_000, margin_bp=4_000)

    assert found.price_cents == 10_000
    assert found.margin == Fraction(2, 5)
    assert found.markup == Fraction(2, 3)


def test_margin_and_markup_turn_into_each_other() -> None:
    assert markup_of_margin(Fraction(2, 5)) == Fraction(2, 3)
    assert margin_of_markup(Fraction(2, 3)) == Fraction(2, 5)


def test_the_card_fee_counts_as_a_cost() -> None:
    # 100.00 by card: 2.90 + 0.30 fee
    found = priced(price_cents=10_000, cost_cents=6_000, charges=CARD)

    assert found.card_fee_cents == 320
    assert found.profit_cents == 3_680
    assert found.margin == Fraction(3_680, 10_000)
    assert found.markup == Fraction(3_680, 6_320)


def test_the_price_pays_the_card_fee_before_the_margin() -> None:
    # (60.00 + 0.30) / (1 - 0.4 - 0.029) = 105.604…
    found = price_at_margin(cost_cents=6_000, margin_bp=4_000, charges=CARD)

    assert found.price_cents == 10_561


def test_the_card_takes_its_fee_on_the_tax_too() -> None:
    charges = Charges(card_fee_bp=300, tax_bp=2_000)

    assert charges.with_tax_cents(10_000) == 12_000
    assert charges.card_fee_cents(10_000) == 360
    assert charges.net_cents(10_000) == 9_640


def test_tax_is_taken_out_of_a_sum_that_has_it_inside() -> None:
    assert Charges(tax_bp=2_000).without_tax_cents(12_000) == 10_000


def test_nothing_charged_pays_no_fixed_fee() -> None:
    assert CARD.card_fee_cents(0) == 0


def test_prices_come_in_whole_steps_rounded_up() -> None:
    found = price_at_margin(cost_cents=6_001, margin_bp=4_000, step_cents=500)

    assert found.price_cents == 10_500


def test_a_currency_without_decimals_needs_nothing_special() -> None:
    # 6 000 yen at a margin of 40 %
    assert price_at_margin(cost_cents=6_000, margin_bp=4_000).price_cents == 10_000


def test_a_price_of_nothing_has_no_margin_and_a_cost_of_nothing_no_markup() -> None:
    assert priced(price_cents=0, cost_cents=500).margin is None
    assert priced(price_cents=500, cost_cents=0).markup is None


def test_a_margin_that_the_card_fee_leaves_no_room_for_is_refused() -> None:
    with pytest.raises(MarginOutOfReachError, match=r"must stay below 97\.1 %") as refusal:
        price_at_margin(cost_cents=6_000, margin_bp=9_800, charges=CARD)

    assert (refusal.value.margin_bp, refusal.value.limit_bp) == (9_800, 9_710)


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"cost_cents": -1}, "cost was given as -1"),
        ({"margin_bp": -1}, "margin was given as -1"),
        ({"step_cents": 0}, "step is 1 or more"),
    ],
)
def test_a_wish_outside_its_limits_is_refused(wrong: dict[str, Any], words: str) -> None:
    usual: dict[str, Any] = {"cost_cents": 1, "margin_bp": 1}

    with pytest.raises(MoneyError, match=words):
        price_at_margin(**(usual | wrong))


def test_a_fee_knows_its_tax_its_card_fee_and_what_it_brings() -> None:
    fee = Fee(40_000, Charges(card_fee_bp=300, card_fixed_cents=30, tax_bp=1000))

    # 3 % of 440.00, and 0.30
    assert (fee.with_tax_cents, fee.card_fee_cents, fee.net_cents) == (44_000, 1350, 38_650)


def test_a_fee_below_nothing_is_refused() -> None:
    with pytest.raises(MoneyError, match="The fee was given as -1"):
        Fee(-1)


def test_a_margin_of_all_has_no_markup() -> None:
    with pytest.raises(MoneyError, match="no cost to mark up"):
        markup_of_margin(Fraction(1))
    with pytest.raises(MoneyError, match="leaves no price"):
        margin_of_markup(Fraction(-1))


@given(
    cost=st.integers(0, 10**9),
    margin=st.integers(0, 6_500),
    charges=CHARGES,
    step=st.sampled_from([1, 5, 100, 500]),
)
def test_the_price_always_leaves_the_margin_and_a_lower_step_does_not(
    cost: int, margin: int, charges: Charges, step: int
) -> None:
    found = price_at_margin(cost_cents=cost, margin_bp=margin, charges=charges, step_cents=step)

    assert found.price_cents % step == 0
    assert found.profit_cents * 10_000 >= margin * found.price_cents
    # fee and tax are each rounded by up to half a unit: two steps of 5 units are surely too low
    lower = found.price_cents - max(2 * step, 10)
    if lower > 0:
        less = priced(price_cents=lower, cost_cents=cost, charges=charges)
        assert less.profit_cents * 10_000 < margin * lower


@given(price=st.integers(0, 10**9), charges=CHARGES)
def test_price_without_tax_survives_the_way_there_and_back(price: int, charges: Charges) -> None:
    assert charges.without_tax_cents(charges.with_tax_cents(price)) == price


@given(st.integers(1, 10**9), st.integers(1, 10**9))
def test_margin_stays_under_markup_for_any_profit(cost: int, profit: int) -> None:
    found = priced(price_cents=cost + profit, cost_cents=cost)

    assert found.margin is not None
    assert found.markup is not None
    assert found.margin < found.markup
    assert markup_of_margin(found.margin) == found.markup
