"""Metal set aside for a plan: promised, ticked off cut by cut, or freed.

The second half of `stock.ledger.by_hand`: nothing else writes set-asides. What a plan says is
checked by `stock.cutting.plans.checks` before it comes here; here each piece is checked again
under its lock.
"""

from __future__ import annotations

import uuid
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction
from django.db.models import QuerySet

from stock import clock
from stock.ledger import entries
from stock.ledger.entries import hold
from stock.ledger.refusals import BadAmount, CannotUndo, LedgerError, NotStanding
from stock.models import Entry, Form, Material, Piece, SetAside
from stock.quantities import units
from stock.who import Person

Kind, State, Freed = SetAside.Kind, SetAside.State, SetAside.Freed
IN_PLACE = (State.STANDING, State.CUT)


def hold_job(*, job: str) -> None:
    """Lock every piece that a job has, or had, metal set aside on; before anything else is."""
    hold(set(SetAside.objects.filter(job=job).values_list("piece_id", flat=True)))


@transaction.atomic
def free_job(*, job: str, why: SetAside.Freed = SetAside.Freed.FAILED) -> int:
    """Let go of every cut of a job that stands, and of what rests on it; tells how many blanks."""
    hold_job(job=job)
    rows = list(
        SetAside.objects.filter(job=job, state=State.STANDING).select_related(
            "parent", "piece__material"
        )
    )
    now = clock.now()  # one time for all: what was freed together can stand again together
    let_go([row.pk for row in rows], why=why, at=now)
    for group in groups_of(rows):
        let_go(needless(group), why=why, at=now)
    return sum(1 for row in rows if row.kind == Kind.BLANK)


def let_go(ids: Collection[int], *, why: SetAside.Freed, at: datetime | None = None) -> int:
    """Free set-asides that stand, and keep when and why; tells how many."""
    return SetAside.objects.filter(pk__in=ids, state=State.STANDING).update(
        state=State.FREED, freed_at=at or clock.now(), freed_why=why
    )


def groups_of(rows: Sequence[SetAside]) -> list[SetAside]:
    """One row for each strip, and for each piece that one plan was laid out on."""
    return list({(row.parent_id, row.piece_id, row.made_at): row for row in rows}.values())


def beside(row: SetAside) -> QuerySet[SetAside]:
    """What was planned together with a row on its strip or its piece, itself included."""
    if row.parent_id is not None:
        return SetAside.objects.filter(parent=row.parent_id)
    return SetAside.objects.filter(
        piece=row.piece_id, plan=row.plan, made_at=row.made_at, parent=None
    )


def needless(row: SetAside) -> list[int]:
    """What has no use once a row is freed: the end of a bar, rests and a strip without blanks."""
    rests = beside(row).filter(kind=Kind.REST, state=State.STANDING)
    is_used = beside(row).filter(kind=Kind.BLANK, state__in=IN_PLACE).exists()
    if row.parent is None and row.piece.form == Form.FLAT:
        return list(rests.values_list("pk", flat=True))
    if is_used:
        return []
    strip = [row.parent.pk] if row.parent is not None else []
    return [*rests.values_list("pk", flat=True), *strip]


@transaction.atomic
def stand_again(*, ids: Collection[int]) -> set[int]:
    """Set freed blanks aside again where they were, each where that is still free.

    Returns:
        Those that stand again; the place of every other was cut, promised or measured since.
    """
    rows = list(
        SetAside.objects.filter(pk__in=ids, state=State.FREED)
        .select_related("parent")
        .order_by("pk")
    )
    homes = {row.pk: home_of(row) for row in rows}
    held = hold({piece_id for piece_id, _ in homes.values()})
    stood = [
        row
        for row in rows
        if is_strip_there(row, roll=held[homes[row.pk][0]], ids=ids)
        and is_put(row, piece=held[homes[row.pk][0]], amount=homes[row.pk][1])
    ]
    for group in groups_of(stood):
        put_rests(group, held=held)
    return {row.pk for row in stood}


def home_of(row: SetAside) -> tuple[int, int]:
    """The piece that a row lies on now and how much of it: nothing before its strip is cut."""
    if row.parent is None:
        return row.piece_id, row.amount
    if row.parent.state != State.CUT:
        return row.parent.piece_id, 0
    came = Entry.objects.filter(set_aside=row.parent, amount__gt=0, corrected_by=None)
    sheet_id = came.filter(corrects=None).values_list("piece_id", flat=True).get()
    return sheet_id, row.length_nm * row.width_nm


def is_strip_there(row: SetAside, *, roll: Piece, ids: Collection[int]) -> bool:
    """Whether a row's strip is cut or stands; one whose blanks all come back stands again."""
    strip = row.parent
    if strip is None:
        return True
    strip.refresh_from_db()
    if strip.state != State.FREED:
        return True
    freed = strip.children.filter(kind=Kind.BLANK, state=State.FREED, freed_at=strip.freed_at)
    is_whole = not freed.exclude(pk__in=ids).exists()
    return is_whole and is_put(strip, piece=roll, amount=strip.amount)


def is_put(row: SetAside, *, piece: Piece, amount: int) -> bool:
    """Set one freed row aside on a piece in hand, if it still finds its place there."""
    if amount > piece.free or (piece.form == Form.SHEET and not is_as_laid_out(row, sheet=piece)):
        return False
    row.state, row.piece, row.amount = State.STANDING, piece, amount
    row.freed_at, row.freed_why = None, ""
    row.save(update_fields=["state", "piece", "amount", "freed_at", "freed_why"])
    piece.set_aside += amount
    return True


def is_as_laid_out(row: SetAside, *, sheet: Piece) -> bool:
    """Whether nothing but its own plan has touched a sheet since a row was laid out on it."""
    later = SetAside.objects.filter(piece=sheet, state__in=IN_PLACE, made_at__gt=row.made_at)
    taken = Entry.objects.filter(
        piece=sheet, amount__lt=0, at__gt=row.made_at, corrects=None, corrected_by=None
    ).exclude(set_aside__made_at=row.made_at)
    return not later.exists() and not taken.exists()


def put_rests(row: SetAside, *, held: dict[int, Piece]) -> None:
    """Let the rests beside a blank that stands again stand again too, where they are still left."""
    for rest in beside(row).filter(kind=Kind.REST, state=State.FREED).select_related("parent"):
        piece_id, amount = home_of(rest)
        piece = held[piece_id]
        if piece.form != Form.FLAT or amount == piece.free:
            is_put(rest, piece=piece, amount=amount)


@dataclass(frozen=True)
class Promise:
    """One cut of a plan; `parent` is the index in the same plan of the strip or sheet it is on."""

    piece_id: int
    kind: str
    amount: int  # with kerf; 0 for what lies on a strip
    job: str
    position: int
    label: str = ""
    kerf_nm: int = 0
    length_nm: int = 0
    width_nm: int = 0
    x_nm: int = 0
    y_nm: int = 0
    is_kept: bool = False
    parent: int | None = None


@transaction.atomic
def set_aside(*, plan: str, promises: Sequence[Promise], by: Person) -> list[SetAside]:
    """Promise all of a plan's metal at once, or none of it.

    Raises:
        NotEnough: a piece has less free than the plan takes of it; nothing is set aside.
    """
    held = hold({promise.piece_id for promise in promises})
    now = clock.now()  # one time for all: what was set aside together is read together
    asked: dict[int, int] = {}
    for promise in promises:
        asked[promise.piece_id] = asked.get(promise.piece_id, 0) + promise.amount
    for piece_id, amount in asked.items():
        if amount:
            entries.check_free(held[piece_id], amount=amount)
    rows: list[SetAside] = []
    for promise in promises:
        parent = rows[promise.parent] if promise.parent is not None else None
        rows.append(
            SetAside.objects.create(
                piece=held[promise.piece_id],
                kind=promise.kind,
                parent=parent,
                amount=promise.amount,
                kerf_nm=promise.kerf_nm,
                length_nm=promise.length_nm,
                width_nm=promise.width_nm,
                x_nm=promise.x_nm,
                y_nm=promise.y_nm,
                is_kept=promise.is_kept,
                position=promise.position,
                job=promise.job,
                plan=plan,
                label=promise.label,
                by=by,
                made_at=now,
            )
        )
    return rows


@transaction.atomic
def free(
    *, plan: str = "", ids: Collection[int] | None = None, why: SetAside.Freed = Freed.PLAN
) -> int:
    """Let go of all that stands for a plan, or of some set-asides; tells how many."""
    rows = SetAside.objects.filter(state=State.STANDING)
    rows = rows.filter(plan=plan) if ids is None else rows.filter(pk__in=ids)
    found = list(rows.values_list("pk", "piece_id"))
    hold({piece_id for _, piece_id in found})
    return let_go([pk for pk, _ in found], why=why)


@transaction.atomic
def tick(*, set_aside: SetAside, by: Person) -> uuid.UUID:
    """Book one cut of a plan as done; gives the act, for `stock.ledger.by_hand.undo`."""
    row, piece = hold_row(set_aside.pk)
    if row.state != State.STANDING:
        raise NotStanding(set_aside=row)
    if row.kind != Kind.STRIP and row.amount == 0:
        raise LedgerError(
            f"The strip for {row.label} is still on roll {piece.mark}. Tick the strip first."
        )
    settle(row)
    piece.set_aside -= row.amount
    act = entries.new_act()
    if row.kind == Kind.STRIP:
        cut_strip(row, piece, act=act, by=by)
    elif row.kind == Kind.REST:
        settle_rest(row, piece, act=act, by=by)
    else:
        cut_blank(row, piece, act=act, by=by)
    return act


def hold_row(pk: int) -> tuple[SetAside, Piece]:
    """A set-aside and its piece, locked in the order that every other act locks them in."""
    piece = entries.locked(SetAside.objects.select_related("piece").get(pk=pk).piece)
    row = SetAside.objects.select_for_update(of=("self",)).get(pk=pk)
    return (row, piece) if row.piece_id == piece.pk else hold_row(pk)


def settle(row: SetAside) -> None:
    """Mark a set-aside as cut; its piece's total follows by trigger."""
    row.state = State.CUT
    row.save(update_fields=["state"])


def cut_blank(row: SetAside, piece: Piece, *, act: uuid.UUID, by: Person) -> None:
    """A blank from a bar (with kerf) or from a sheet (by its area)."""
    if piece.form == Form.SHEET:
        entries.take(
            act=act,
            piece=piece,
            kind=Entry.Kind.BLANK,
            amount=row.amount,
            by=by,
            job=row.job,
            set_aside=row,
            why=row.label,
        )
        return
    entries.cut_off(
        act=act,
        piece=piece,
        length_nm=row.length_nm,
        kerf_nm=row.amount - row.length_nm,
        by=by,
        job=row.job,
        set_aside=row,
        why=row.label,
    )


def sheet_material(roll: Material) -> Material:
    """The material of sheet offcuts that come off a roll; made when first needed."""
    found, _ = Material.objects.get_or_create(
        form=Form.SHEET,
        alloy=roll.alloy,
        thickness_nm=roll.thickness_nm,
        name=roll.name,
        width_nm=0,
        diameter_nm=0,
        defaults={
            "gauge": roll.gauge,
            "grain_matters": roll.grain_matters,
            "keep_from_nm": roll.keep_from_nm,
        },
    )
    return found


def cut_strip(row: SetAside, roll: Piece, *, act: uuid.UUID, by: Person) -> None:
    """Take a strip off a roll: it becomes a sheet with a mark, and its blanks move onto it."""
    before = roll.value_cents
    entries.take(
        act=act,
        piece=roll,
        kind=Entry.Kind.PARTED,
        amount=row.amount,
        by=by,
        job="",
        set_aside=row,
        why=row.label,
    )
    width = roll.material.width_nm
    strip = entries.put_down(
        act=act,
        source=roll,
        length_nm=row.length_nm,
        width_nm=width,
        amount=row.length_nm * width,
        value_cents=before - roll.value_cents,
        by=by,
        material=sheet_material(roll.material),
        set_aside=row,
    )
    for child in row.children.filter(state=State.STANDING):
        child.piece = strip
        child.amount = child.length_nm * child.width_nm
        child.save(update_fields=["piece", "amount"])


def settle_rest(row: SetAside, piece: Piece, *, act: uuid.UUID, by: Person) -> None:
    """What a plan leaves: a marked offcut for the rack, or scrap."""
    if not row.is_kept:
        entries.take(
            act=act,
            piece=piece,
            kind=Entry.Kind.SCRAP,
            amount=row.amount,
            by=by,
            job=row.job,
            set_aside=row,
            why=row.label,
        )
        return
    before = piece.value_cents
    entries.take(
        act=act,
        piece=piece,
        kind=Entry.Kind.PARTED,
        amount=row.amount,
        by=by,
        set_aside=row,
        why=row.label,
    )
    entries.put_down(
        act=act,
        source=piece,
        length_nm=row.length_nm,
        width_nm=row.width_nm,
        amount=row.amount,
        value_cents=before - piece.value_cents,
        by=by,
        set_aside=row,
    )


def reopen(rows: Collection[SetAside], *, restand: bool) -> None:
    """After an undo: the cuts stand again as promised, or are freed with all that lies on them."""
    for row in rows:
        row.state = State.STANDING if restand else State.FREED
        if not restand:
            row.freed_at, row.freed_why = clock.now(), Freed.UNDONE
            children = row.children.filter(state=State.STANDING).values_list("pk", flat=True)
            let_go(list(children), why=Freed.UNDONE)
        row.save(update_fields=["state", "freed_at", "freed_why"])


def take_back_strips(rows: Collection[SetAside]) -> None:
    """Before a strip goes back on its roll: its blanks move back too, if none of them is cut."""
    for row in rows:
        if row.kind != Kind.STRIP:
            continue
        children = list(row.children.exclude(state=State.FREED))
        if any(child.state == State.CUT for child in children):
            raise CannotUndo("Something of this strip is cut already. Undo that first.")
        for child in children:
            child.piece = row.piece
            child.amount = 0
            child.save(update_fields=["piece", "amount"])


def check_fits(sheet: Piece, *, size: tuple[int, int]) -> None:
    """Refuse a rectangle that is longer or wider than the sheet it is to be left of."""
    sides = sorted((sheet.width_nm, sheet.length_nm))
    if any(side > room for side, room in zip(sorted(size), sides, strict=True)):
        given, whole = (
            units.section_text(sizes, system="inch")
            for sizes in (size, (sheet.width_nm, sheet.length_nm))
        )
        raise BadAmount(
            f"{given} cannot be left of {sheet.mark}, which came as {whole}. Measure again."
        )


@transaction.atomic
def remark_sheet(*, sheet: Piece, sizes: Sequence[tuple[int, int]], by: Person) -> list[Piece]:
    """Measure what is left of a sheet: new marked rectangles, the rest is scrap.

    Args:
        sheet: the sheet; nothing of it may be set aside.
        sizes: (width, length) [nm] of each rectangle kept; none scraps it all.
        by: who measured.
    """
    held = entries.locked(sheet)
    entries.check_free(held, amount=held.on_hand)
    for size in sizes:
        check_fits(held, size=size)
    area = sum(width * length for width, length in sizes)
    if area > held.on_hand or any(min(size) <= 0 for size in sizes):
        raise BadAmount(f"That is more than the books have left of {held.mark}. Measure again.")
    act = entries.new_act()
    new = []
    for width, length in sizes:
        before = held.value_cents
        entries.take(
            act=act,
            piece=held,
            kind=Entry.Kind.PARTED,
            amount=width * length,
            by=by,
            why="measured",
        )
        new.append(
            entries.put_down(
                act=act,
                source=held,
                length_nm=length,
                width_nm=width,
                amount=width * length,
                value_cents=before - held.value_cents,
                by=by,
            )
        )
    entries.take(
        act=act, piece=held, kind=Entry.Kind.SCRAP, amount=held.on_hand, by=by, why="measured"
    )
    return new
