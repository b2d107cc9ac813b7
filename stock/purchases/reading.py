"""Reads purchases as their pages show them: what is to come, what came, which marks to paint."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypedDict

from django.db.models import Count, F, QuerySet, Sum

from stock.alloys import book as alloys
from stock.alloys.book import Book
from stock.house import House
from stock.ledger import receiving
from stock.ledger_page.reading import ReturnWords, return_words
from stock.materials.names import material_title
from stock.models import LENGTH_FORMS, Form, Offer, Piece, Purchase, PurchaseLine, alloy_book
from stock.quantities import units


@dataclass(frozen=True)
class LineWords:
    """One line of a purchase, with the pieces that came of it."""

    line: PurchaseLine
    title: str
    size: str
    cost_cents: int  # with its share of the delivery charge
    pieces: tuple[Piece, ...]


def line_size(line: PurchaseLine, *, house: House) -> str:
    """How many of which size."""
    form = line.material.form
    if form == Form.COUNTED:
        return f"{line.count:,}"
    if form == Form.WIRE:
        size = units.mass_text(line.mass_ug, system=house.system)
    elif form in LENGTH_FORMS:
        size = units.section_as_sold((line.length_nm,), system=house.system)
    else:
        size = units.section_as_sold((line.width_nm, line.length_nm), system=house.system)
    return f"{line.count} × {size}" if form != Form.SHEET else f"{line.count} of {size}"


def lines_in_words(purchase: Purchase, *, book: alloys.Book, house: House) -> list[LineWords]:
    """The lines with their pieces; two queries."""
    came: dict[int, list[Piece]] = {}
    for piece in Piece.objects.filter(line__purchase=purchase, cut_from=None).order_by("id"):
        came.setdefault(piece.line_id or 0, []).append(piece)
    return [
        LineWords(
            line=line,
            title=material_title(line.material, book=book, system=house.system),
            size=line_size(line, house=house),
            cost_cents=line.price_cents + line.delivery_share_cents,
            pieces=tuple(came.get(line.pk, [])),
        )
        for line in purchase.lines.select_related("material")
    ]


class PurchasePage(TypedDict):
    """One purchase."""

    purchase: Purchase
    lines: list[LineWords]
    total_cents: int
    piece_count: int
    sent_back: list[ReturnWords]
    is_ordered: bool
    is_received: bool


def purchase_page(purchase: Purchase, *, house: House) -> PurchasePage:
    """What the page of one purchase shows."""
    lines = lines_in_words(purchase, book=alloy_book(), house=house)
    sent_back = receiving.standing().filter(line__purchase=purchase)
    return PurchasePage(
        purchase=purchase,
        lines=lines,
        total_cents=sum(line.cost_cents for line in lines),
        piece_count=sum(len(line.pieces) for line in lines),
        sent_back=[return_words(row, house=house) for row in sent_back],
        is_ordered=purchase.state == Purchase.State.ORDERED,
        is_received=purchase.state == Purchase.State.RECEIVED,
    )


@dataclass(frozen=True)
class OrderToCome:
    """An order that is not here yet, with what it brings."""

    purchase: Purchase
    what: str


def orders_to_come(*, house: House) -> list[OrderToCome]:
    """Orders that are not here yet, the first expected first."""
    rows = (
        Purchase.objects.filter(state=Purchase.State.ORDERED)
        .select_related("supplier")
        .prefetch_related("lines__material")
        .order_by(F("due_on").asc(nulls_last=True), "id")
    )
    book = alloy_book()
    return [
        OrderToCome(
            purchase=row,
            what="; ".join(
                f"{line_size(line, house=house)} "
                f"{material_title(line.material, book=book, system=house.system)}"
                for line in row.lines.all()
            ),
        )
        for row in rows
    ]


def past_purchases() -> QuerySet[Purchase]:
    """What came or was dropped, the latest first, with its lines counted and priced."""
    return (
        Purchase.objects.exclude(state=Purchase.State.ORDERED)
        .select_related("supplier")
        .annotate(
            line_count=Count("lines"),
            total=Sum(F("lines__price_cents") + F("lines__delivery_share_cents")),
        )
        .order_by("-id")
    )


@dataclass(frozen=True)
class OfferLine:
    """One offer in words."""

    row: Offer
    title: str
    size: str
    steps: str = ""  # of a roll that is cut to order


def offer_lines(*, house: House) -> list[OfferLine]:
    """Offers that hold, supplier by supplier."""
    rows = Offer.objects.filter(is_current=True).select_related("supplier", "material")
    book = alloy_book()
    found = [offer_line(row, book=book, system=house.system) for row in rows]
    return sorted(
        found,
        key=lambda one: (
            one.row.supplier.name,
            one.title,
            one.row.length_nm,
            one.row.count,
            one.row.from_packs,
            one.row.least_nm,
        ),
    )


def offer_line(row: Offer, *, book: Book, system: str) -> OfferLine:
    """One offer."""
    sizes = [nm for nm in (row.width_nm, row.length_nm) if nm]
    size = units.section_as_sold(sizes, system=system) if sizes else ""
    if row.mass_ug:
        size = units.mass_text(row.mass_ug, system=system)
    title = material_title(row.material, book=book, system=system)
    if not row.is_by_length:
        return OfferLine(row, title, size)
    least, step = (
        units.section_as_sold((nm,), system=system) for nm in (row.least_nm, row.step_nm)
    )
    return OfferLine(row, title, size, f"cut to order from {least} on, in steps of {step}")
