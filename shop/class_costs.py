"""Reads what a class will cost and bring: the sums are the pure modules'."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from billets import layup as stack
from billets.case import case_of
from billets.models import Billet
from shop import rack
from shop.billet_cost import Planned, planned_cost
from shop.class_pages import stages_of
from shop.class_spares import SparesView, spares_view
from shop.costing import Line, Step, hours_lines
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
from shop.deposits import ClassMoney
from shop.deposits import class_money as all_seats
from shop.models import ClassTerms, ForgeClass
from shop.pricing import Charges, Priced
from shop.rate_values import ShopRates
from shop.rates import History
from shop.seat_accounts import SeatPaid, kept_cents, seats_paid, taken_seats
from stock.alloys import Book
from stock.house import House
from stock.models import alloy_book
from stock.money import MoneyError

MINUTE_S = 60


@dataclass(frozen=True)
class Billets:
    """What the billets of a class will cost: the usual one, and those of a layup of their own."""

    usual: Planned
    own_cents: tuple[int, ...]  # of the seats that are taken, each over the usual one
    spares_cents: int  # less what as many failed ones are still worth
    salvage_cents: int = 0  # of a usual one

    @property
    def spare_cents(self) -> int:
        """What a usual spare adds: it is made for one that fails [minor units]."""
        return self.usual.cents - self.salvage_cents

    @property
    def own_count(self) -> int:
        """Seats whose billet is not the usual one."""
        return sum(1 for cents in self.own_cents if cents)


@dataclass(frozen=True)
class ClassMoneyView:
    """Everything that the money page of a class shows."""

    costs: ClassCosts
    billets: Billets
    taken: int
    priced: Priced
    full: Priced
    break_even: BreakEven
    rows: tuple[SeatsRow, ...]
    next_cents: int | None
    wanted: Priced | None
    wanted_refused: str
    spares: SparesView | None
    seats: tuple[SeatPaid, ...]
    together: ClassMoney
    shop: ShopRates
    charges: Charges  # of a seat: a deposit and a balance are two payments
    payments_a_seat: int
    fee_cents: int
    has_rates: bool
    rates_words: str

    @property
    def billet(self) -> Planned:
        """The usual billet."""
        return self.billets.usual

    @property
    def fee_with_tax_cents(self) -> int:
        """What a student pays [minor units]."""
        return self.charges.with_tax_cents(self.fee_cents)

    @property
    def fees_cents(self) -> int:
        """Fees of the seats taken, without tax [minor units]."""
        return self.taken * self.fee_cents

    @property
    def net_cents(self) -> int:
        """What a seat brings after its card fees [minor units]."""
        return self.charges.net_cents(self.fee_cents)

    @property
    def card_cents(self) -> int:
        """Card fees of the seats taken, below 0 as they are taken off [minor units]."""
        return -self.priced.card_fee_cents

    @property
    def cost_cents(self) -> int:
        """Cost with the seats taken, below 0 as it is taken off [minor units]."""
        return -self.priced.cost_cents

    @property
    def own_cents(self) -> int:
        """What layups of their own add for the seats taken; below 0 is cheaper [minor units]."""
        return self.costs.extra_cents[self.taken] if self.costs.extra_cents else 0


def rates_day(row: ForgeClass) -> date:
    """The day whose rates a class is reckoned with: its last, and rates to come count already."""
    return row.ends_on


def class_costs(
    row: ForgeClass, *, terms: ClassTerms, billets: Billets, shop: ShopRates, kept: int = 0
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
    if billets.salvage_cents:
        number += ", less what as many failed ones are still worth"
    fixed = [
        *given, *hours_lines(steps, rates=shop.rates), Line("spares", number, billets.spares_cents)
    ]  # fmt: skip
    per_seat = [
        Line("billet", "A billet", billets.usual.cents),
        Line("seat", "Food and handouts", terms.seat_cents),
    ]
    return ClassCosts(
        seats=row.seat_count,
        fixed=tuple(line for line in fixed if line.cents),
        per_seat=tuple(line for line in per_seat if line.cents),
        extra_cents=running(billets.own_cents, seats=row.seat_count),
        kept_cents=kept,
    )


def running(own_cents: Sequence[int], *, seats: int) -> tuple[int, ...]:
    """What own layups add with 0, 1, 2 … seats taken; empty where none adds anything."""
    if not any(own_cents):
        return ()
    sums = [sum(own_cents[:taken]) for taken in range(seats + 1)]
    return tuple(sums)


def class_billets(row: ForgeClass, *, shop: ShopRates, house: House, alloys: Book) -> Billets:
    """What every billet of a class will cost; each design is reckoned once."""
    known: dict[stack.Design, Planned] = {}

    def cost(design: stack.Design) -> Planned:
        if design not in known:
            case = case_of(design, alloys=alloys, house=house)
            known[design] = planned_cost(case, shop=shop, is_for_class=True)
        return known[design]

    usual = cost(row.layup.design())
    seats = rack.active_seats(row)
    own = [
        cost(rack.design_of(seat)).cents - usual.cents
        for seat in seats
        if seat.student and not seat.is_spare
    ]
    spare = [cost(rack.design_of(seat)).cents for seat in seats if seat.is_spare][: row.spares]
    spare += [usual.cents] * (row.spares - len(spare))
    less = sum(cents - shop.salvage_of(cents) for cents in spare)
    return Billets(usual, tuple(own[: row.seat_count]), less, shop.salvage_of(usual.cents))


def seat_payments(terms: ClassTerms) -> int:
    """How often a student pays: a deposit and a balance, or all at once."""
    return 2 if 0 < terms.deposit_cents < terms.fee_cents else 1


def class_money_view(
    row: ForgeClass, *, terms: ClassTerms, history: History, house: House
) -> ClassMoneyView:
    """The whole page's figures, with the rates that hold on the last day of the class."""
    alloys = alloy_book()
    found = history.on_or_none(rates_day(row))
    shop = found or ShopRates()
    charges = shop.charges.in_payments(seat_payments(terms))
    billets = class_billets(row, shop=shop, house=house, alloys=alloys)
    seats = seats_paid(row, terms=terms, charges=shop.charges)
    kept = kept_cents(seats, charges=shop.charges)
    costs = class_costs(row, terms=terms, billets=billets, shop=shop, kept=kept)
    taken, fee = taken_seats(row), terms.fee_cents
    wanted, refused = wanted_fee(costs, terms=terms, charges=charges)
    return ClassMoneyView(
        costs=costs,
        billets=billets,
        taken=taken,
        priced=class_priced(costs, taken=taken, fee_cents=fee, charges=charges),
        full=class_priced(costs, taken=costs.seats, fee_cents=fee, charges=charges),
        break_even=break_even(costs, fee_cents=fee, charges=charges),
        rows=seats_table(costs, fee_cents=fee, charges=charges),
        next_cents=next_seat_cents(costs, taken=taken, fee_cents=fee, charges=charges),
        wanted=wanted,
        wanted_refused=refused,
        spares=spares_view(row, terms=terms, alloys=alloys, cents=billets.spare_cents),
        seats=seats,
        together=all_seats([one.money for one in seats]),
        shop=shop,
        charges=charges,
        payments_a_seat=seat_payments(terms),
        fee_cents=fee,
        has_rates=found is not None,
        rates_words=history.words_on(rates_day(row)),
    )


def wanted_fee(
    costs: ClassCosts, *, terms: ClassTerms, charges: Charges
) -> tuple[Priced | None, str]:
    """The fee that leaves the wanted margin with all seats taken, or why there is none."""
    try:
        found = fee_for_margin(costs, taken=costs.seats, margin_bp=terms.margin_bp, charges=charges)
    except MoneyError as error:
        return None, str(error)
    return found, ""


def begun_count(billets: Sequence[Billet]) -> int:
    """Billets of which anything was done."""
    return sum(1 for stage in stages_of(billets).values() if stage != "planned")
