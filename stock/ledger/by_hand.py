"""What is done to metal by hand: cut, parted, used, scrapped, counted, and each of it undone.

With `stock.ledger.set_asides` (plans) and `stock.ledger.receiving` (purchases) the only writer of
entries and set-asides. Each public function is one transaction: lock the piece, check, write. Value
moves with metal to the cent (`stock.quantities.money`). What a job is, only higher floors know;
here it is a word such as "billet:12". Errors are those of `stock.ledger.refusals`.
"""

from __future__ import annotations

import uuid
from collections.abc import Sequence

from django.db import transaction

from stock.ledger import receiving, set_asides
from stock.ledger.entries import (
    Kind,
    check_free,
    check_length_form,
    cut_off,
    hold,
    locked,
    new_act,
    put_down,
    take,
    write,
)
from stock.ledger.entries import book_in as book_in
from stock.ledger.entries import new_piece as new_piece
from stock.ledger.refusals import BadAmount, CannotUndo, NotEnough
from stock.models import CUT_FORMS, Entry, Form, Piece
from stock.quantities.areas import amount_text
from stock.quantities.money import share_cents
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


def kerf_beside(piece: Piece, *, amount: int, kerf_nm: int) -> int:
    """Kerf of a cut of a piece in hand: as much as is left at its end, all of it before a promise.

    Raises:
        BadAmount: the amount is nothing or less.
        NotEnough: the amount, or with metal set aside the amount and its kerf, is not free.
    """
    check_free(piece, amount=amount)
    if piece.set_aside:
        check_free(piece, amount=amount + kerf_nm)
    return min(kerf_nm, piece.free - amount)


@transaction.atomic
def cut_by_hand(
    *,
    piece: Piece,
    length_nm: int,
    kerf_nm: int,
    job: str,
    by: Person,
    why: str = "",
    keep_from_nm: int = 0,
) -> uuid.UUID:
    """Cut a length off a bar or a roll outside any plan, for a job.

    Args:
        keep_from_nm: an end that is left shorter than this, and promised to nothing, is scrap
            of the same job; 0 keeps every end.
    """
    held = locked(piece)
    check_length_form(held)
    kerf = kerf_beside(held, amount=length_nm, kerf_nm=kerf_nm)
    act = new_act()
    cut_off(act=act, piece=held, length_nm=length_nm, kerf_nm=kerf, by=by, job=job, why=why)
    if held.set_aside == 0 and held.on_hand < keep_from_nm:
        take(
            act=act,
            piece=held,
            kind=Kind.SCRAP,
            amount=held.on_hand,
            by=by,
            job=job,
            why="shorter than what is kept",
        )
    return act


@transaction.atomic
def scrap(
    *, piece: Piece, amount: int, why: str, by: Person, job: str = "", kerf_nm: int = 0
) -> uuid.UUID:
    """Throw an amount of a piece away, with its value; a saw takes its kerf as well."""
    held = locked(piece)
    kerf = kerf_beside(held, amount=amount, kerf_nm=kerf_nm)
    act = new_act()
    take(act=act, piece=held, kind=Kind.SCRAP, amount=amount, by=by, why=why, job=job)
    take(act=act, piece=held, kind=Kind.KERF, amount=kerf, by=by, why=why, job=job)
    return act


@transaction.atomic
def use(*, piece: Piece, amount: int, job: str, by: Person, why: str = "") -> uuid.UUID:
    """Use wire or counted things up in a job."""
    held = locked(piece)
    if held.form in CUT_FORMS:
        raise BadAmount(f"{held.mark} is {held.material.get_form_display()}: cut it instead.")
    check_free(held, amount=amount)
    act = new_act()
    take(act=act, piece=held, kind=Kind.USED, amount=amount, by=by, why=why, job=job)
    return act


@transaction.atomic
def part(*, piece: Piece, length_nm: int, kerf_nm: int, by: Person, why: str = "") -> Piece:
    """Part a bar, a roll or a sheet in two across its width; the part cut off gets a mark.

    A sheet is parted by shears, so it has no kerf; both halves of it are new pieces.
    """
    held = locked(piece)
    act = new_act()
    if held.form == Form.SHEET:
        return part_sheet(held, length_nm=length_nm, act=act, by=by, why=why)
    check_length_form(held)
    check_free(held, amount=length_nm)
    if length_nm + kerf_nm >= held.on_hand:
        whole = amount_text(held.on_hand, form=held.form)
        raise BadAmount(
            f"{held.mark} has {whole}; nothing would be left of it after this cut. Part it "
            "somewhere inside that."
        )
    check_free(held, amount=length_nm + kerf_nm)
    before = held.value_cents
    take(act=act, piece=held, kind=Kind.PARTED, amount=length_nm, by=by, why=why)
    value = before - held.value_cents
    take(act=act, piece=held, kind=Kind.KERF, amount=kerf_nm, by=by, why=why)
    return put_down(
        act=act,
        source=held,
        length_nm=length_nm,
        amount=length_nm,
        value_cents=value,
        by=by,
        why=why,
    )


def part_sheet(sheet: Piece, *, length_nm: int, act: uuid.UUID, by: Person, why: str) -> Piece:
    """Shear a sheet in hand across; it ends, and two new ones take its place."""
    if sheet.on_hand != sheet.length_nm * sheet.width_nm:
        raise BadAmount(f"{sheet.mark} is part cut. Measure what is left of it first.")
    if not 0 < length_nm < sheet.length_nm:
        whole = amount_text(sheet.length_nm, form=Form.FLAT)
        raise BadAmount(f"{sheet.mark} is {whole} long; cut somewhere inside that.")
    check_free(sheet, amount=sheet.on_hand)
    lengths = (length_nm, sheet.length_nm - length_nm)
    value, area = sheet.value_cents, sheet.on_hand
    first = share_cents(value, amount=lengths[0] * sheet.width_nm, of_amount=area)
    take(act=act, piece=sheet, kind=Kind.PARTED, amount=area, by=by, why=why)
    new = [
        put_down(
            act=act,
            source=sheet,
            length_nm=length,
            width_nm=sheet.width_nm,
            amount=length * sheet.width_nm,
            value_cents=worth,
            by=by,
            why=why,
        )
        for length, worth in zip(lengths, (first, value - first), strict=True)
    ]
    return new[0]


@transaction.atomic
def count_piece(*, piece: Piece, counted: int, why: str, by: Person) -> uuid.UUID | None:
    """Book the difference between what was counted and what the books say, with its reason.

    Less metal takes its share of the value along; more metal brings none. Returns nothing when
    the books were right. A sheet is measured again instead
    (`stock.ledger.set_asides.remark_sheet`).
    """
    held = locked(piece)
    if held.form == Form.SHEET:
        raise BadAmount(f"{held.mark} is a sheet. Measure what is left of it instead.")
    if counted < 0:
        raise BadAmount("Less than nothing cannot be counted. Give 0 or more.")
    if counted < held.set_aside:
        promised = amount_text(held.set_aside, form=held.form)
        raise NotEnough(
            piece=held,
            asked=counted,
            free=held.free,
            told=f"{promised} of {held.mark} is set aside, and only "
            f"{amount_text(counted, form=held.form)} was counted. Change the plan first.",
        )
    difference = counted - held.on_hand
    if difference == 0:
        return None
    act = new_act()
    if difference < 0:
        take(act=act, piece=held, kind=Kind.COUNTED, amount=-difference, by=by, why=why)
    else:
        write(
            act=act, piece=held, kind=Kind.COUNTED, amount=difference, value_cents=0, by=by, why=why
        )
    return act


@transaction.atomic
def describe(*, piece: Piece, place: str, note: str) -> None:
    """Say where a piece lies and what to know about it; its totals are not touched."""
    Piece.objects.filter(pk=piece.pk).update(place=place, note=note)
