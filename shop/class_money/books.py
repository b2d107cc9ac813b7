"""All that the money of one class rests on, as one frozen value of plain numbers. Pure.

`shop.class_money.reading` reads it, once; costs, seats, spares and the after-class split answer
from it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from billets.layup.design import Design
from shop.billet_cost.planned import Market, MetalKey
from shop.costing.deposits import Payment, RefundStep
from shop.costing.labour import Reached
from shop.costing.pricing import Fee
from shop.costing.rate_values import ShopRates
from shop.yields.record import Record
from stock.house import House
from stock.quantities.money import BASIS_POINTS

MINUTE_S = 60


@dataclass(frozen=True)
class Terms:
    """What was agreed and planned for a class; `real` has what came out, by the same names."""

    is_written: bool = False
    fee_cents: int = 0  # without tax
    deposit_cents: int = 0
    margin_bp: int = 0  # wanted
    place_cents: int = 0
    helper_cents: int = 0
    other_cents: int = 0
    seat_cents: int = 0  # food, handouts: each seat
    prepare_minutes: int = 0  # beside the billets
    teach_minutes: int = 0
    confidence_percent: int = 90
    refund_rule: tuple[RefundStep, ...] = ()
    real: Mapping[str, int] = field(default_factory=dict)

    def planned_of(self, name: str) -> int:
        """A planned cost or time, such as "place_cents"."""
        planned: int = getattr(self, name)
        return planned

    def real_of(self, name: str) -> int:
        """The same as it came out; as planned where nothing was written down."""
        return self.real.get(name, self.planned_of(name))

    @property
    def wanted_share(self) -> float:
        """The wanted margin as a ratio."""
        return self.margin_bp / BASIS_POINTS

    @property
    def payments_a_seat(self) -> int:
        """How often a student pays: a deposit and a balance, or all at once."""
        return 2 if 0 < self.deposit_cents < self.fee_cents else 1


@dataclass(frozen=True)
class Paid(Payment):
    """A payment that stands, as a page tells it."""

    pk: int
    kind_words: str
    who: str  # the student's name on that day
    note: str
    by: str


@dataclass(frozen=True)
class BilletDone:
    """What was done to a billet."""

    is_begun: bool
    has_failed: bool
    reached: Reached


@dataclass(frozen=True)
class SeatBooks:
    """One seat: its student, its billet's design, what was paid; `done` once the class is held."""

    words: str
    student: str
    is_spare: bool
    is_cancelled: bool
    cancelled_on: date | None
    design: Design
    payments: tuple[Paid, ...] = ()
    has_billet: bool = False
    done: BilletDone | None = None

    @property
    def is_given_up(self) -> bool:
        """Whether its student will not come."""
        return self.is_cancelled or self.is_spare


@dataclass(frozen=True)
class MetalBooks:
    """Metal of a class as the plan and the ledger have it, by kind."""

    planned: Mapping[MetalKey, int] = field(default_factory=dict)
    real: Mapping[MetalKey, int] = field(default_factory=dict)
    real_cents: Mapping[MetalKey, int] = field(default_factory=dict)


@dataclass(frozen=True)
class ClassBooks:
    """One class: its days and seats, terms and payments, rates, metal prices and yield record."""

    starts_on: date
    is_held: bool
    is_called_off: bool
    seat_count: int
    spares: int
    design: Design  # of its layup
    terms: Terms
    seats: tuple[SeatBooks, ...]  # students first, then spares; cancelled ones among them
    shop: ShopRates  # of its last day
    has_rates: bool
    rates_words: str
    market: Market
    house: House
    record: Record  # of like billets
    kind_words: str
    metal: MetalBooks = MetalBooks()  # once it is held

    @property
    def fee(self) -> Fee:
        """What a seat is to pay, in one payment or in two."""
        charges = self.shop.charges.in_payments(self.terms.payments_a_seat)
        return Fee(self.terms.fee_cents, charges)

    @property
    def active_seats(self) -> tuple[SeatBooks, ...]:
        """Seats that are not cancelled."""
        return tuple(seat for seat in self.seats if not seat.is_cancelled)

    @property
    def taken(self) -> int:
        """Seats with a student, never more than the class has."""
        named = sum(1 for seat in self.active_seats if seat.student and not seat.is_spare)
        return min(named, self.seat_count)

    @property
    def made(self) -> tuple[SeatBooks, ...]:
        """Seats with a billet."""
        return tuple(seat for seat in self.active_seats if seat.has_billet)

    @property
    def reached(self) -> tuple[Reached, ...]:
        """What was done to each billet, by seat."""
        return tuple(seat.done.reached for seat in self.made if seat.done)
