"""The only writer of entries and set-asides: every movement of metal passes through here.

Each public function is one transaction: lock the piece, check, write. Value moves with metal to
the cent (`stock.shares`). What a job is, only higher floors know; here it is a word such as
"billet:12". Errors are those of `stock.refusals`. Setting aside and ticking is in
`stock.promises`; purchases are in `stock.receiving`.
"""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from typing import Any

from django.db import transaction
from django.db.models import Max

from stock import clock, marks
from stock.form_amounts import amount_text
from stock.models import Entry, Form, Material, Piece, SetAside
from stock.refusals import BadAmount, CannotUndo, NotEnough
from stock.shares import share_cents

Kind = Entry.Kind


def new_act() -> uuid.UUID:
    """The name that entries written together share."""
    return uuid.uuid4()


def locked(piece: Piece) -> Piece:
    """The piece as it stands now, held until the transaction ends."""
    return Piece.objects.select_for_update(of=("self",)).select_related("material").get(pk=piece.pk)


def write(
    *,
    act: uuid.UUID,
    piece: Piece,
    kind: Kind,
    amount: int,
    value_cents: int,
    by: Any,
    job: str = "",
    why: str = "",
    set_aside: SetAside | None = None,
    corrects: Entry | None = None,
) -> Entry:
    """Add one entry and bring the piece's totals in hand up to date."""
    entry = Entry.objects.create(
        act=act, piece=piece, kind=kind, amount=amount, value_cents=value_cents, job=job,
        why=why, set_aside=set_aside, corrects=corrects, by=by, at=clock.now(),
    )  # fmt: skip
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
    """A piece with a fresh mark and nothing on hand yet; an entry must follow."""
    number = (Piece.objects.aggregate(top=Max("id"))["top"] or 0) + 1
    mark = marks.piece_mark(number)
    while Piece.objects.filter(mark=mark).exists():
        number += 1
        mark = marks.piece_mark(number)
    return Piece.objects.create(
        mark=mark, material=material, length_nm=length_nm, width_nm=width_nm,
        born_at=clock.now(), **about,
    )  # fmt: skip


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
        piece=piece, asked=amount, free=piece.free,
        told=f"{piece.mark} has {free} free{aside}; this takes "
        f"{amount_text(amount, form=piece.form)}. Choose another piece, or take less.",
    )  # fmt: skip


def take(
    *, act: uuid.UUID, piece: Piece, kind: Kind, amount: int, by: Any, **more: Any
) -> Entry | None:
    """Take an amount off a piece in hand with its share of the value; nothing writes nothing."""
    if amount == 0:
        return None
    value = share_cents(piece.value_cents, amount=amount, of_amount=piece.on_hand)
    return write(act=act, piece=piece, kind=kind, amount=-amount, value_cents=-value, by=by, **more)


def cut_off(
    *, act: uuid.UUID, piece: Piece, length_nm: int, kerf_nm: int, by: Any, **more: Any
) -> int:
    """Take a blank and its kerf off a bar or a roll in hand; tells what both were worth."""
    before = piece.value_cents
    kerf = min(kerf_nm, piece.on_hand - length_nm)
    take(act=act, piece=piece, kind=Kind.BLANK, amount=length_nm, by=by, **more)
    take(act=act, piece=piece, kind=Kind.KERF, amount=kerf, by=by, **more)
    return before - piece.value_cents


@transaction.atomic
def cut_by_hand(
    *, piece: Piece, length_nm: int, kerf_nm: int, job: str, by: Any, why: str = ""
) -> uuid.UUID:
    """Cut a length off a bar or a roll outside any plan, for a job."""
    held = locked(piece)
    if held.form not in (Form.FLAT, Form.ROUND, Form.ROLL):
        raise BadAmount(f"{held.mark} is {held.material.get_form_display()}: part it in two.")
    check_free(held, amount=length_nm)
    act = new_act()
    kerf = min(kerf_nm, held.free - length_nm)
    cut_off(act=act, piece=held, length_nm=length_nm, kerf_nm=kerf, by=by, job=job, why=why)
    return act


@transaction.atomic
def scrap(*, piece: Piece, amount: int, why: str, by: Any, job: str = "") -> uuid.UUID:
    """Throw an amount of a piece away, with its value."""
    held = locked(piece)
    check_free(held, amount=amount)
    act = new_act()
    take(act=act, piece=held, kind=Kind.SCRAP, amount=amount, by=by, why=why, job=job)
    return act


@transaction.atomic
def use(*, piece: Piece, amount: int, job: str, by: Any, why: str = "") -> uuid.UUID:
    """Use wire or counted things up in a job."""
    held = locked(piece)
    check_free(held, amount=amount)
    act = new_act()
    take(act=act, piece=held, kind=Kind.USED, amount=amount, by=by, why=why, job=job)
    return act


@transaction.atomic
def part(*, piece: Piece, length_nm: int, kerf_nm: int, by: Any, why: str = "") -> Piece:
    """Part a bar, a roll or a sheet in two across its width; the part cut off gets a mark.

    A sheet is parted by shears, so it has no kerf; both halves of it are new pieces.
    """
    held = locked(piece)
    act = new_act()
    if held.form == Form.SHEET:
        return part_sheet(held, length_nm=length_nm, act=act, by=by, why=why)
    if held.form not in (Form.FLAT, Form.ROUND, Form.ROLL):
        raise BadAmount(f"{held.mark} cannot be parted: it is {held.material.form}.")
    check_free(held, amount=length_nm + kerf_nm)
    before = held.value_cents
    take(act=act, piece=held, kind=Kind.PARTED, amount=length_nm, by=by, why=why)
    value = before - held.value_cents
    take(act=act, piece=held, kind=Kind.KERF, amount=kerf_nm, by=by, why=why)
    return put_down(
        act=act, source=held, length_nm=length_nm, amount=length_nm, value_cents=value, by=by
    )


def part_sheet(sheet: Piece, *, length_nm: int, act: uuid.UUID, by: Any, why: str) -> Piece:
    """Shear a sheet in hand across; it ends, and two new ones take its place."""
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
            act=act, source=sheet, length_nm=length, width_nm=sheet.width_nm,
            amount=length * sheet.width_nm, value_cents=worth, by=by,
        )
        for length, worth in zip(lengths, (first, value - first), strict=True)
    ]  # fmt: skip
    return new[0]


def put_down(
    *,
    act: uuid.UUID,
    source: Piece,
    length_nm: int,
    amount: int,
    value_cents: int,
    by: Any,
    width_nm: int = 0,
    material: Material | None = None,
    set_aside: SetAside | None = None,
) -> Piece:
    """Make a piece of what was parted from another, with the same heat or lot and place."""
    piece = new_piece(
        material=material or source.material, length_nm=length_nm, width_nm=width_nm,
        cut_from=source, heat_lot=source.heat_lot, place=source.place, line=source.line,
        made_by=source.made_by,
    )  # fmt: skip
    write(
        act=act, piece=piece, kind=Kind.PARTED, amount=amount, value_cents=value_cents,
        by=by, set_aside=set_aside,
    )  # fmt: skip
    return piece


@transaction.atomic
def count_piece(*, piece: Piece, counted: int, why: str, by: Any) -> uuid.UUID | None:
    """Book the difference between what was counted and what the books say, with its reason.

    Less metal takes its share of the value along; more metal brings none. Returns nothing when
    the books were right.
    """
    held = locked(piece)
    if counted < held.set_aside:
        promised = amount_text(held.set_aside, form=held.form)
        raise NotEnough(
            piece=held, asked=counted, free=held.free,
            told=f"{promised} of {held.mark} is set aside, and only "
            f"{amount_text(counted, form=held.form)} was counted. Change the plan first.",
        )  # fmt: skip
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
def undo(*, act: uuid.UUID, by: Any, why: str = "undone", restand: bool = True) -> uuid.UUID:
    """Take an act back by a second one; set-asides that it cut stand again (or are freed)."""
    entries = list(Entry.objects.filter(act=act).select_related("piece__material", "set_aside"))
    if not entries:
        raise CannotUndo("There is no such act in the ledger.")
    if any(entry.corrects_id for entry in entries):
        raise CannotUndo("This is a correction itself; do the work again instead.")
    if Entry.objects.filter(corrects__act=act).exists():
        raise CannotUndo("This was undone already.")
    back = new_act()
    pieces = {
        p.pk: p
        for p in Piece.objects.select_for_update(of=("self",))
        .select_related("material")
        .filter(pk__in={entry.piece_id for entry in entries})
        .order_by("pk")
    }
    for entry in entries:
        check_undoable(entry, pieces[entry.piece_id])
        write(
            act=back, piece=pieces[entry.piece_id], kind=Kind(entry.kind), amount=-entry.amount,
            value_cents=-entry.value_cents, by=by, job=entry.job, why=why,
            set_aside=entry.set_aside, corrects=entry,
        )  # fmt: skip
    asides = {entry.set_aside for entry in entries if entry.set_aside is not None}
    from stock import promises  # the two write one book; promises needs this module first

    promises.reopen(list(asides), restand=restand)
    return back


def check_undoable(entry: Entry, piece: Piece) -> None:
    """Metal that an entry brought must be there untouched to be taken back."""
    if entry.amount < 0:
        return
    later = (
        Entry.objects.filter(piece=piece, id__gt=entry.id, corrects=None, corrected_by=None)
        .exclude(act=entry.act)
        .exists()
    )
    if later or piece.set_aside > piece.on_hand - entry.amount:
        raise CannotUndo(f"{piece.mark} has been cut, counted or set aside since. Undo that first.")


@transaction.atomic
def book_in(
    *, pieces: Sequence[tuple[Piece, int, int]], kind: Kind, by: Any, job: str = "", why: str = ""
) -> uuid.UUID:
    """Write the first entry of new pieces: (piece, amount, value) each, in one act."""
    act = new_act()
    for piece, amount, value_cents in pieces:
        if amount <= 0:
            raise BadAmount("A piece needs a size above nothing.")
        write(
            act=act, piece=piece, kind=kind, amount=amount, value_cents=value_cents,
            by=by, job=job, why=why,
        )  # fmt: skip
    return act
