"""Reads what a billet costs: planned, real so far, and what a sound one costs in this shop."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from django.db.models import Q, QuerySet, Sum

from billets.drawings.chart import Share, Waterfall, waterfall
from billets.layup.case import Case, case_of
from billets.models import Billet
from shop.billet_cost.planned import Market, MetalPrices, PaidFor, Planned, planned_billet
from shop.costing.billet import (
    Compared,
    Reached,
    SoundCost,
    billet_lines,
    compared,
    joined,
    real_work,
    sound_cost,
    with_filler,
)
from shop.costing.labour import StepHours, step_hours
from shop.costing.lines import Line, total_cents
from shop.costing.rate_values import ShopRates
from shop.rates import writing as rates
from shop.rates.own_minutes import reached_by
from shop.rates.writing import History
from shop.yields import like_billets
from shop.yields.record import Record, record_words, share_interval
from stock.house import House
from stock.materials import saw
from stock.models import Entry, Form, Offer, alloy_book

CAME_IN = (Entry.Kind.RECEIVED, Entry.Kind.MADE)


def prices_of(alloys: Collection[str]) -> MetalPrices:
    """What was paid for these alloys so far, and what suppliers ask, in three queries."""
    came = Entry.objects.filter(kind__in=CAME_IN, piece__material__alloy__in=list(alloys))
    return MetalPrices((*long_things(came), *sheets(came)), offers(alloys))


def offers(alloys: Collection[str]) -> tuple[PaidFor, ...]:
    """Current offers of single packs of bar, roll and sheet."""
    rows = Offer.objects.filter(
        is_current=True,
        from_packs=1,
        length_nm__gt=0,
        material__alloy__in=list(alloys),
        material__form__in=(Form.FLAT, Form.ROLL, Form.SHEET),
    )
    found = []
    for row in rows.select_related("material"):
        width_nm = row.width_nm if row.material.form == Form.SHEET else row.material.width_nm
        area_nm2 = row.length_nm * width_nm * row.count
        if area_nm2:
            metal, is_sawn = row.material, row.material.form == Form.FLAT
            found.append(
                PaidFor(metal.alloy, metal.thickness_nm, area_nm2, row.price_cents, is_sawn)
            )
    return tuple(found)


def long_things(came: QuerySet[Entry]) -> list[PaidFor]:
    """Bars and rolls: their lengths add up in SQL."""
    rows = (
        came.filter(piece__material__form__in=(Form.FLAT, Form.ROLL))
        .values(
            "piece__material__alloy",
            "piece__material__thickness_nm",
            "piece__material__width_nm",
            "piece__material__form",
        )
        .annotate(length=Sum("amount"), worth=Sum("value_cents"))
        .order_by()
    )
    return [
        PaidFor(
            alloy=row["piece__material__alloy"],
            thickness_nm=row["piece__material__thickness_nm"],
            area_nm2=row["length"] * row["piece__material__width_nm"],
            cents=row["worth"],
            is_sawn=row["piece__material__form"] == Form.FLAT,
        )
        for row in rows
    ]


def sheets(came: QuerySet[Entry]) -> list[PaidFor]:
    """Sheets, added up here: square nanometres may pass 64 bits in a sum."""
    rows = came.filter(piece__material__form=Form.SHEET).values_list(
        "piece__material__alloy", "piece__material__thickness_nm", "amount", "value_cents"
    )
    return [PaidFor(*row) for row in rows]


@dataclass(frozen=True)
class BilletCost:
    """Everything that the cost page of a billet shows."""

    planned: Planned
    real: tuple[Line, ...]
    rows: tuple[Compared, ...]
    drawing: Waterfall | None
    record: Record
    record_words: str
    kind_words: str
    sound: SoundCost
    is_for_class: bool
    hours: tuple[StepHours, ...] = ()
    salvage_cents: int = 0  # what a failed one is still worth, at most what one costs
    is_salvage_cut: bool = False  # the rates say more

    @property
    def real_cents(self) -> int:
        """What it has cost so far [minor units]."""
        return total_cents(self.real)

    @property
    def difference_cents(self) -> int:
        """Real so far less planned [minor units]."""
        return self.real_cents - self.planned.cents


def planned_cost(case: Case, *, shop: ShopRates, is_for_class: bool) -> Planned:
    """What a billet of this stack will cost, at average prices paid and usual times."""
    prices = prices_of({layer.alloy for layer in case.design.layers})
    market = Market(prices, saw.kerf_nm(), case.alloys)
    return planned_billet(case, market=market, shop=shop, is_for_class=is_for_class)


def booked(billet: Billet) -> tuple[int, int]:
    """What the ledger has booked to a billet: metal, and wire [minor units]."""
    is_wire = Q(piece__material__form=Form.WIRE)
    sums = (
        Entry.objects.filter(job=billet.job)
        .exclude(kind=Entry.Kind.MADE)  # a bar that was made of it: cost that moved on
        .aggregate(
            metal=Sum("value_cents", filter=~is_wire), wire=Sum("value_cents", filter=is_wire)
        )
    )
    return -(sums["metal"] or 0), -(sums["wire"] or 0)


def reached_of(billet: Billet) -> Reached:
    """Steps, heats and hours that stand, and who did them."""
    return reached_by([billet])[billet.pk]


def real_lines(
    billet: Billet,
    *,
    shop: ShopRates,
    planned_heats: int,
    is_for_class: bool,
    reached: Reached | None = None,
) -> tuple[Line, ...]:
    """Cost of a billet so far: the ledger's metal and wire, hours written down or usual."""
    metal, wire = booked(billet)
    work = real_work(
        shop,
        reached or reached_of(billet),
        metal_cents=max(0, metal),
        planned_heats=planned_heats,
        is_for_class=is_for_class,
    )
    return with_filler(joined(billet_lines(work, rates=shop.rates)), cents=max(0, wire))


def billet_cost(billet: Billet, *, history: History, house: House) -> BilletCost:
    """A billet's cost, planned and real; a shop without rates gets its metal alone."""
    alloys, design = alloy_book(), billet.design()
    is_for_class = hasattr(billet, "seat")
    shop = history.on_or_none(rates.day_of(billet)) or ShopRates()
    case = case_of(design, alloys=alloys, house=house)
    planned = planned_cost(case, shop=shop, is_for_class=is_for_class)
    reached = reached_of(billet)
    real = real_lines(
        billet, shop=shop, planned_heats=planned.heats, is_for_class=is_for_class, reached=reached
    )
    record = like_billets.record_of(design, alloys=alloys)
    salvage = shop.salvage_of(planned.cents)
    return BilletCost(
        planned=planned,
        real=real,
        rows=compared(planned.lines, real),
        drawing=lines_drawing(real or planned.lines),
        record=record,
        record_words=record_words(record),
        kind_words=like_billets.kind_words(like_billets.kind_of(design, alloys=alloys)),
        sound=sound_of(planned.cents, record=record, salvage_cents=salvage),
        is_for_class=is_for_class,
        hours=step_hours(shop, reached, planned_heats=planned.heats, is_for_class=is_for_class),
        salvage_cents=salvage,
        is_salvage_cut=salvage < shop.salvage_cents,
    )


def sound_of(made_cents: int, *, record: Record, salvage_cents: int) -> SoundCost:
    """What a sound billet costs with the shop's own yield, less what failed ones are worth."""
    return sound_cost(
        made_cents=made_cents,
        sound_share=record.share,
        interval=share_interval(record),
        salvage_cents=salvage_cents,
    )


def lines_drawing(lines: Sequence[Line]) -> Waterfall | None:
    """A cost step by step; nothing to draw of nothing."""
    if total_cents(lines) <= 0:
        return None
    shares = [Share(line.label, line.cents) for line in lines]
    return waterfall([*shares, Share("Total", total_cents(lines), is_total=True)])
