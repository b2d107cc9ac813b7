"""Seats of a class: pasted as lines, added one by one, changed, cancelled."""

from __future__ import annotations

from typing import NotRequired, TypedDict

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from shop.classes import seat_writing as seating
from shop.classes import writing as classes
from shop.classes.forms import PasteForm, SeatForm, seat_initial
from shop.classes.pasted import Student
from shop.models import ForgeClass, Seat
from shop.words.numbers import counted, verb
from stock.web.acting import Say, in_messages, on_form, or_say
from stock.web.requests import HtmxRequest, row_number

PLAN_AGAIN = "Its metal is free; make the plan again to set new metal aside."


class PasteContext(TypedDict):
    """The page of pasted students; `full` once there are more of them than seats."""

    row: ForgeClass
    form: PasteForm
    places_left: int
    full: NotRequired[seating.ClassFull]


@require_http_methods(["GET", "POST"])
def seat_paste(request: HtmxRequest, class_id: int) -> HttpResponse:
    """Students as lines of text; more of them than seats is asked about, and nothing is lost."""
    row = get_object_or_404(ForgeClass.objects.select_related("layup"), pk=class_id)
    form = PasteForm(request.POST or None, forge_class=row)
    context = PasteContext(row=row, form=form, places_left=seating.places_left(row))
    if request.method == "POST" and form.is_valid():
        try:
            count, waiting = seat_them(row, form)
        except seating.ClassFull as error:
            context["full"] = error
            form.fields["over"].required = True
            form.add_error("over", f"{error} Choose what to do.")
        except seating.SeatingError as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, seated_sentence(count, waiting=waiting))
            return redirect(row)
    return render(
        request, "shop/classes/seat_paste.html", context, status=422 if form.errors else 200
    )


def seat_them(row: ForgeClass, form: PasteForm) -> tuple[int, int]:
    """Seat the students of a form; tells how many, and how many wait."""
    students = list(form.pasted.students)
    waiting: list[Student] = []
    if form.cleaned_data["over"] == "wait":
        room = seating.places_left(row)
        students, waiting = students[:room], students[room:]
    seats = seating.add_students(
        forge_class=row,
        students=[(one.name, one.email) for one in students],
        makes_room=form.cleaned_data["over"] == "room",
    )
    if waiting:
        classes.keep_waiting(forge_class=row, students=[(one.name, one.email) for one in waiting])
    return len(seats), len(waiting)


def seated_sentence(count: int, *, waiting: int) -> str:
    """What the shop says after seating."""
    seated = f"{counted(count, 'student')} seated."
    if not waiting:
        return seated
    stand = verb(waiting, "stands", "stand")
    return f"{seated} {waiting} more {stand} as a waiting list in the notes."


@require_http_methods(["GET", "POST"])
def seat_add(request: HtmxRequest, class_id: int) -> HttpResponse:
    """One more seat or spare, with all its choices."""
    row = get_object_or_404(ForgeClass.objects.select_related("layup"), pk=class_id)
    form = SeatForm(request.POST or None, house=request.house, forge_class=row)
    if request.method == "POST" and form.is_valid():
        with or_say(seating.SeatingError, say=on_seat_form(form)) as attempt:
            seat = seating.add_seat(
                forge_class=row,
                makes_room=form.cleaned_data["makes_room"],
                is_spare=form.cleaned_data["is_spare"],
                **form.choices(),
            )
        if attempt.is_done:
            messages.success(request, f"Added: {seat}.")
            return redirect(row)
    context = {"row": row, "form": form}
    return render(
        request, "shop/classes/seat_form.html", context, status=422 if form.errors else 200
    )


def on_seat_form(form: SeatForm) -> Say:
    """Say it above the form; of a full class beside the box that makes room."""

    def say(refusal: Exception) -> None:
        if isinstance(refusal, seating.ClassFull):
            seats = refusal.seats
            words = f"All {seats} seats are taken. Tick this to make it {seats + 1}."
            form.add_error("makes_room", words)
        else:
            form.add_error(None, str(refusal))

    return say


@require_http_methods(["GET", "POST"])
def seat_change(request: HtmxRequest, class_id: int, seat_id: int) -> HttpResponse:
    """Who sits there and what they get; a billet that is begun keeps its design."""
    seat = seat_or_404(class_id, seat_id)
    form = SeatForm(
        request.POST or None,
        house=request.house,
        forge_class=seat.forge_class,
        seat=seat,
        initial=seat_initial(seat),
    )
    if request.method == "POST" and form.is_valid():
        with or_say(seating.SeatingError, say=on_form(form)) as attempt:
            freed = seat.has_metal
            changed = seating.change_seat(seat=seat, changes=form.choices())
        if attempt.is_done:
            is_freed = freed and not changed.has_metal
            messages.success(request, f"Saved. {PLAN_AGAIN}" if is_freed else "Saved.")
            return redirect("shop:class-detail", class_id)
    has_failed = seat.has_failed and not seat.is_spare
    context = {
        "row": seat.forge_class,
        "seat": seat,
        "form": form,
        "has_failed": has_failed,
        "spares": seating.spares_for(seat) if has_failed else [],
    }
    return render(
        request, "shop/classes/seat_form.html", context, status=422 if form.errors else 200
    )


@require_POST
def seat_spare(request: HtmxRequest, class_id: int, seat_id: int) -> HttpResponse:
    """A student whose billet failed gets the billet of a spare."""
    seat = seat_or_404(class_id, seat_id)
    spare = seat_or_404(class_id, row_number(request.POST.get("spare", "")))
    failed = seat.billet
    with or_say(seating.SeatingError, say=in_messages(request)) as attempt:
        given = seating.give_spare(seat=seat, spare=spare)
    if not attempt.is_done:
        return redirect("shop:seat-change", class_id, seat_id)
    messages.success(
        request,
        f"{given} has billet {given.billet} now; {failed} stands among the spares as failed.",
    )
    return redirect("shop:class-detail", class_id)


@require_POST
def seat_cancel(request: HtmxRequest, class_id: int, seat_id: int) -> HttpResponse:
    """Take a seat out of the class."""
    seat = seat_or_404(class_id, seat_id)
    name = str(seat)
    with or_say(seating.SeatingError, say=in_messages(request)) as attempt:
        left = seating.cancel_seat(seat=seat)
    if attempt.is_done:
        if left.is_cancelled:
            messages.success(request, f"{name} is out; metal set aside for that seat is free.")
        else:
            messages.success(request, f"{name} is out. {left.billet} is begun, so it is a spare.")
    return redirect("shop:class-detail", class_id)


@require_POST
def seat_fill(request: HtmxRequest, class_id: int) -> HttpResponse:
    """Seats without a name for the open places, so that their billets can be planned."""
    row = get_object_or_404(ForgeClass, pk=class_id)
    with or_say(seating.SeatingError, say=in_messages(request)) as attempt:
        count = seating.fill_open_seats(forge_class=row)
    if attempt.is_done:
        if count:
            seats = f"{counted(count, 'seat')} without a name {verb(count, 'is', 'are')}"
            messages.success(request, f"{seats} there to be planned.")
        else:
            messages.info(request, "No place is open; every seat is there to be planned already.")
    return redirect(row)


def seat_or_404(class_id: int, seat_id: int) -> Seat:
    """A seat of this class that was not cancelled."""
    rows = Seat.objects.active().with_metal()
    return get_object_or_404(rows, pk=seat_id, forge_class_id=class_id)
