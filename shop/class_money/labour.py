"""Hours at a class's billets as lines of its cost, planned beside real. Pure.

Only cutting, cleaning and welding shut are here, for those are done before anybody teaches.
Forging and finishing at a class's billets are part of teaching and counted there.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from billets.layup.work_time import hours_text
from shop.billet_cost.planned import Planned
from shop.class_money.books import ClassBooks, Paid, SeatBooks
from shop.class_work.hours import StepSum
from shop.costing.deposits import ClassMoney, SeatMoney, class_money, kept_net_cents, seat_money
from shop.costing.lines import cents_of
from shop.costing.pricing import Charges
from shop.costing.rate_values import BEFORE_CLASS, ShopRates
from shop.costing.seats import PlannedLine, Used
from stock.quantities.money import for_hours

LABELS = {
    "cut_s": "Cutting the billets",
    "clean_s": "Cleaning the billets",
    "weld_s": "Welding the billets shut",
}


def labour_lines(
    sums: Sequence[StepSum], plans: Sequence[Planned], *, shop: ShopRates
) -> list[PlannedLine]:
    """A line for each step before the class, and the overhead on all of them.

    Args:
        sums: hours by step over the billets of the class.
        plans: what each of these billets was planned to cost.
        shop: the rates of the class's day.

    Returns:
        Seconds and money, planned and real.
    """
    steps = [one for one in sums if one.name in BEFORE_CLASS]
    lines = [
        PlannedLine(
            one.name,
            LABELS[one.name],
            Used(one.planned_s, step_cents(plans, word=one.word)),
            Used(one.real_s, real_cents(one, shop=shop)),
        )
        for one in steps
    ]
    rate = shop.rates.overhead_cents_per_hour
    was, came = sum(one.planned_s for one in steps), sum(one.real_s for one in steps)
    planned = sum(cents_of(plan.lines, "overhead") for plan in plans)
    overhead = PlannedLine(
        "billet-overhead",
        "Overhead at the billets",
        Used(was, planned),
        Used(came, for_hours(rate, seconds=came)),
    )
    return [*lines, overhead]


def step_cents(plans: Sequence[Planned], *, word: str) -> int:
    """What a step was planned to cost over all billets [minor units]."""
    lines = [line for plan in plans for line in plan.lines if line.key == "labour"]
    return sum(line.cents for line in lines if line.label == word)


def real_cents(one: StepSum, *, shop: ShopRates) -> int:
    """Hours at the rates of who worked them, written down or usual."""
    hours: list[tuple[int | None, int]] = list(one.written.items())
    hours += [(person, count * one.usual_s) for person, count in one.assumed.items()]
    cents = 0
    for person, seconds in hours:
        own = shop.labour_of(person)
        rate = shop.rates.labour_cents_per_hour if own is None else own
        cents += for_hours(rate, seconds=seconds)
    return cents


def clock_words(sums: Sequence[StepSum]) -> str:
    """How much stands written down before the class, for the hand that types the other hours.

    Args:
        sums: hours by step over the billets of the class.

    Returns:
        Two sentences.
    """
    written = sum(one.written_s for one in sums if one.name in BEFORE_CLASS)
    if not written:
        return (
            "No hours at the billets stand written down: each step that was reached counts with "
            "the usual minutes. Hours of preparing are those beside the billets."
        )
    return (
        f"{hours_text(written)} at the billets stand written down and are counted above, so leave "
        "them out here: hours of preparing are those beside the billets. Forging and finishing "
        "belong to the hours of teaching."
    )


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
