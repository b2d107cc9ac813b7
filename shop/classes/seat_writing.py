"""The seats of a class: added, changed, cancelled. The only writer of seats.

What a change costs in metal is freed at once, to be planned again (`shop.planning.writing`); what
is cut already is never touched. Classes themselves are in `shop.classes.writing`.

SeatingError
├── ClassFull      no seat is left
├── AlreadyCut     a billet would change and blanks of it are cut
└── NoSpare        what is to take a failed billet's place cannot
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.db import transaction
from django.db.models import Max

from billets.history import writing as history
from shop.models import ForgeClass, Seat
from shop.planning.writing import PlanningError, let_go, reopen_plan
from stock import clock
from stock.quantities.named_values import FieldValues


class SeatingError(PlanningError):
    """The class or its seats stay as they are."""


class ClassFull(SeatingError):
    """No seat is left."""

    def __init__(self, *, seats: int, taken: int, asked: int) -> None:
        self.seats, self.taken, self.asked = seats, taken, asked
        self.over = taken + asked - seats
        super().__init__(
            f"This class has {seats} seats, {taken} taken and {asked} more asked for: "
            f"{self.over} too many. Make room, or leave some out."
        )


class AlreadyCut(SeatingError):
    """A billet would change and blanks of it are cut."""


class NoSpare(SeatingError):
    """What is to take a failed billet's place cannot."""


def held_class(forge_class: ForgeClass, *, is_over_too: bool = True) -> ForgeClass:
    """The class as it stands now, held until the transaction ends.

    Args:
        forge_class: the class.
        is_over_too: whether a class that is over will do; names can still be put right in it.

    Raises:
        SeatingError: it was cancelled, or is over where that will not do.
    """
    held = (
        ForgeClass.objects.select_for_update(of=("self",))
        .select_related("layup")
        .get(pk=forge_class.pk)
    )
    if held.state == ForgeClass.State.CANCELLED:
        raise SeatingError(f"{held} was cancelled; nothing of it can be changed.")
    if held.state == ForgeClass.State.HELD and not is_over_too:
        raise SeatingError(f"{held} is over; no seat can be added to it, and it stays as it was.")
    return held


def add_row(forge_class: ForgeClass, **about: Any) -> Seat:
    """One more seat with the next number."""
    top = forge_class.seats.aggregate(top=Max("number"))["top"] or 0
    reopen_plan(forge_class)
    return Seat.objects.create(forge_class=forge_class, number=top + 1, **about)


def seats_open(forge_class: ForgeClass) -> int:
    """Places that no seat of the class takes yet, named or not."""
    taken = forge_class.seats.students().count()
    return max(0, forge_class.seat_count - taken)


def places_left(forge_class: ForgeClass) -> int:
    """How many more names the class has room for."""
    unnamed = forge_class.seats.students().filter(student="").count()
    return seats_open(forge_class) + unnamed


@transaction.atomic
def add_students(
    *, forge_class: ForgeClass, students: Sequence[tuple[str, str]], makes_room: bool = False
) -> list[Seat]:
    """Seat students, (name, e-mail) each: on seats without a name first, then on new ones.

    Raises:
        ClassFull: there are more than seats, and no room is to be made.
    """
    held = held_class(forge_class, is_over_too=False)
    unnamed = list(held.seats.students().filter(student=""))
    needed = max(0, len(students) - len(unnamed))
    room = seats_open(held)
    if needed > room:
        if not makes_room:
            taken = held.seat_count - places_left(held)
            raise ClassFull(seats=held.seat_count, taken=taken, asked=len(students))
        held.seat_count += needed - room
        held.save(update_fields=["seat_count"])
    seats = []
    for name, email in students:
        if unnamed:
            seat = unnamed.pop(0)
            seat.student, seat.email = name, email
            seat.save(update_fields=["student", "email"])
        else:
            seat = add_row(held, student=name, email=email)
        seats.append(seat)
    return seats


@transaction.atomic
def add_seat(*, forge_class: ForgeClass, makes_room: bool = False, **about: Any) -> Seat:
    """One seat with all its choices: a student's, one without a name yet, or a spare."""
    held = held_class(forge_class, is_over_too=False)
    if about.get("is_spare"):
        seat = add_row(held, **about)
        held.spares = held.seats.spares().count()
        held.save(update_fields=["spares"])
        return seat
    room = seats_open(held)
    if room == 0 and not makes_room:
        raise ClassFull(seats=held.seat_count, taken=held.seat_count, asked=1)
    if room == 0:
        held.seat_count += 1
        held.save(update_fields=["seat_count"])
    return add_row(held, **about)


@transaction.atomic
def fill_open_seats(*, forge_class: ForgeClass) -> int:
    """Seats without a name for all open places, so that billets are made before they are sold."""
    held = held_class(forge_class, is_over_too=False)
    count = seats_open(held)
    for _ in range(count):
        add_row(held)
    return count


@transaction.atomic
def change_seat(*, seat: Seat, changes: FieldValues) -> Seat:
    """Change a seat; metal that it no longer needs is freed, to be planned again.

    Raises:
        AlreadyCut: its billet would change and a blank of it is cut already.
    """
    held_class(seat.forge_class)
    held = Seat.objects.select_for_update(of=("self",)).get(pk=seat.pk)
    before = held.asked_design()
    for name, value in changes.items():
        setattr(held, name, value)
    held.save(update_fields=list(changes))
    held = Seat.objects.with_metal().get(pk=held.pk)
    if held.billet is not None and held.billet.knife != held.knife:
        held.billet.knife = held.knife
        held.billet.save(update_fields=["knife"])
    if held.asked_design() == before:
        return held
    if held.billet is not None:
        refuse_cut(held)
        redesign(held)
    reopen_plan(held.forge_class)
    return held


def refuse_cut(seat: Seat) -> None:
    """A billet that is begun keeps its design, and so does one that failed."""
    if seat.has_failed:
        raise AlreadyCut(
            f"{seat.billet} failed, and stays as it was made. Give the student a spare, or undo "
            "the failure on the billet's own page."
        )
    if not seat.is_uncut:
        raise AlreadyCut(
            f"Blanks of {seat.billet} are cut already. Undo those cuts on the cut list first, "
            "then change the seat."
        )


def redesign(seat: Seat) -> None:
    """Make an uncut billet to what its seat asks for now; its metal is freed."""
    if seat.billet is None:
        return
    let_go(seat.forge_class, jobs=[seat.billet.job], is_all=True)
    history.redesign(
        billet=seat.billet,
        layup=seat.layup_used,
        design=seat.asked_design(),
        knife=seat.knife,
    )
    reopen_plan(seat.forge_class)


@transaction.atomic
def cancel_seat(*, seat: Seat) -> Seat:
    """Take a seat out; an uncut billet is withdrawn and its metal freed, a begun one is a spare."""
    held_class(seat.forge_class)
    held = Seat.objects.with_metal().get(pk=seat.pk)
    if held.billet is not None and not held.is_uncut:
        held.is_spare, held.student, held.email = True, "", ""
        held.cancelled_on = clock.today()
        held.save(update_fields=["is_spare", "student", "email", "cancelled_on"])
    else:
        if held.billet is not None:
            let_go(held.forge_class, jobs=[held.billet.job], is_all=True)
            history.withdraw(billets=[held.billet])
        held.is_cancelled, held.cancelled_on = True, clock.today()
        held.save(update_fields=["is_cancelled", "cancelled_on"])
    reopen_plan(held.forge_class)
    spares = held.forge_class.seats.spares().count()
    ForgeClass.objects.filter(pk=held.forge_class_id).update(spares=spares)
    return held


def spares_for(seat: Seat) -> list[Seat]:
    """Spares that a student whose billet failed could have: not failed, and the same or begun."""
    return [
        spare
        for spare in seat.forge_class.seats.active().with_metal()
        if spare.is_spare
        and spare.billet is not None
        and not spare.has_failed
        and not (spare.is_uncut and spare.billet.design() != seat.asked_design())
    ]


@transaction.atomic
def give_spare(*, seat: Seat, spare: Seat) -> Seat:
    """Let a student whose billet failed have a spare's; the failed one takes the spare's place.

    Raises:
        NoSpare: the student's billet did not fail, or that spare cannot be theirs.
    """
    held_class(seat.forge_class)
    held = Seat.objects.with_metal().get(pk=seat.pk)
    if held.is_spare or held.billet is None or not held.has_failed:
        raise NoSpare(f"{held}'s billet did not fail, so no spare is needed for it.")
    given = next((one for one in spares_for(held) if one.pk == spare.pk), None)
    if given is None or given.billet is None:
        raise NoSpare(
            f"{spare.billet or spare} cannot take the place of {held.billet} any more. "
            "Choose another spare, or add one and plan it."
        )
    failed, sound = held.billet, given.billet
    held.billet = None  # a billet has one seat at a time, also between these lines
    held.save(update_fields=["billet"])
    for one, billet in ((given, failed), (held, sound)):
        one.billet = billet
        one.save(update_fields=["billet"])
    if held.knife != sound.knife:
        sound.knife = held.knife
        sound.save(update_fields=["knife"])
    reopen_plan(held.forge_class)
    return held
