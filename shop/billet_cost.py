"""Reads what a billet costs: planned, real so far, and what a sound one costs in this shop."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.db.models import Q, Sum

from billets import hours_reading
from billets.case import Case, case_of
from billets.drawing_chart import Share, Waterfall, waterfall
from billets.models import Billet, Heat, Step, StepKind, WorkStep
from shop import like_billets, metal_prices, rack, rates
from shop.billet_work import (
    Compared,
    Reached,
    compared,
    joined,
    real_work,
    with_filler,
)
from shop.costing import Line, total_cents
from shop.costing_billet import SoundCost, billet_lines, sound_cost
from shop.hands import FORGE, StepHours, step_hours
from shop.planned_cost import Market, Planned, planned_billet
from shop.rate_values import ShopRates
from shop.rates import History
from shop.yield_record import Record, record_words, share_interval
from stock.house import House
from stock.models import Entry, Form, alloy_book

STEP_TIMES = {
    StepKind.CUT: "cut_s",
    StepKind.CLEANED: "clean_s",
    StepKind.WELDED: "weld_s",
    StepKind.FINISHED: "finish_s",
}
WORK_TIMES = {
    WorkStep.CUT: "cut_s",
    WorkStep.CLEAN: "clean_s",
    WorkStep.WELD: "weld_s",
    WorkStep.FORGE: FORGE,
    WorkStep.FINISH: "finish_s",
}


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
    prices = metal_prices.prices_of({layer.alloy for layer in case.design.layers})
    market = Market(prices, rack.kerf_nm(), case.alloys)
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


def reached_by(billets: Sequence[Billet]) -> dict[int, Reached]:
    """Steps, heats and hours that stand at each of many billets, in a few queries."""
    steps: dict[int, dict[str, int | None]] = {one.pk: {} for one in billets}
    standing = Step.objects.filter(billet__in=billets, undoes=None, undone_by=None)
    for pk, kind, by in standing.order_by("id").values_list("billet", "kind", "by"):
        if kind in STEP_TIMES:
            steps[pk][STEP_TIMES[StepKind(kind)]] = by
    heats: dict[int, list[int]] = {one.pk: [] for one in billets}
    struck = Heat.objects.filter(billet__in=billets, struck_at=None)
    for pk, by in struck.order_by("number", "id").values_list("billet", "by"):
        heats[pk].append(by)
    worked = hours_reading.worked_at(billets)
    return {
        pk: Reached(
            steps[pk],
            len(heats[pk]),
            heats[pk][-1] if heats[pk] else None,
            {WORK_TIMES[WorkStep(step)]: one for step, one in worked.get(pk, {}).items()},
        )
        for pk in steps
    }


def real_lines(
    billet: Billet, *, shop: ShopRates, planned_heats: int, is_for_class: bool,
    reached: Reached | None = None,
) -> tuple[Line, ...]:  # fmt: skip
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
