"""Reads the books of a class's money: every row once, for all that is answered from them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import cast

from billets.models import Billet, StepKind
from shop import after_pages, class_money, like_billets, metal_prices, rack, rates
from shop.billet_cost import reached_by
from shop.class_books import BilletDone, ClassBooks, MetalBooks, Paid, SeatBooks, Terms
from shop.class_pages import stages_of
from shop.deposits import RefundStep
from shop.models import ClassTerms, ForgeClass, Seat, SeatPayment
from shop.planned_cost import Market
from shop.rate_values import ShopRates
from stock.alloys import Book
from stock.house import House
from stock.models import alloy_book


def books_of(row: ForgeClass, *, house: House) -> ClassBooks:
    """The books of a class, with the rates that hold on its last day; those to come count too."""
    alloys, history = alloy_book(), rates.history()
    found = history.on_or_none(row.ends_on)
    is_held = row.state == ForgeClass.State.HELD
    rows = seat_rows(row)
    billets = [seat.billet for seat in rows if seat.billet and not seat.is_cancelled]
    done = billets_done(billets) if is_held else {}
    metal = MetalBooks()
    if is_held:
        metal = metal_books(row, billets, done=done, house=house, alloys=alloys)
    seats = tuple(seat_books(seat, done=done.get(seat.billet_id or 0)) for seat in rows)
    design = row.layup.design()
    layers = {layer.alloy for one in (design, *(s.design for s in seats)) for layer in one.layers}
    prices = metal_prices.prices_of(layers | {key[0] for key in metal.planned})
    return ClassBooks(
        starts_on=row.starts_on,
        is_held=is_held,
        is_called_off=row.state == ForgeClass.State.CANCELLED,
        seat_count=row.seat_count,
        spares=row.spares,
        design=design,
        terms=terms_books(class_money.terms_of(row)),
        seats=seats,
        shop=found or ShopRates(),
        has_rates=found is not None,
        rates_words=history.words_on(row.ends_on),
        market=Market(prices, rack.kerf_nm(), alloys),
        house=house,
        record=like_billets.record_of(design, alloys=alloys),
        kind_words=like_billets.kind_words(like_billets.kind_of(design, alloys=alloys)),
        metal=metal,
    )


def seat_rows(row: ForgeClass) -> list[Seat]:
    """All seats of a class with their layups, billets and payments, cancelled ones too."""
    rows = row.seats.select_related("layup", "billet")
    return list(
        rows.prefetch_related(
            "layup__layers", "forge_class__layup__layers", "payments__by"
        ).order_by("is_spare", "number")
    )


def billets_done(billets: Sequence[Billet]) -> dict[int, BilletDone]:
    """How far each billet is, and who worked at it."""
    stages, reached = stages_of(billets), reached_by(billets)
    return {
        pk: BilletDone(stage != StepKind.PLANNED, stage == StepKind.FAILED, reached[pk])
        for pk, stage in stages.items()
    }


def metal_books(
    row: ForgeClass, billets: Sequence[Billet], *, done: Mapping[int, BilletDone], house: House,
    alloys: Book,
) -> MetalBooks:  # fmt: skip
    """Metal as the plan and the ledger have it."""
    failed = [one for one in billets if done[one.pk].has_failed]
    planned = after_pages.planned_amounts(row, billets, failed=failed, house=house, alloys=alloys)
    return MetalBooks(planned, *after_pages.real_amounts(row, billets))


def seat_books(seat: Seat, *, done: BilletDone | None) -> SeatBooks:
    """One seat as the sums take it."""
    return SeatBooks(
        words=str(seat),
        student=seat.student,
        is_spare=seat.is_spare,
        is_cancelled=seat.is_cancelled,
        cancelled_on=seat.cancelled_on,
        design=rack.design_of(seat),
        payments=tuple(map(paid, class_money.standing(seat.payments.all()))),
        has_billet=seat.billet_id is not None,
        done=done,
    )


def paid(row: SeatPayment) -> Paid:
    """A payment that stands."""
    return Paid(
        day=row.day,
        cents=row.cents,
        kind=cast(class_money.Kind, row.kind),
        pk=row.pk,
        kind_words=row.get_kind_display(),
        who=row.who,
        note=row.note,
        by=str(row.by),
    )


def terms_books(terms: ClassTerms) -> Terms:
    """The terms of a class as the sums take them."""
    return Terms(
        is_written=terms.pk is not None,
        fee_cents=terms.fee_cents,
        deposit_cents=terms.deposit_cents,
        margin_bp=terms.margin_bp,
        place_cents=terms.place_cents,
        helper_cents=terms.helper_cents,
        other_cents=terms.other_cents,
        seat_cents=terms.seat_cents,
        prepare_minutes=terms.prepare_minutes,
        teach_minutes=terms.teach_minutes,
        confidence_percent=terms.confidence_percent,
        refund_rule=tuple(RefundStep(int(days), int(bp)) for days, bp in terms.refund_rule),
        real=terms.real,
    )
