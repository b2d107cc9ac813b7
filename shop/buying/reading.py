"""Reads what the buying page shows of the latest look: lacks in words, ways, drawings."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any, NotRequired, TypedDict

from shop.buying import writing as buying
from shop.buying.list import (
    BuyLine,
    BuyOrder,
    CutLine,
    LackLine,
    Leftover,
    Seller,
    ShoppingList,
    Way,
)
from shop.models import BuyingRun, ForgeClass
from stock import clock
from stock.alloys.book import alloy_name
from stock.drawings.pieces import BarCuts, Cut, bar_cuts
from stock.house import House
from stock.models import Form, Purchase, alloy_book
from stock.quantities import units
from stock.quantities.areas import amount_text

WAY_WORDS = {
    "best": "Cheapest in time",
    "one-supplier": "All from one supplier",
    "sooner": "Sooner",
    "others": "From others",
    "late": "Cheaper, but too late",
}
State = BuyingRun.State


@dataclass(frozen=True)
class SellerView:
    """Who sells it, and until when it can be ordered."""

    seller: Seller
    last_day: date | None
    is_late: bool


@dataclass(frozen=True)
class LackView:
    """One thing that is short, in words."""

    lack: LackLine
    by_day: date | None
    falls_on: date | None
    missing: str
    left: str
    level: str
    sellers: tuple[SellerView, ...]
    starts: tuple[tuple[Any, date], ...]  # each class with its first day
    is_ordered: bool = False  # all that covers it was ordered from this list


@dataclass(frozen=True)
class LineView:
    """One line of an order, in words."""

    line: BuyLine
    packs: str
    size: str
    in_all: str


@dataclass(frozen=True)
class OrderView:
    """One supplier's part of a way, and the order that it became."""

    order: BuyOrder
    arrives_on: date
    lines: tuple[LineView, ...]
    purchase_id: int | None


@dataclass(frozen=True)
class WayView:
    """One way to buy all of it."""

    way: Way
    word: str
    arrives_on: date | None
    orders: tuple[OrderView, ...]
    is_open: bool  # whether it can still be ordered


@dataclass(frozen=True)
class CutView:
    """Bars that are cut alike, drawn."""

    line: CutLine
    drawing: BarCuts


@dataclass(frozen=True)
class LeftView:
    """What is left of one thing."""

    left: Leftover
    lengths: tuple[tuple[int, int], ...]  # each with how often it comes
    amount: str


@dataclass(frozen=True)
class OrderToCome:
    """An order that has not come."""

    row: Purchase
    lines: int
    is_late: bool


class BuyingPage(TypedDict):
    """The latest look; what it found once it is ready, ways to buy for those who see money."""

    run: BuyingRun | None
    lost: str
    is_running: bool
    doing: str
    to_come: list[OrderToCome]
    today: date
    is_stale: NotRequired[bool]
    list: NotRequired[ShoppingList]
    lacks: NotRequired[Sequence[LackView]]
    to_plan: NotRequired[Sequence[ForgeClass]]
    best: NotRequired[WayView | None]
    others: NotRequired[Sequence[WayView]]
    cuts: NotRequired[Sequence[tuple[str, Sequence[CutView]]]]
    leftovers: NotRequired[Sequence[LeftView]]


def buying_page(*, house: House) -> BuyingPage:
    """Everything that the buying page shows."""
    today = clock.today()
    run = BuyingRun.objects.select_related("by").first()
    is_lost = run is not None and buying.is_lost(run)
    context = BuyingPage(
        run=run,
        lost=buying.LOST if is_lost else "",
        is_running=run is not None and run.state == State.RUNNING and not is_lost,
        doing=alloy_name(run.progress.get("alloy", ""), book=alloy_book()) if run else "",
        to_come=orders_to_come(today),
        today=today,
    )
    if run is None or run.state != State.READY:
        return context
    found = ShoppingList.from_json(run.result)
    context |= {
        "is_stale": buying.facts_changed(run, house=house),
        "list": found,
        "lacks": [
            replace(
                lack_view(lack, house=house, today=today),
                is_ordered=lack.key in ordered_lacks(run, found),
            )
            for lack in found.lacks
        ],
        "to_plan": classes_to_plan(found),
    }
    if house.sees_money:
        views = [way_view(way, run, house=house) for way in found.ways]
        context |= {
            "best": views[0] if views else None,
            "others": views[1:],
            "cuts": cut_views(found, keep_from_nm=house.keep_from_nm),
            "leftovers": [left_view(one, house=house) for one in found.leftovers],
        }
    return context


def orders_to_come(today: date) -> list[OrderToCome]:
    """Orders that have not come, the soonest due first."""
    rows = Purchase.objects.filter(state=Purchase.State.ORDERED).select_related("supplier")
    rows = rows.prefetch_related("lines").order_by("due_on", "id")
    return [
        OrderToCome(
            row=row,
            lines=len(row.lines.all()),
            is_late=row.due_on is not None and row.due_on < today,
        )
        for row in rows
    ]


def classes_to_plan(found: ShoppingList) -> list[ForgeClass]:
    """Classes without a standing plan that nothing is short for by this list."""
    short = {why.class_id for lack in found.lacks for why in lack.why}
    rows = ForgeClass.objects.filter(state=ForgeClass.State.OPEN, starts_on__gte=clock.today())
    return list(rows.exclude(pk__in=short).filter(seats__is_cancelled=False).distinct())


def ordered_lacks(run: BuyingRun, found: ShoppingList) -> set[str]:
    """What is covered by orders that were placed from a list already."""
    chosen = found.way(run.chosen)
    orders = chosen.orders if chosen else ()
    lines = [(line.lack, order.supplier) for order in orders for line in order.lines]
    open_still = {lack for lack, supplier in lines if supplier not in run.ordered}
    return {lack for lack, _ in lines} - open_still


def lack_view(lack: LackLine, *, house: House, today: date) -> LackView:
    """One thing that is short, in words."""

    def words(amount: int) -> str:
        return amount_text(amount, form=lack.form, system=house.system)

    return LackView(
        lack=lack,
        by_day=day_of(lack.by_day),
        falls_on=day_of(lack.falls_on),
        missing=words(lack.amount) if lack.amount else "",
        left=words(max(0, lack.left)) if lack.falls_on else "",
        level=words(lack.level) if lack.level else "",
        sellers=tuple(
            SellerView(one, day_of(one.last_order_day), one.is_late(today)) for one in lack.sellers
        ),
        starts=tuple((why, date.fromisoformat(why.starts_on)) for why in lack.why),
    )


def way_view(way: Way, run: BuyingRun, *, house: House) -> WayView:
    """One way with its orders."""
    arrivals = [arrival_of(order) for order in way.orders]
    return WayView(
        way=way,
        word=WAY_WORDS[way.key],
        arrives_on=max(arrivals, default=None),
        orders=tuple(
            OrderView(
                order=order,
                arrives_on=arrival_of(order),
                lines=tuple(line_view(line, house=house) for line in order.lines),
                purchase_id=run.ordered.get(order.supplier) if run.chosen == way.key else None,
            )
            for order in way.orders
        ),
        is_open=run.chosen in ("", way.key),
    )


def arrival_of(order: BuyOrder) -> date:
    """When it is there if it is ordered today: a list still holds on a later day."""
    return order.arrives(clock.today())


def line_view(line: BuyLine, *, house: House) -> LineView:
    """One line in words: so many, of what size, how much that is."""
    sizes = [nm for nm in (line.width_nm, line.length_nm) if nm]
    size = units.section_as_sold(sizes, system=house.system) if sizes else ""
    if line.mass_ug:
        size = units.mass_text(line.mass_ug, system=house.system)
    is_pack = line.per_pack > 1
    packs = f"{line.packs} × pack of {line.per_pack}" if is_pack else str(line.packs)
    in_all = ""
    if line.form in (Form.FLAT, Form.ROUND, Form.ROLL) and line.pieces > 1:
        in_all = units.length_text(line.pieces * line.length_nm, system=house.system)
    elif line.form == Form.COUNTED and is_pack:
        in_all = f"{line.pieces:,}"
    elif line.form == Form.WIRE and line.pieces > 1:
        in_all = units.mass_text(line.pieces * line.mass_ug, system=house.system)
    return LineView(line, packs, size, in_all)


def cut_views(found: ShoppingList, *, keep_from_nm: int) -> list[tuple[str, list[CutView]]]:
    """Bars as they will be cut, by what they are."""
    labels = {lack.key: lack.label for lack in found.lacks}
    by_lack: dict[str, list[CutLine]] = {}
    for line in found.cuts:
        by_lack.setdefault(line.lack, []).append(line)
    return [
        (labels[key], drawn(lines, kerf_nm=found.kerf_nm, keep_from_nm=keep_from_nm))
        for key, lines in by_lack.items()
    ]


def drawn(lines: Sequence[CutLine], *, kerf_nm: int, keep_from_nm: int) -> list[CutView]:
    """Bars to one scale."""
    longest = max(line.length_nm for line in lines)
    return [
        CutView(
            line,
            bar_cuts(
                line.length_nm,
                [Cut(mark=str(n), length_nm=nm) for n, nm in enumerate(line.cuts, start=1)],
                kerf_nm=kerf_nm,
                keep_from_nm=keep_from_nm,
                scale_nm=longest,
            ),
        )
        for line in lines
    ]


def left_view(left: Leftover, *, house: House) -> LeftView:
    """What is left of one thing, in words."""
    amount = amount_text(left.amount, form=left.form, system=house.system) if left.amount else ""
    lengths = tuple(sorted(Counter(left.lengths_nm).items(), reverse=True))
    return LeftView(left, lengths, amount)


def day_of(text: str) -> date | None:
    """A day from its ISO text."""
    return date.fromisoformat(text) if text else None
