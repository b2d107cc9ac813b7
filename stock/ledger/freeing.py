"""One job's part of a plan let go, and taken back while its place is still free.

Beside `stock.ledger.set_asides`, which makes set-asides and ticks them. A blank that is not cut
after all leaves its length on the bar, its place on the sheet; what was planned only because of it
(the strip off the roll, the rest beside it) goes with it. Freed rows stay, as the history of the
plan.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import datetime

from django.db import transaction
from django.db.models import QuerySet

from stock import clock
from stock.ledger.entries import hold
from stock.models import Entry, Form, Piece, SetAside

Kind, State = SetAside.Kind, SetAside.State
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
