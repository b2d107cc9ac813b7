"""Reads what a class will cost and bring, and what it did: the sums are the pure modules'."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from billets.models import Billet
from shop import class_money, like_billets
from shop.billet_cost import Planned, planned_cost
from shop.class_pages import stages_of
from shop.costing import Line, Step, hours_lines, total_cents
from shop.costing_class import (
    BreakEven,
    ClassCosts,
    SeatsRow,
    break_even,
    class_priced,
    fee_for_margin,
    next_seat_cents,
    seats_table,
)
from shop.deposits import ClassMoney, SeatMoney
from shop.deposits import class_money as all_seats
from shop.models import ClassTerms, ForgeClass, Seat, SeatPayment
from shop.pricing import Priced
from shop.rate_values import ShopRates
from shop.rates import History
from shop.yield_record import Record
from shop.yields import Spares, spares
from stock.alloys import Book
from stock.house import House
from stock.models import alloy_book
from stock.money import MoneyError

MINUTE_S = 60
TABLE_ROWS = 6


@dataclass(frozen=True)
class SeatPaid:
    """One seat's money: who, what was agreed, paid, owed; each payment."""

    seat: Seat
    who: str
    money: SeatMoney
    payments: tuple[SeatPayment, ...]
    deposit_due: bool


@dataclass(frozen=True)
class ClassMoneyView:
    """Everything that the money page of a class shows."""

    costs: ClassCosts
    billet: Planned
    taken: int
    priced: Priced
    full: Priced
    break_even: BreakEven
    rows: tuple[SeatsRow, ...]
    next_cents: int | None
    wanted: Priced | None
    wanted_refused: str
    spares: Spares
    record: Record
    kind_words: str
    seats: tuple[SeatPaid, ...]
    together: ClassMoney
    shop: ShopRates
    has_rates: bool

    @property
    def fee_with_tax_cents(self) -> int:
        """What a student pays, where tax is shown [minor units]."""
        return self.shop.charges.with_tax_cents(self.full.price_cents // max(1, self.costs.seats))


def rates_day(row: ForgeClass, *, today: date) -> date:
    """The day whose rates a class is reckoned with: today's, or its own once it is over."""
    return min(today, row.ends_on)


def class_costs(
    row: ForgeClass, *, terms: ClassTerms, billet_cents: int, shop: ShopRates
) -> ClassCosts:
    """What a class costs whoever comes, and what each seat adds."""
    steps = [
        Step("Preparing the class", terms.prepare_minutes * MINUTE_S),
        Step("Teaching", terms.teach_minutes * MINUTE_S),
    ]
    given = [
        Line("place", "Place", terms.place_cents),
        Line("helper", "Helper", terms.helper_cents),
        Line("other", "Other costs", terms.other_cents),
    ]
    number = f"{row.spares} spare billet{'' if row.spares == 1 else 's'}"
    spare = Line("spares", number, row.spares * billet_cents)
    fixed = [*given, *hours_lines(steps, rates=shop.rates), spare]
    per_seat = [
        Line("billet", "A billet", billet_cents),
        Line("seat", "Food and handouts", terms.seat_cents),
    ]
    return ClassCosts(
        seats=row.seat_count,
        fixed=tuple(line for line in fixed if line.cents),
        per_seat=tuple(line for line in per_seat if line.cents),
    )


def class_money_view(
    row: ForgeClass, *, terms: ClassTerms, history: History, house: House, today: date
) -> ClassMoneyView:
    """The whole page's figures."""
    alloys = alloy_book()
    day = rates_day(row, today=today)
    found = history.on_or_none(day)
    shop = found or ShopRates()
    design = row.layup.design()
    billet = planned_cost(design, shop=shop, house=house, alloys=alloys, is_for_class=True)
    costs = class_costs(row, terms=terms, billet_cents=billet.cents, shop=shop)
    seats = seats_paid(row, terms=terms, shop=shop)
    taken = taken_seats(row)
    fee, charges = terms.fee_cents, shop.charges
    record = like_billets.record_of(design, alloys=alloys)
    wanted, refused = wanted_fee(costs, terms=terms, shop=shop)
    return ClassMoneyView(
        costs=costs,
        billet=billet,
        taken=taken,
        priced=class_priced(costs, taken=taken, fee_cents=fee, charges=charges),
        full=class_priced(costs, taken=costs.seats, fee_cents=fee, charges=charges),
        break_even=break_even(costs, fee_cents=fee, charges=charges),
        rows=seats_table(costs, fee_cents=fee, charges=charges),
        next_cents=next_seat_cents(costs, taken=taken, fee_cents=fee, charges=charges),
        wanted=wanted,
        wanted_refused=refused,
        spares=advised_spares(row, terms=terms, record=record, cents=billet.cents),
        record=record,
        kind_words=like_billets.kind_words(like_billets.kind_of(design, alloys=alloys)),
        seats=seats,
        together=all_seats([one.money for one in seats]),
        shop=shop,
        has_rates=found is not None,
    )


def taken_seats(row: ForgeClass) -> int:
    """Seats with a student, never more than the class has."""
    named = row.seats.filter(is_cancelled=False, is_spare=False).exclude(student="").count()
    return min(named, row.seat_count)


def wanted_fee(
    costs: ClassCosts, *, terms: ClassTerms, shop: ShopRates
) -> tuple[Priced | None, str]:
    """The fee that leaves the wanted margin with all seats taken, or why there is none."""
    try:
        found = fee_for_margin(
            costs, taken=costs.seats, margin_bp=terms.margin_bp, charges=shop.charges
        )
    except MoneyError as error:
        return None, str(error)
    return found, ""


def advised_spares(row: ForgeClass, *, terms: ClassTerms, record: Record, cents: int) -> Spares:
    """How many billets give everybody a sound one, by the shop's own record."""
    return spares(
        row.seat_count,
        record=record,
        confidence=terms.confidence_percent / 100,
        cost_cents=cents,
        rows=TABLE_ROWS,
    )


def spares_hint(row: ForgeClass, *, alloys: Book) -> str:
    """What the record advises, in a sentence for the form of a class; it has no money in it."""
    record = like_billets.record_of(row.layup.design(), alloys=alloys)
    found = spares(row.seat_count, record=record, confidence=0.9)
    if found.spares is None:
        return found.words
    return (
        f"For nine chances in ten that all {row.seat_count} students get a sound billet, the "
        f"shop’s own record asks for {found.spares}. {found.words}"
    )


def seats_paid(row: ForgeClass, *, terms: ClassTerms, shop: ShopRates) -> tuple[SeatPaid, ...]:
    """Each student's seat with its money; cancelled ones stay while money hangs on them."""
    fee = shop.charges.with_tax_cents(terms.fee_cents)
    rule = class_money.rule_of(terms)
    found = []
    for seat in row.seats.prefetch_related("payments__by", "payments__seat"):
        rows = class_money.standing(seat.payments.all())
        is_off = seat.is_cancelled or seat.is_spare
        if not rows and (is_off or not seat.student):
            continue
        cancelled_on = (seat.cancelled_on or row.starts_on) if is_off else None
        money = class_money.money_of(
            rows, fee_cents=fee, cancelled_on=cancelled_on, class_day=row.starts_on, rule=rule
        )
        who = seat.student or next((one.who for one in reversed(rows) if one.who), str(seat))
        due = not is_off and money.kept_cents < min(terms.deposit_cents, fee)
        found.append(SeatPaid(seat, who, money, tuple(rows), due))
    return tuple(found)


def begun_count(billets: Sequence[Billet]) -> int:
    """Billets of which anything was done."""
    return sum(1 for stage in stages_of(billets).values() if stage != "planned")


def per_seat_total(costs: ClassCosts) -> int:
    """What one seat adds [minor units]."""
    return total_cents(costs.per_seat)
