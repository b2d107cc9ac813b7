"""Metal coming in: a purchase with its lines becomes marked pieces in one step.

The delivery charge is spread over the lines by value, to the cent, and each line over its
pieces. Entries are written through `stock.ledger.by_hand`.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db import transaction
from django.db.models import Exists, OuterRef, QuerySet, Subquery, Sum

from stock import clock
from stock.ledger import entries
from stock.ledger.entries import Kind, check_free, locked, new_act, take
from stock.ledger.refusals import BadAmount
from stock.models import Entry, Form, Material, Piece, Purchase, PurchaseLine, SentBack, Supplier
from stock.quantities.areas import amount_text
from stock.quantities.money import allocate
from stock.who import Person

MOST_PIECES = 200  # of one line: each gets a mark that somebody has to paint
SHEET_LIMIT_NM2 = 9 * 10**18  # what 64 bits hold of square nanometres: 9 m²


@dataclass(frozen=True)
class Line:
    """So many like pieces of a material at one price for the line."""

    material: Material
    count: int
    price_cents: int
    length_nm: int = 0
    width_nm: int = 0
    mass_ug: int = 0
    heat_lot: str = ""
    place: str = ""


def piece_amount(line: Line | PurchaseLine) -> int:
    """Amount of one piece of a line, in the unit of its form."""
    form = line.material.form
    if form == Form.COUNTED:
        return line.count
    if form == Form.WIRE:
        return line.mass_ug
    if form == Form.SHEET:
        return line.length_nm * line.width_nm
    return line.length_nm


def check_line(line: Line) -> None:
    """Refuse a line that gives no metal, or a sheet too large for one piece."""
    amount = piece_amount(line)
    if amount <= 0 or line.count <= 0:
        raise BadAmount(f"{line.material}: give a size and a number of pieces above nothing.")
    if line.material.form != Form.COUNTED and line.count > MOST_PIECES:
        raise BadAmount(
            f"{line.material}: {line.count:,} pieces are more than the {MOST_PIECES} that one "
            "line may mark. Enter them in several lines."
        )
    if amount > SHEET_LIMIT_NM2:
        raise BadAmount(f"{line.material}: one piece can be at most 9 m²; enter it as two.")


def delivery_shares(delivery_cents: int, *, lines: Sequence[Line]) -> tuple[int, ...]:
    """The delivery charge over the lines by value; equally where none has a price."""
    prices = [line.price_cents for line in lines]
    return allocate(delivery_cents, weights=prices if any(prices) else [1] * len(prices))


@transaction.atomic
def order(
    *,
    supplier: Supplier,
    lines: Sequence[Line],
    delivery_cents: int,
    on: date,
    due: date | None,
    by: Person,
    reference: str = "",
    note: str = "",
) -> Purchase:
    """Write down an order; nothing is on the rack before it is received."""
    if not lines:
        raise BadAmount("A purchase needs at least one line.")
    for line in lines:
        check_line(line)
    shares = delivery_shares(delivery_cents, lines=lines)
    purchase = Purchase.objects.create(
        supplier=supplier,
        state=Purchase.State.ORDERED,
        ordered_on=on,
        due_on=due,
        delivery_cents=delivery_cents,
        reference=reference,
        note=note,
        by=by,
    )
    for line, share in zip(lines, shares, strict=True):
        PurchaseLine.objects.create(
            purchase=purchase,
            material=line.material,
            count=line.count,
            length_nm=line.length_nm,
            width_nm=line.width_nm,
            mass_ug=line.mass_ug,
            price_cents=line.price_cents,
            delivery_share_cents=share,
            heat_lot=line.heat_lot,
        )
    return purchase


@transaction.atomic
def receive(
    *,
    purchase: Purchase,
    on: date,
    by: Person,
    places: Sequence[str] = (),
    heat_lots: Sequence[str] = (),
) -> list[Piece]:
    """Put an order on the rack as marked pieces.

    Args:
        purchase: the order.
        on: the day it came.
        by: who took it in.
        places: where the pieces of each line go, in the order of the lines.
        heat_lots: heat or lot number of each line; an empty one leaves what was ordered.

    Raises:
        BadAmount: it was received already, or dropped.
    """
    held = Purchase.objects.select_for_update().get(pk=purchase.pk)
    if held.state != Purchase.State.ORDERED:
        raise BadAmount(f"This order was {held.get_state_display()} already.")
    held.state, held.received_on = Purchase.State.RECEIVED, on
    held.save(update_fields=["state", "received_on"])
    booked: list[tuple[Piece, int, int]] = []
    for index, line in enumerate(held.lines.select_related("material")):
        if index < len(heat_lots) and heat_lots[index]:
            line.heat_lot = heat_lots[index]
            line.save(update_fields=["heat_lot"])
        booked += pieces_of(line, place=places[index] if index < len(places) else "")
    entries.book_in(pieces=booked, kind=Entry.Kind.RECEIVED, by=by, why=f"from {held.supplier}")
    return [piece for piece, _, _ in booked]


def pieces_of(line: PurchaseLine, *, place: str) -> list[tuple[Piece, int, int]]:
    """New pieces of a line with amount and value; counted things are one box."""
    number = 1 if line.material.form == Form.COUNTED else line.count
    total = line.price_cents + line.delivery_share_cents
    return [
        (
            entries.new_piece(
                material=line.material,
                length_nm=line.length_nm,
                width_nm=line.width_nm,
                line=line,
                heat_lot=line.heat_lot,
                place=place,
            ),
            piece_amount(line),
            value,
        )
        for value in allocate(total, weights=[1] * number)
    ]


@transaction.atomic
def buy(
    *,
    supplier: Supplier,
    lines: Sequence[Line],
    delivery_cents: int,
    on: date,
    by: Person,
    reference: str = "",
    note: str = "",
) -> list[Piece]:
    """Order and receive in one step: metal that is here already."""
    purchase = order(
        supplier=supplier,
        lines=lines,
        delivery_cents=delivery_cents,
        on=on,
        due=on,
        by=by,
        reference=reference,
        note=note,
    )
    return receive(purchase=purchase, on=on, by=by, places=[line.place for line in lines])


@transaction.atomic
def drop(*, purchase: Purchase) -> None:
    """Drop an order that will not come."""
    held = Purchase.objects.select_for_update().get(pk=purchase.pk)
    if held.state != Purchase.State.ORDERED:
        raise BadAmount(f"This order was {held.get_state_display()} already.")
    held.state = Purchase.State.DROPPED
    held.save(update_fields=["state"])


def take_back(piece_ids: Collection[int]) -> None:
    """After a receipt was undone: its purchase counts as dropped, so it can be entered afresh."""
    Purchase.objects.filter(lines__pieces__in=piece_ids).update(state=Purchase.State.DROPPED)


def line_of(piece: Piece) -> PurchaseLine | None:
    """The line that a piece was bought on, its own or that of what it was cut from."""
    return None if piece.made_by else piece.line


@transaction.atomic
def send_back(
    *, piece: Piece, amount: int, credit_cents: int, why: str, day: date, by: Person
) -> SentBack:
    """Send metal back to the supplier that it was bought from.

    Args:
        piece: bought, or cut from what was.
        amount: in the unit of its form; of a sheet all that is left.
        credit_cents: what the supplier gives for it; nothing where none is given.
        why: the reason, never empty.
        day: it went back.
        by: who sent it.

    Raises:
        BadAmount: it was not bought, a sheet is to go in part, or no reason is given.
        NotEnough: that much is not free.
    """
    held = locked(piece)
    line = line_of(held)
    if line is None:
        raise BadAmount(f"{held.mark} was not bought, so it cannot go back. Scrap it instead.")
    if not why.strip():
        raise BadAmount("Say why it goes back.")
    if day < line_day(line):
        raise BadAmount(
            f"{held.mark} came on {line_day(line):%Y-%m-%d}; it cannot have gone back before."
        )
    check_free(held, amount=amount)
    if held.form == Form.SHEET and amount != held.on_hand:
        whole = amount_text(held.on_hand, form=held.form)
        raise BadAmount(f"{held.mark} has {whole} left; a sheet goes back whole.")
    act = new_act()
    take(act=act, piece=held, kind=Kind.RETURNED, amount=amount, by=by, why=why)
    return SentBack.objects.create(
        act=act, piece=held, line=line, day=day, credit_cents=credit_cents, by=by, at=clock.now()
    )


def line_day(line: PurchaseLine) -> date:
    """The day on which a line came."""
    return line.purchase.received_on or date.min


def standing() -> QuerySet[Any]:
    """What went back and was not undone, each with its `amount`, `value_cents` and `why`."""
    entries = Entry.objects.filter(act=OuterRef("act"), corrects=None)
    gone = entries.filter(corrected_by=None).order_by()
    sums = gone.values("act").annotate(value=-Sum("value_cents"), gone=-Sum("amount"))
    return (
        SentBack.objects.filter(Exists(gone))
        .annotate(
            value_cents=Subquery(sums.values("value")),
            amount=Subquery(sums.values("gone")),
            why=Subquery(gone.values("why")[:1]),
        )
        .select_related("piece__material", "line__purchase__supplier", "by")
    )
