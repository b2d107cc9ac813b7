"""Classes: made, changed, cancelled. The only writer of classes; days come from the caller.

Seats are in `shop.classes.seat_writing`, whose errors these functions raise.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from django.db import transaction

from billets.history import writing as history
from billets.models import Billet, Blank, Layup
from shop.classes.seat_writing import (
    AlreadyCut,
    SeatingError,
    add_row,
    cancel_seat,
    held_class,
    redesign,
)
from shop.models import ForgeClass, PlanRun, Seat
from stock.ledger import set_asides
from stock.models import SetAside
from stock.quantities.named_values import FieldValues


@transaction.atomic
def make_class(
    *,
    title: str,
    starts_on: date,
    ends_on: date,
    seat_count: int,
    layup: Layup,
    spares: int = 0,
    place: str = "",
    note: str = "",
) -> ForgeClass:
    """A new class with its spares; students come with `add_students`."""
    row = ForgeClass.objects.create(
        title=title,
        starts_on=starts_on,
        ends_on=ends_on,
        seat_count=seat_count,
        layup=layup,
        spares=spares,
        place=place,
        note=note,
    )
    for _ in range(spares):
        add_row(row, is_spare=True)
    return row


@transaction.atomic
def change_class(*, forge_class: ForgeClass, changes: FieldValues) -> list[Seat]:
    """Change a class; tells which seats keep the old layup since they are cut already."""
    held = held_class(forge_class)
    old_layup = held.layup
    taken = held.seats.students().count()
    if changes.get("seat_count", taken) < taken:
        raise SeatingError(
            f"{taken} seats are taken; {changes['seat_count']} is too few. "
            "Cancel seats first, or write at least that many."
        )
    for name, value in changes.items():
        setattr(held, name, value)
    held.save(update_fields=list(changes))
    kept: list[Seat] = []
    if held.layup != old_layup:
        kept = pass_layup_on(held, old_layup=old_layup)
    if "spares" in changes:
        match_spares(held)
    return kept


def pass_layup_on(forge_class: ForgeClass, *, old_layup: Layup) -> list[Seat]:
    """Let seats without a layup of their own follow; begun ones are pinned to the old one."""
    kept = []
    for seat in forge_class.seats.active().with_metal():
        if seat.layup is not None or seat.billet is None:
            continue
        if seat.is_uncut:
            redesign(seat)
        else:
            seat.layup = old_layup
            seat.save(update_fields=["layup"])
            kept.append(seat)
    return kept


def match_spares(forge_class: ForgeClass) -> None:
    """Add spares, or take the last uncut ones out, until there are as many as asked for."""
    spares = [seat for seat in forge_class.seats.active().with_metal() if seat.is_spare]
    for _ in range(forge_class.spares - len(spares)):
        add_row(forge_class, is_spare=True)
    surplus = len(spares) - forge_class.spares
    uncut = [seat for seat in reversed(spares) if seat.is_uncut]
    if surplus > len(uncut):
        raise AlreadyCut(
            f"{len(spares) - len(uncut)} spares are begun already; "
            "there can be no fewer. Write at least that many."
        )
    for seat in uncut[: max(0, surplus)]:
        cancel_seat(seat=seat)


@transaction.atomic
def take_new_layups(*, forge_class: ForgeClass) -> int:
    """Let uncut billets follow layups that were edited since; tells how many."""
    held = held_class(forge_class)
    behind = [seat for seat in held.seats.active().with_metal() if seat.is_behind and seat.is_uncut]
    for seat in behind:
        redesign(seat)
    return len(behind)


@transaction.atomic
def cancel_class(*, forge_class: ForgeClass) -> list[Billet]:
    """Cancel a class: all that stands is freed; billets without a cut are withdrawn.

    Returns:
        The billets that are begun already, and stay.

    Raises:
        SeatingError: it is cancelled or over.
    """
    held = held_class(forge_class, is_over_too=False)
    set_asides.free(plan=held.plan_key)
    seats = list(held.seats.exclude(billet=None).with_metal())
    Blank.objects.filter(billet__seat__in=seats, set_aside__state=SetAside.State.FREED).update(
        set_aside=None
    )
    uncut = [seat.billet for seat in seats if seat.billet and seat.is_uncut]
    history.withdraw(billets=uncut)
    held.runs.exclude(state=PlanRun.State.FAILED).update(state=PlanRun.State.STALE)
    held.state = ForgeClass.State.CANCELLED
    held.save(update_fields=["state"])
    return [seat.billet for seat in seats if seat.billet and seat.billet not in uncut]


@transaction.atomic
def keep_waiting(*, forge_class: ForgeClass, students: Sequence[tuple[str, str]]) -> None:
    """Write who waits for a seat into the notes of the class."""
    held = held_class(forge_class)
    lines = [f"{name} <{email}>" if email else name for name, email in students]
    held.note = "\n".join(part for part in (held.note.rstrip(), "Waiting:", *lines) if part)
    held.save(update_fields=["note"])
