"""What a class will cost and bring, from its books. Pure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from billets.layup.case import case_of
from billets.layup.design import Design
from shop.billet_cost.planned import Planned, planned_billet
from shop.class_money.books import MINUTE_S, ClassBooks
from shop.class_money.labour import SeatPaid, seat_accounts
from shop.class_money.profit_drawing import ProfitPlot, profit_plot
from shop.costing.deposits import ClassMoney
from shop.costing.lines import Line, Step, hours_lines
from shop.costing.pricing import Charges, Fee, Priced
from shop.costing.rate_values import ShopRates
from shop.costing.seats import (
    BreakEven,
    ClassCosts,
    SeatsRow,
    break_even,
    class_priced,
    fee_for_margin,
    next_seat_cents,
    seats_table,
)
from shop.yields.spares import SparesView, spares_view
from stock.drawings.shapes import DrawingError
from stock.quantities.money import MoneyError

Plans = Mapping[Design, Planned]


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
    fee: Fee  # of a seat: a deposit and a balance are two payments
    payments_a_seat: int
    has_rates: bool
    rates_words: str
    plans: Plans  # what each billet will cost, by its design

    @property
    def billet(self) -> Planned:
        """The usual billet."""
        return self.billets.usual

    @property
    def charges(self) -> Charges:
        """Card fee and tax on a seat."""
        return self.fee.charges

    @property
    def plot(self) -> ProfitPlot | None:
        """Profit by seats; nothing to draw where there is none."""
        try:
            return profit_plot([row.profit_cents for row in self.rows], taken=self.taken)
        except DrawingError:
            return None

    @property
    def fee_with_tax_cents(self) -> int:
        """What a student pays [minor units]."""
        return self.fee.with_tax_cents

    @property
    def fees_cents(self) -> int:
        """Fees of the seats taken, without tax [minor units]."""
        return self.taken * self.fee.cents

    @property
    def net_cents(self) -> int:
        """What a seat brings after its card fees [minor units]."""
        return self.fee.net_cents

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


def class_plans(books: ClassBooks) -> Plans:
    """What every billet of a class will cost; each design is reckoned once.

    Args:
        books: the class.

    Returns:
        The cost of its layup, and of each seat that has a student or a billet, by design.
    """
    wanted = [
        seat.design
        for seat in books.active_seats
        if seat.student or seat.is_spare or seat.has_billet
    ]
    alloys, house = books.market.alloys, books.house
    return {
        design: planned_billet(
            case_of(design, alloys=alloys, house=house),
            market=books.market,
            shop=books.shop,
            is_for_class=True,
        )
        for design in dict.fromkeys([books.design, *wanted])
    }


def class_billets(books: ClassBooks, *, plans: Plans) -> Billets:
    """The usual billet, those of the seats that are taken, and the spares."""
    usual, worth = plans[books.design], books.shop.salvage_of
    seats = books.active_seats
    own = [
        plans[seat.design].cents - usual.cents
        for seat in seats
        if seat.student and not seat.is_spare
    ]
    spare = [plans[seat.design].cents for seat in seats if seat.is_spare][: books.spares]
    spare += [usual.cents] * (books.spares - len(spare))
    less = sum(cents - worth(cents) for cents in spare)
    return Billets(usual, tuple(own[: books.seat_count]), less, worth(usual.cents))


def class_costs(books: ClassBooks, *, billets: Billets, kept: int = 0) -> ClassCosts:
    """What a class costs whoever comes, and what each seat adds."""
    terms = books.terms
    steps = [
        Step("Preparing the class", terms.prepare_minutes * MINUTE_S),
        Step("Teaching", terms.teach_minutes * MINUTE_S),
    ]
    number = f"{books.spares} spare billet{'' if books.spares == 1 else 's'}"
    if billets.salvage_cents:
        number += ", less what as many failed ones are still worth"
    fixed = [
        Line("place", "Place", terms.place_cents),
        Line("helper", "Helper", terms.helper_cents),
        Line("other", "Other costs", terms.other_cents),
        *hours_lines(steps, rates=books.shop.rates),
        Line("spares", number, billets.spares_cents),
    ]
    per_seat = [
        Line("billet", "A billet", billets.usual.cents),
        Line("seat", "Food and handouts", terms.seat_cents),
    ]
    return ClassCosts(
        seats=books.seat_count,
        fixed=tuple(line for line in fixed if line.cents),
        per_seat=tuple(line for line in per_seat if line.cents),
        extra_cents=running(billets.own_cents, seats=books.seat_count),
        kept_cents=kept,
    )


def running(own_cents: Sequence[int], *, seats: int) -> tuple[int, ...]:
    """What own layups add with 0, 1, 2 … seats taken; empty where none adds anything."""
    if not any(own_cents):
        return ()
    sums = [sum(own_cents[:taken]) for taken in range(seats + 1)]
    return tuple(sums)


def class_money_view(books: ClassBooks) -> ClassMoneyView:
    """Every figure of a class's money page but the after-class split.

    Args:
        books: the class.

    Returns:
        Costs, fee, break-even, profit by seats, spares, seats with their money.
    """
    plans, accounts = class_plans(books), seat_accounts(books)
    billets = class_billets(books, plans=plans)
    costs = class_costs(books, billets=billets, kept=accounts.kept_cents)
    taken, fee = books.taken, books.fee
    wanted, refused = wanted_fee(costs, margin_bp=books.terms.margin_bp, charges=fee.charges)
    return ClassMoneyView(
        costs=costs,
        billets=billets,
        taken=taken,
        priced=class_priced(costs, taken=taken, fee=fee),
        full=class_priced(costs, taken=costs.seats, fee=fee),
        rows=seats_table(costs, fee=fee),
        next_cents=next_seat_cents(costs, taken=taken, fee=fee),
        break_even=break_even(costs, fee=fee),
        wanted=wanted,
        wanted_refused=refused,
        spares=spares_view(
            books.seat_count,
            planned=books.seat_count + books.spares,
            record=books.record,
            kind_words=books.kind_words,
            confidence_percent=books.terms.confidence_percent,
            cents=billets.spare_cents,
        ),
        seats=accounts.seats,
        together=accounts.together,
        shop=books.shop,
        fee=fee,
        payments_a_seat=books.terms.payments_a_seat,
        has_rates=books.has_rates,
        rates_words=books.rates_words,
        plans=plans,
    )


def wanted_fee(costs: ClassCosts, *, margin_bp: int, charges: Charges) -> tuple[Priced | None, str]:
    """The fee that leaves the wanted margin with all seats taken, or why there is none."""
    try:
        found = fee_for_margin(costs, taken=costs.seats, margin_bp=margin_bp, charges=charges)
    except MoneyError as error:
        return None, str(error)
    return found, ""
