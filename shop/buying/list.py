"""What a look at what to buy found, as plain data that is kept and shown.

Pure. Written to JSON by a run and read back by the pages; it leaves out how it is made from
the solver's answer (`shop.buying.answer`). Days are ISO text, so that JSON keeps them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from datetime import date, timedelta
from typing import Any

from shop.calendar.opening import days_words, delivered_on
from stock.quantities.named_values import Json

BEST = "best"


@dataclass(frozen=True)
class WhyLine:
    """One class that is short of it: so many blanks of so many."""

    class_id: int
    title: str
    starts_on: str
    short: int
    wanted: int


@dataclass(frozen=True)
class Size:
    """Blanks of one size that are short."""

    width_nm: int
    length_nm: int
    count: int


@dataclass(frozen=True)
class Seller:
    """Who sells it, and the last day on which it can be ordered in time."""

    supplier: str
    days: int
    last_order_day: str  # empty when there is no hurry
    counts: str = "calendar"

    @property
    def days_words(self) -> str:
        """How long it takes, as it says itself."""
        return days_words(self.days, counts=self.counts)

    def is_late(self, today: date) -> bool:
        """Whether that day has gone."""
        return bool(self.last_order_day) and date.fromisoformat(self.last_order_day) < today


@dataclass(frozen=True)
class LackLine:
    """One thing that is short, for whom, and by when."""

    key: str
    label: str
    form: str  # "bar" | "sheet" | form of the material
    by_day: str
    is_tight: bool = False
    why: tuple[WhyLine, ...] = ()
    sizes: tuple[Size, ...] = ()
    bars_there: int = 0  # on the rack and on order, that will be cut as well
    sellers: tuple[Seller, ...] = ()
    amount: int = 0  # of wire, counted things and levels: what is missing
    level: int = 0
    left: int = 0  # on the day it falls below
    falls_on: str = ""
    falls_for: str = ""
    uncovered: str = ""  # why no offer covers it

    @property
    def count(self) -> int:
        """Blanks that are short."""
        return sum(size.count for size in self.sizes)


@dataclass(frozen=True)
class BuyLine:
    """So many packs of one offer."""

    lack: str
    label: str
    offer_id: int
    material_id: int
    form: str
    packs: int
    per_pack: int
    length_nm: int
    width_nm: int
    mass_ug: int
    cents: int

    @property
    def pieces(self) -> int:
        """Bars, rolls, sheets, spools or counted things in all."""
        return self.packs * self.per_pack


@dataclass(frozen=True)
class BuyOrder:
    """What is bought from one supplier."""

    supplier: str
    days: int
    arrives_on: str
    goods_cents: int
    delivery_cents: int
    lines: tuple[BuyLine, ...]
    working_days: int | None = None  # where its supplier counts those

    @property
    def days_words(self) -> str:
        """How long it takes, as its supplier says."""
        if self.working_days is None:
            return days_words(self.days, counts="calendar")
        return days_words(self.working_days, counts="working")

    def arrives(self, ordered_on: date) -> date:
        """When it is there if it is ordered on a day, which may be later than the list."""
        if self.working_days is None:
            return ordered_on + timedelta(days=self.days)
        return delivered_on(ordered_on, days=self.working_days, counts="working")

    @property
    def cents(self) -> int:
        """Goods and delivery."""
        return self.goods_cents + self.delivery_cents


@dataclass(frozen=True)
class Way:
    """One way to buy all that can be bought."""

    key: str  # "best" | "one-supplier" | "sooner" | "others" | "late"
    sentence: str  # against the best; empty for the best itself
    dearer_cents: int
    days_sooner: int
    orders: tuple[BuyOrder, ...]

    @property
    def cents(self) -> int:
        """All orders."""
        return sum(order.cents for order in self.orders)


@dataclass(frozen=True)
class CutLine:
    """How one bar is cut; `count` bars alike."""

    lack: str
    length_nm: int
    cuts: tuple[int, ...]
    count: int
    is_bought: bool


@dataclass(frozen=True)
class Leftover:
    """What the cheapest way leaves for the next class."""

    label: str
    form: str
    lengths_nm: tuple[int, ...] = ()
    areas: tuple[Size, ...] = ()
    amount: int = 0


@dataclass(frozen=True)
class AreaLine:
    """What an area costs as this offer; delivery is not in it."""

    label: str
    supplier: str
    offer: str
    form: str
    width_nm: int
    length_nm: int
    cents_per_m2: int
    cents_per_ft2: int


@dataclass(frozen=True)
class ShoppingList:
    """The whole look: what is short, the ways to buy it, what is left over."""

    made_on: str
    lacks: tuple[LackLine, ...] = ()
    ways: tuple[Way, ...] = ()
    at_least_cents: int | None = None
    is_cut_short: bool = False
    kerf_nm: int = 0
    cuts: tuple[CutLine, ...] = ()
    leftovers: tuple[Leftover, ...] = ()
    areas: tuple[AreaLine, ...] = ()

    @property
    def best(self) -> Way | None:
        """The cheapest way; None when nothing has to or can be bought."""
        return next((way for way in self.ways if way.key == BEST), None)

    def way(self, key: str) -> Way | None:
        """A way by its key."""
        return next((way for way in self.ways if way.key == key), None)

    @property
    def is_proved(self) -> bool:
        """Whether nothing cheaper covers it on these offers."""
        best = self.best
        return best is not None and (self.at_least_cents or 0) >= best.cents

    @property
    def gap_percent(self) -> float:
        """How much cheaper it could still be, at most, in per cent."""
        best = self.best
        if best is None or self.is_proved or not best.cents:
            return 0.0
        return round(100 * (best.cents - (self.at_least_cents or 0)) / best.cents, 1)

    def to_json(self) -> Json:
        """Plain data for the database."""
        return asdict(self)

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> ShoppingList:
        """A list from what `to_json` wrote."""
        return cls(
            **{
                **data,
                "lacks": tuple(_lack(one) for one in data["lacks"]),
                "ways": tuple(_way(one) for one in data["ways"]),
                "cuts": tuple(
                    CutLine(**{**one, "cuts": tuple(one["cuts"])}) for one in data["cuts"]
                ),
                "leftovers": tuple(_leftover(one) for one in data["leftovers"]),
                "areas": tuple(AreaLine(**one) for one in data["areas"]),
            }
        )


def _lack(data: Mapping[str, Any]) -> LackLine:
    parts = {
        "why": tuple(WhyLine(**one) for one in data["why"]),
        "sizes": tuple(Size(**one) for one in data["sizes"]),
        "sellers": tuple(Seller(**one) for one in data["sellers"]),
    }
    return LackLine(**{**data, **parts})


def _way(data: Mapping[str, Any]) -> Way:
    orders = tuple(
        BuyOrder(**{**one, "lines": tuple(BuyLine(**line) for line in one["lines"])})
        for one in data["orders"]
    )
    return Way(**{**data, "orders": orders})


def _leftover(data: Mapping[str, Any]) -> Leftover:
    areas = tuple(Size(**one) for one in data["areas"])
    return Leftover(**{**data, "lengths_nm": tuple(data["lengths_nm"]), "areas": areas})
