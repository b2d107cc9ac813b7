"""A seat's money: deposits and balances paid, what is owed, what goes back on cancelling.

It records what was agreed and what was handed over; no card is processed here.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from shop.costing.pricing import Charges
from stock.quantities.money import BASIS_POINTS, MoneyError, not_below_zero, portion


@dataclass(frozen=True)
class Payment:
    """Money that changed hands on a day; a refund is money going back, written above 0."""

    day: date
    cents: int
    kind: Literal["deposit", "balance", "refund"]

    def __post_init__(self) -> None:
        not_below_zero(payment=self.cents)


@dataclass(frozen=True)
class RefundStep:
    """Cancelled at least so many days before the class, so much of what was paid goes back."""

    days_before: int
    back_bp: int

    def __post_init__(self) -> None:
        not_below_zero(days_before_the_class=self.days_before, refund=self.back_bp)
        if self.back_bp > BASIS_POINTS:
            raise MoneyError(
                f"A refund of {self.back_bp / 100:g} % was given; no more than 100 % can go back.",
                given=self.back_bp,
            )


@dataclass(frozen=True)
class SeatMoney:
    """How a seat stands: none of these is below 0, and at most one of the last two is above."""

    agreed_cents: int  # the fee, or after cancelling what the shop keeps
    paid_cents: int
    refunded_cents: int
    owed_cents: int  # by the student
    to_refund_cents: int  # by the shop

    @property
    def kept_cents(self) -> int:
        """What the shop holds of it now [minor units]."""
        return self.paid_cents - self.refunded_cents


@dataclass(frozen=True)
class ClassMoney:
    """All seats of a class together."""

    agreed_cents: int
    paid_cents: int
    refunded_cents: int
    owed_cents: int
    to_refund_cents: int


class RefundTooLargeError(MoneyError):
    """More went back than had been paid; facts: `paid_cents`, `refunded_cents`."""

    def __init__(self, *, paid_cents: int, refunded_cents: int) -> None:
        super().__init__(
            f"{refunded_cents} was refunded of {paid_cents} paid; no more can go back than came.",
            given=refunded_cents,
        )
        self.paid_cents = paid_cents
        self.refunded_cents = refunded_cents


def refund_share_bp(*, cancelled_on: date, class_day: date, rule: Sequence[RefundStep]) -> int:
    """Share of what was paid that goes back for a seat cancelled on a day.

    Args:
        cancelled_on: the day of cancelling.
        class_day: first day of the class.
        rule: steps in any order; none means that nothing goes back.

    Returns:
        Basis points [0.01 %], of the step with the most days that was still kept.
    """
    days_before = (class_day - cancelled_on).days
    kept = [step for step in rule if step.days_before <= days_before]
    return max(kept, key=lambda step: step.days_before).back_bp if kept else 0


def seat_money(
    *,
    fee_cents: int,
    payments: Sequence[Payment] = (),
    cancelled_on: date | None = None,
    class_day: date | None = None,
    rule: Sequence[RefundStep] = (),
) -> SeatMoney:
    """What was paid for a seat, and what is still owed to whom.

    Args:
        fee_cents: what the student is to pay, with tax [minor units], 0 or more.
        payments: all that changed hands, in any order.
        cancelled_on: the day the seat was cancelled, or None.
        class_day: first day of the class; needed for a cancelled seat.
        rule: the terms for refunds.

    Returns:
        Sums in minor units. A cancelled seat owes nothing more; the shop keeps the part of
        what was paid by then that does not go back. Paid too much counts as owed by the shop.

    Raises:
        MoneyError: the fee is below 0, or a cancelled seat has no class day.
        RefundTooLargeError: more went back than had been paid.
    """
    paid = sum(payment.cents for payment in payments if payment.kind != "refund")
    refunded = sum(payment.cents for payment in payments if payment.kind == "refund")
    if refunded > paid:
        raise RefundTooLargeError(paid_cents=paid, refunded_cents=refunded)
    back_bp = 0
    if cancelled_on is not None:
        if class_day is None:
            raise MoneyError("A cancelled seat needs the day of its class to know its refund.")
        back_bp = refund_share_bp(cancelled_on=cancelled_on, class_day=class_day, rule=rule)
    not_below_zero(fee=fee_cents)
    agreed = fee_cents
    if cancelled_on is not None:
        agreed = min(fee_cents, paid) - portion(min(fee_cents, paid), bp=back_bp)
    held = paid - refunded
    owed = 0 if cancelled_on is not None else max(0, agreed - held)
    return SeatMoney(
        agreed_cents=agreed,
        paid_cents=paid,
        refunded_cents=refunded,
        owed_cents=owed,
        to_refund_cents=max(0, held - agreed),
    )


def class_money(seats: Sequence[SeatMoney]) -> ClassMoney:
    """Deposits, balances and refunds of a whole class.

    Args:
        seats: one for each seat, cancelled ones as well.

    Returns:
        Sums in minor units.
    """
    return ClassMoney(
        agreed_cents=sum(seat.agreed_cents for seat in seats),
        paid_cents=sum(seat.paid_cents for seat in seats),
        refunded_cents=sum(seat.refunded_cents for seat in seats),
        owed_cents=sum(seat.owed_cents for seat in seats),
        to_refund_cents=sum(seat.to_refund_cents for seat in seats),
    )


def kept_net_cents(kept_cents: Sequence[int], *, charges: Charges) -> int:
    """What money kept of seats given up leaves the shop.

    Args:
        kept_cents: kept of each seat by the terms, with tax in it [minor units], 0 or more.
        charges: card fee and tax; each was one payment.

    Returns:
        Minor units without tax and after the card fee, 0 or more.

    Raises:
        MoneyError: an amount is below 0.

    Source:
        The shop's own terms; the card fee of a payment does not come back (common practice).
    """
    for cents in kept_cents:
        not_below_zero(money_kept=cents)
    nets = [charges.net_cents(charges.without_tax_cents(cents)) for cents in kept_cents]
    return sum(max(0, net) for net in nets)
