"""Deposits: paid, owed, refunded."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.costing.deposits import (
    Payment,
    RefundStep,
    RefundTooLargeError,
    class_money,
    kept_net_cents,
    refund_share_bp,
    seat_money,
)
from shop.costing.pricing import Charges
from stock.quantities.money import MoneyError

CLASS_DAY = date(2025, 6, 30)
RULE = (RefundStep(days_before=30, back_bp=10_000), RefundStep(days_before=14, back_bp=5_000))
DEPOSIT = Payment(date(2025, 4, 1), 10_000, "deposit")


def test_a_deposit_leaves_the_rest_owed() -> None:
    found = seat_money(fee_cents=40_000, payments=[DEPOSIT])

    assert (found.paid_cents, found.owed_cents, found.to_refund_cents) == (10_000, 30_000, 0)


def test_a_paid_seat_owes_nothing() -> None:
    rest = Payment(date(2025, 6, 1), 30_000, "balance")

    found = seat_money(fee_cents=40_000, payments=[DEPOSIT, rest])

    assert (found.owed_cents, found.to_refund_cents) == (0, 0)


def test_money_paid_twice_is_owed_back() -> None:
    twice = Payment(date(2025, 6, 1), 40_000, "balance")

    assert seat_money(fee_cents=40_000, payments=[DEPOSIT, twice]).to_refund_cents == 10_000


@pytest.mark.parametrize(
    ("day", "back_bp"),
    [
        (date(2025, 5, 31), 10_000),
        (date(2025, 6, 1), 5_000),
        (date(2025, 6, 16), 5_000),
        (date(2025, 6, 17), 0),
        (date(2025, 7, 2), 0),
    ],
)
def test_the_refund_falls_as_the_class_comes_near(day: date, back_bp: int) -> None:
    assert refund_share_bp(cancelled_on=day, class_day=CLASS_DAY, rule=RULE) == back_bp


def test_a_seat_cancelled_late_keeps_half_of_the_deposit_with_the_shop() -> None:
    found = seat_money(
        fee_cents=40_000,
        payments=[DEPOSIT],
        cancelled_on=date(2025, 6, 10),
        class_day=CLASS_DAY,
        rule=RULE,
    )

    assert (found.agreed_cents, found.owed_cents, found.to_refund_cents) == (5_000, 0, 5_000)


def test_once_refunded_nothing_is_left_to_do() -> None:
    back = Payment(date(2025, 6, 11), 5_000, "refund")

    found = seat_money(
        fee_cents=40_000,
        payments=[DEPOSIT, back],
        cancelled_on=date(2025, 6, 10),
        class_day=CLASS_DAY,
        rule=RULE,
    )

    assert (found.refunded_cents, found.to_refund_cents, found.kept_cents) == (5_000, 0, 5_000)


def test_more_refunded_than_paid_is_refused() -> None:
    back = Payment(date(2025, 6, 11), 10_001, "refund")

    with pytest.raises(RefundTooLargeError, match="10001 was refunded of 10000") as refusal:
        seat_money(fee_cents=40_000, payments=[DEPOSIT, back])

    assert (refusal.value.paid_cents, refusal.value.refunded_cents) == (10_000, 10_001)


def test_a_cancelled_seat_needs_the_day_of_its_class() -> None:
    with pytest.raises(MoneyError, match="needs the day of its class"):
        seat_money(fee_cents=1, cancelled_on=date(2025, 6, 10))


def test_more_than_all_cannot_go_back() -> None:
    with pytest.raises(MoneyError, match="no more than 100 %"):
        RefundStep(days_before=1, back_bp=10_001)


def test_a_class_adds_its_seats_up() -> None:
    seats = [seat_money(fee_cents=40_000, payments=[DEPOSIT]), seat_money(fee_cents=40_000)]

    found = class_money(seats)

    assert (found.agreed_cents, found.paid_cents, found.owed_cents) == (80_000, 10_000, 70_000)
    assert (found.refunded_cents, found.to_refund_cents) == (0, 0)


@given(
    fee=st.integers(0, 10**6),
    paid=st.lists(st.integers(0, 10**6), max_size=5),
    back=st.integers(0, 10**6),
    cancelled=st.none() | st.dates(date(2025, 4, 1), date(2025, 7, 30)),
)
def test_what_is_held_always_settles_to_what_was_agreed(
    fee: int, paid: list[int], back: int, cancelled: date | None
) -> None:
    payments = [Payment(CLASS_DAY, cents, "balance") for cents in paid]
    payments.append(Payment(CLASS_DAY, min(back, sum(paid)), "refund"))

    found = seat_money(
        fee_cents=fee, payments=payments, cancelled_on=cancelled, class_day=CLASS_DAY, rule=RULE
    )

    assert found.owed_cents == 0 or found.to_refund_cents == 0
    assert min(found.owed_cents, found.to_refund_cents, found.agreed_cents) >= 0
    settled = found.kept_cents + found.owed_cents - found.to_refund_cents
    # a cancelled seat from which too much went back already is not charged again
    assert settled == found.agreed_cents or (cancelled and settled < found.agreed_cents)


def test_what_is_kept_of_seats_given_up_is_without_tax_and_card_fee() -> None:
    # 110.00 with 10 % tax is 100.00; the card took 3 % of 110.00 and 0.30.
    charges = Charges(card_fee_bp=300, card_fixed_cents=30, tax_bp=1000)

    assert kept_net_cents([11_000, 0], charges=charges) == 9_640
    assert kept_net_cents([20], charges=charges) == 0  # the fee took it all
    assert kept_net_cents([], charges=charges) == 0
    with pytest.raises(MoneyError, match="cannot be below 0"):
        kept_net_cents([-1], charges=charges)
