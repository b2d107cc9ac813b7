"""The lines of the ledger themselves: lock a piece, take its share, put a new piece down.

What `stock.ledger.by_hand`, `stock.ledger.set_asides`, `stock.ledger.receiving` and
`stock.ledger.by_hand` are made of; nothing else uses it. Each function works on a piece in hand,
inside the caller's transaction.
"""

from __future__ import annotations

import uuid
from collections.abc import Collection, Sequence
from typing import Any

from django.db import IntegrityError, transaction
from django.db.models import Max

from stock import clock
from stock.ledger import marks
from stock.ledger.refusals import BadAmount, NotEnough
from stock.models import LENGTH_FORMS, Entry, Material, Piece, SetAside
from stock.quantities.areas import amount_text
from stock.quantities.money import share_cents
from stock.who import Person

Kind = Entry.Kind


def new_act() -> uuid.UUID:
    """The name that entries written together share."""
    return uuid.uuid4()


def locked(piece: Piece) -> Piece:
    """The piece as it stands now, held until the transaction ends."""
    return hold([piece.pk])[piece.pk]


def hold(piece_ids: Collection[int]) -> dict[int, Piece]:
    """Lock pieces in one order, so that two acts never wait for each other."""
    rows = (
        Piece.objects.select_for_update(of=("self",))
        .select_related("material")
        .filter(pk__in=piece_ids)
        .order_by("pk")
    )
    return {piece.pk: piece for piece in rows}


def write(
    *,
    act: uuid.UUID,
    piece: Piece,
    kind: Kind,
    amount: int,
    value_cents: int,
    by: Person,
    job: str = "",
    why: str = "",
    set_aside: SetAside | None = None,
    corrects: Entry | None = None,
) -> Entry:
    """Add one entry and bring the piece's totals in hand up to date."""
    entry = Entry.objects.create(
        act=act,
        piece=piece,
        kind=kind,
        amount=amount,
        value_cents=value_cents,
        job=job,
        why=why,
        set_aside=set_aside,
        corrects=corrects,
        by=by,
        at=clock.now(),
    )
    piece.on_hand += amount
    piece.value_cents += value_cents
    return entry


def new_piece(
    *,
    material: Material,
    length_nm: int = 0,
    width_nm: int = 0,
    **about: Any,
) -> Piece:
    """A piece with a fresh mark and nothing on hand yet; an entry must follow.

    Two people may reach for the same mark at once; the database lets one have it, and the other
    takes the next.
    """
    number = (Piece.objects.aggregate(top=Max("id"))["top"] or 0) + 1
    while True:
        mark = marks.piece_mark(number)
        try:
            with transaction.atomic():
                return Piece.objects.create(
                    mark=mark,
                    material=material,
                    length_nm=length_nm,
                    width_nm=width_nm,
                    born_at=clock.now(),
                    **about,
                )
        except IntegrityError:
            if not Piece.objects.filter(mark=mark).exists():
                raise
            number += 1


def check_length_form(piece: Piece) -> None:
    """Refuse to cut a length off what has none."""
    if piece.form not in LENGTH_FORMS:
        form = piece.material.get_form_display()
        raise BadAmount(f"{piece.mark} is {form}: no length can be cut off it.")


def check_free(piece: Piece, *, amount: int) -> None:
    """Refuse what is nothing, or more than is free of a piece held in hand."""
    if amount <= 0:
        raise BadAmount("Give an amount above nothing.")
    if amount <= piece.free:
        return
    free = amount_text(piece.free, form=piece.form)
    promised = amount_text(piece.set_aside, form=piece.form)
    aside = f" ({promised} more is set aside)" if piece.set_aside else ""
    raise NotEnough(
        piece=piece,
        asked=amount,
        free=piece.free,
        told=f"{piece.mark} has {free} free{aside}; this takes "
        f"{amount_text(amount, form=piece.form)}. Choose another piece, or take less.",
    )


def take(
    *, act: uuid.UUID, piece: Piece, kind: Kind, amount: int, by: Person, **more: Any
) -> Entry | None:
    """Take an amount off a piece in hand with its share of the value; nothing writes nothing."""
    if amount == 0:
        return None
    value = share_cents(piece.value_cents, amount=amount, of_amount=piece.on_hand)
    return write(act=act, piece=piece, kind=kind, amount=-amount, value_cents=-value, by=by, **more)


def cut_off(
    *, act: uuid.UUID, piece: Piece, length_nm: int, kerf_nm: int, by: Person, **more: Any
) -> int:
    """Take a blank and its kerf off a bar or a roll in hand; tells what both were worth."""
    before = piece.value_cents
    kerf = min(kerf_nm, piece.on_hand - length_nm)
    take(act=act, piece=piece, kind=Kind.BLANK, amount=length_nm, by=by, **more)
    take(act=act, piece=piece, kind=Kind.KERF, amount=kerf, by=by, **more)
    return before - piece.value_cents


def put_down(
    *,
    act: uuid.UUID,
    source: Piece,
    length_nm: int,
    amount: int,
    value_cents: int,
    by: Person,
    width_nm: int = 0,
    material: Material | None = None,
    set_aside: SetAside | None = None,
    why: str = "",
) -> Piece:
    """Make a piece of what was parted from another, with the same heat or lot and place."""
    piece = new_piece(
        material=material or source.material,
        length_nm=length_nm,
        width_nm=width_nm,
        cut_from=source,
        heat_lot=source.heat_lot,
        place=source.place,
        line=source.line,
        made_by=source.made_by,
    )
    write(
        act=act,
        piece=piece,
        kind=Kind.PARTED,
        amount=amount,
        value_cents=value_cents,
        by=by,
        set_aside=set_aside,
        why=why,
    )
    return piece


@transaction.atomic
def book_in(
    *,
    pieces: Sequence[tuple[Piece, int, int]],
    kind: Kind,
    by: Person,
    job: str = "",
    why: str = "",
) -> uuid.UUID:
    """Write the first entry of new pieces: (piece, amount, value) each, in one act."""
    act = new_act()
    for piece, amount, value_cents in pieces:
        if amount <= 0:
            raise BadAmount("A piece needs a size above nothing.")
        write(
            act=act,
            piece=piece,
            kind=kind,
            amount=amount,
            value_cents=value_cents,
            by=by,
            job=job,
            why=why,
        )
    return act
