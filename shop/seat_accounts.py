"""What was agreed, paid and owed for each seat of a class. Pure."""

from __future__ import annotations

from dataclasses import dataclass

from shop.class_books import ClassBooks, Paid, SeatBooks
from shop.deposits import ClassMoney, SeatMoney, class_money, kept_net_cents, seat_money
from shop.pricing import Charges


@dataclass(frozen=True)
class SeatPaid:
    """One seat's money: who, what was agreed, paid, owed; each payment."""

    seat: SeatBooks
    who: str
    money: SeatMoney
    deposit_due: bool

    @property
    def payments(self) -> tuple[Paid, ...]:
        """Payments that stand, in their order."""
        return self.seat.payments


@dataclass(frozen=True)
class SeatAccounts:
    """All seats of a class with their money, students first."""

    seats: tuple[SeatPaid, ...]
    charges: Charges  # on each payment

    @property
    def together(self) -> ClassMoney:
        """The sums of all seats."""
        return class_money([one.money for one in self.seats])

    @property
    def kept_cents(self) -> int:
        """What seats given up leave the shop; not what is still to go back [minor units]."""
        agreed = [one.money.agreed_cents for one in self.seats if one.seat.is_given_up]
        return kept_net_cents(agreed, charges=self.charges)


def seat_accounts(books: ClassBooks) -> SeatAccounts:
    """Each student's seat with its money; cancelled ones stay while money hangs on them.

    Of a class that the shop cancelled nobody owes anything, and what was paid goes back; a seat
    that its student had given up before stays as it was.

    Args:
        books: the class.

    Returns:
        One for each seat that somebody has or has paid for.
    """
    shown = (
        seat for seat in books.seats if seat.payments or (seat.student and not seat.is_given_up)
    )
    return SeatAccounts(tuple(seat_paid(seat, books=books) for seat in shown), books.shop.charges)


def seat_paid(seat: SeatBooks, *, books: ClassBooks) -> SeatPaid:
    """One seat with its money."""
    terms, is_off = books.terms, seat.is_given_up
    fee = 0 if books.is_called_off and not is_off else books.fee.with_tax_cents
    money = seat_money(
        fee_cents=fee,
        payments=seat.payments,
        cancelled_on=(seat.cancelled_on or books.starts_on) if is_off else None,
        class_day=books.starts_on,
        rule=terms.refund_rule,
    )
    payers = (one.who for one in reversed(seat.payments) if one.who)
    due = not is_off and money.kept_cents < min(terms.deposit_cents, fee)
    return SeatPaid(seat, seat.student or next(payers, seat.words), money, due)
