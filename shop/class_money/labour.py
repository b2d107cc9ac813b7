"""Reads the hours at a class's billets as lines of its cost, planned beside real.

Only cutting, cleaning and welding shut are here, for those are done before anybody teaches.
Forging and finishing at a class's billets are part of teaching and counted there.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from billets.layup.work_time import hours_text
from billets.models import Billet
from shop.billet_cost.reading import Planned
from shop.class_money import writing as class_money
from shop.class_work import hours as class_hours
from shop.class_work.hours import StepSum
from shop.costing.deposits import SeatMoney, kept_net_cents
from shop.costing.lines import cents_of
from shop.costing.pricing import Charges
from shop.costing.rate_values import BEFORE_CLASS, ShopRates
from shop.costing.seats import PlannedLine, Used
from shop.models import ClassTerms, ForgeClass, Seat, SeatPayment
from stock.quantities.money import for_hours

LABELS = {
    "cut_s": "Cutting the billets",
    "clean_s": "Cleaning the billets",
    "weld_s": "Welding the billets shut",
}


def labour_lines(
    sums: Sequence[StepSum], plans: Sequence[Planned], *, shop: ShopRates
) -> list[PlannedLine]:
    """A line for each step before the class, and the overhead on all of them."""
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


def class_sums(billets: Sequence[Billet], *, shop: ShopRates) -> tuple[StepSum, ...]:
    """Hours by step over the billets of a class, planned by the shop's usual minutes."""
    return class_hours.step_sums(billets, usual=shop.usual, planned=len(billets))


def clock_words(sums: Sequence[StepSum]) -> str:
    """How much stands written down before the class, for the hand that types the other hours."""
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
