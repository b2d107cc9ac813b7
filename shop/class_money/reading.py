"""Reads the books of a class's money: every row once, for all that is answered from them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import cast

from billets.models import StepKind
from shop.after_class import reading as after_class_reading
from shop.billet_cost import reading as metal_prices
from shop.billet_cost.planned import Market
from shop.class_money import writing as class_money
from shop.class_money.books import BilletDone, ClassBooks, MetalBooks, Paid, SeatBooks, Terms
from shop.classes.reading import stages_of
from shop.costing.deposits import RefundStep
from shop.costing.rate_values import ShopRates
from shop.models import ClassTerms, ForgeClass, Seat, SeatPayment
from shop.rates import writing as rates
from shop.rates.own_minutes import reached_by
from shop.yields import like_billets
from stock.alloys.book import Book
from stock.house import House
from stock.materials import saw
from stock.models import alloy_book


def books_of(row: ForgeClass, *, house: House) -> ClassBooks:
    """The books of a class, with the rates that hold on its last day; those to come count too."""
    alloys, history = alloy_book(), rates.history()
    found, rates_words = history.on_or_none(row.ends_on), history.words_on(row.ends_on)
    terms, rows = terms_books(row), seat_rows(row)
    is_held = row.state == ForgeClass.State.HELD
    done, metal = came_out(row, rows, house=house, alloys=alloys) if is_held else ({}, MetalBooks())
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
        terms=terms,
        seats=seats,
        shop=found or ShopRates(),
        has_rates=found is not None,
        rates_words=rates_words,
        market=Market(prices, saw.kerf_nm(), alloys),
        house=house,
        record=like_billets.record_of(design, alloys=alloys),
        kind_words=like_billets.kind_words(like_billets.kind_of(design, alloys=alloys)),
        metal=metal,
    )


def seat_rows(row: ForgeClass) -> list[Seat]:
    """All seats of a class with their layups, billets and payments, cancelled ones too."""
    rows = row.seats.select_related("layup", "billet").prefetch_related(
        "layup__layers", "forge_class__layup__layers", "payments__by"
    )
    return list(rows.order_by("is_spare", "number"))


def came_out(
    row: ForgeClass, rows: Sequence[Seat], *, house: House, alloys: Book
) -> tuple[Mapping[int, BilletDone], MetalBooks]:
    """What was done to each billet, and the metal as the plan and the ledger have it."""
    billets = [seat.billet for seat in rows if seat.billet and not seat.is_cancelled]
    stages, reached = stages_of(billets), reached_by(billets)
    failed = [one for one in billets if stages[one.pk] == StepKind.FAILED]
    planned = after_class_reading.planned_amounts(
        row, billets, failed=failed, house=house, alloys=alloys
    )
    done = {
        pk: BilletDone(stage != StepKind.PLANNED, stage == StepKind.FAILED, reached[pk])
        for pk, stage in stages.items()
    }
    return done, MetalBooks(planned, *after_class_reading.real_amounts(row, billets))


def seat_books(seat: Seat, *, done: BilletDone | None) -> SeatBooks:
    """One seat as the sums take it."""
    return SeatBooks(
        words=str(seat),
        student=seat.student,
        is_spare=seat.is_spare,
        is_cancelled=seat.is_cancelled,
        cancelled_on=seat.cancelled_on,
        design=seat.design(),
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


def terms_books(row: ForgeClass) -> Terms:
    """The terms of a class as the sums take them."""
    terms = ClassTerms.objects.of(row)
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
