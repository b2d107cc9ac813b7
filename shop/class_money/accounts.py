"""Reads what was agreed, paid and owed for each seat of a class."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from shop.class_money import writing as class_money
from shop.costing.deposits import SeatMoney, kept_net_cents
from shop.costing.pricing import Charges
from shop.models import ClassTerms, ForgeClass, Seat, SeatPayment


@dataclass(frozen=True)
class SeatPaid:
    """One seat's money: who, what was agreed, paid, owed; each payment."""

    seat: Seat
    who: str
    money: SeatMoney
    payments: tuple[SeatPayment, ...]
    deposit_due: bool

    @property
    def is_given_up(self) -> bool:
        """Whether its student will not come."""
        return self.seat.is_cancelled or self.seat.is_spare


def taken_seats(row: ForgeClass) -> int:
    """Seats with a student, never more than the class has."""
    named = row.seats.filter(is_cancelled=False, is_spare=False).exclude(student="").count()
    return min(named, row.seat_count)


def seats_paid(row: ForgeClass, *, terms: ClassTerms, charges: Charges) -> tuple[SeatPaid, ...]:
    """Each student's seat with its money; cancelled ones stay while money hangs on them.

    Of a class that the shop cancelled nobody owes anything, and what was paid goes back; a seat
    that its student had given up before stays as it was.
    """
    is_on = row.state != ForgeClass.State.CANCELLED
    full = charges.with_tax_cents(terms.fee_cents)
    rule = class_money.rule_of(terms)
    found = []
    for seat in row.seats.prefetch_related("payments__by", "payments__seat"):
        rows = class_money.standing(seat.payments.all())
        is_off = seat.is_cancelled or seat.is_spare
        if not rows and (is_off or not seat.student):
            continue
        cancelled_on = (seat.cancelled_on or row.starts_on) if is_off else None
        fee = full if is_on or is_off else 0
        money = class_money.money_of(
            rows, fee_cents=fee, cancelled_on=cancelled_on, class_day=row.starts_on, rule=rule
        )
        who = seat.student or next((one.who for one in reversed(rows) if one.who), str(seat))
        due = not is_off and money.kept_cents < min(terms.deposit_cents, fee)
        found.append(SeatPaid(seat, who, money, tuple(rows), due))
    return tuple(found)


def kept_cents(seats: Sequence[SeatPaid], *, charges: Charges) -> int:
    """What seats given up leave the shop [minor units]; not what is still to be given back."""
    agreed = [one.money.agreed_cents for one in seats if one.is_given_up]
    return kept_net_cents(agreed, charges=charges)
