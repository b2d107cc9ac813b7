"""Taking an act of the ledger back by a second one that names the first.

It gives metal and value back exactly as they went. What rests on the act must be undone first:
metal that it brought and that was used since, or a count made since.
"""

from __future__ import annotations

import uuid
from collections.abc import Sequence

from django.db import transaction

from stock.ledger import receiving, set_asides
from stock.ledger.entries import Kind, hold, new_act, write
from stock.ledger.refusals import CannotUndo
from stock.models import Entry, Form, Piece
from stock.who import Person


@transaction.atomic
def undo(*, act: uuid.UUID, by: Person, why: str = "undone", restand: bool = True) -> uuid.UUID:
    """Take an act back by a second one; set-asides that it cut stand again (or are freed).

    Raises:
        CannotUndo: there is no such act, it is undone or itself a correction, or a later one
            rests on it.
    """
    entries = list(Entry.objects.filter(act=act).select_related("set_aside"))
    if not entries:
        raise CannotUndo("There is no such act in the ledger.")
    piece_ids = {entry.piece_id for entry in entries}
    hold(piece_ids)
    refuse_twice(entries)
    asides = list({entry.set_aside for entry in entries if entry.set_aside is not None})
    set_asides.take_back_strips(asides)
    pieces = hold(piece_ids)
    back = new_act()
    for entry in entries:
        check_undoable(entry, pieces[entry.piece_id])
        write(
            act=back,
            piece=pieces[entry.piece_id],
            kind=Kind(entry.kind),
            amount=-entry.amount,
            value_cents=-entry.value_cents,
            by=by,
            job=entry.job,
            why=why,
            set_aside=entry.set_aside,
            corrects=entry,
        )
    set_asides.reopen(asides, restand=restand)
    if any(entry.kind == Kind.RECEIVED for entry in entries):
        receiving.take_back(piece_ids)
    return back


def refuse_twice(entries: Sequence[Entry]) -> None:
    """An act is undone once, and an undoing never."""
    if any(entry.corrects_id for entry in entries):
        raise CannotUndo("This is a correction itself; do the work again instead.")
    if Entry.objects.filter(corrects__in=entries).exists():
        raise CannotUndo("This was undone already.")


def check_undoable(entry: Entry, piece: Piece) -> None:
    """Refuse when a later act on the same piece rests on this one."""
    later = Entry.objects.filter(
        piece=piece, id__gt=entry.id, corrects=None, corrected_by=None
    ).exclude(act=entry.act)
    if entry.amount < 0:
        refuse_measured_since(piece, kinds=set(later.values_list("kind", "set_aside")))
    elif later.exists() or piece.set_aside > piece.on_hand - entry.amount:
        raise CannotUndo(f"{piece.mark} has been cut, counted or set aside since. Undo that first.")


def refuse_measured_since(piece: Piece, *, kinds: set[tuple[str, int | None]]) -> None:
    """Metal given back to a piece that was counted since would be there twice.

    Filler wire is let through: it is booked by estimate, and the next weighing settles it.
    """
    counted = any(kind == Kind.COUNTED for kind, _ in kinds) and piece.form != Form.WIRE
    measured = piece.form == Form.SHEET and (Kind.PARTED, None) in kinds
    if counted or measured:
        word = "measured again" if measured else "counted"
        raise CannotUndo(f"{piece.mark} has been {word} since. Undo that first.")
