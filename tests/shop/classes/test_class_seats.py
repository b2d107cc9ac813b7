"""Seats of a class: pasted, added, changed, taken out; what that does to their metal."""

from __future__ import annotations

from typing import Any

import pytest
from django.urls import reverse

from billets.models import Billet, Layer
from shop.classes import seat_writing as seating
from shop.classes import writing as classes
from shop.models import ForgeClass, PlanRun
from shop.planning import writing as planning
from stock.ledger import set_asides
from stock.models import SetAside
from tests.kinds import ClassMetal, Client, MakeClass, MakeLayup, Person, Response, sure

IN = 25_400_000


def paste(client: Client, row: ForgeClass, text: str, **more: str) -> Response:
    """Paste students into a class."""
    return client.post(
        reverse("shop:seat-paste", args=[row.pk]), {"students": text} | more, follow=True
    )


def names(row: ForgeClass) -> list[str]:
    """Students of a class in the order of their seats."""
    rows = row.seats.students().order_by("number")
    return [seat.student for seat in rows]


def test_pasted_lines_become_seats(as_owner: Client, make_class: MakeClass) -> None:
    row = make_class(students=0, seat_count=4)

    response = paste(as_owner, row, "Ana Ruiz <ana@forge.example>\n\nBo Lind, bo@forge.example")

    assert "2 students seated." in response.text
    assert list(row.seats.values_list("student", "email")) == [
        ("Ana Ruiz", "ana@forge.example"),
        ("Bo Lind", "bo@forge.example"),
    ]


def test_a_bad_line_is_told_and_the_whole_text_stays(
    as_owner: Client, make_class: MakeClass
) -> None:
    row = make_class(students=0, seat_count=4)

    response = paste(as_owner, row, "Ana Ruiz\nBo <bo at forge>")

    assert response.status_code == 422
    assert "Line 2" in response.text
    assert "is not an e-mail address" in response.text
    assert "Ana Ruiz\nBo &lt;bo at forge&gt;</textarea>" in response.text
    assert names(row) == []


def test_more_students_than_seats_are_asked_about(as_owner: Client, make_class: MakeClass) -> None:
    row = make_class(students=1, seat_count=2)

    response = paste(as_owner, row, "Ana Ruiz\nBo Lind")

    assert response.status_code == 422
    assert "This class has 2 seats, 1 taken and 2 more asked for: 1 too many." in response.text
    assert "Make the class larger" in response.text
    assert names(row) == ["Student 1"]


def test_the_class_grows_when_that_is_chosen(as_owner: Client, make_class: MakeClass) -> None:
    row = make_class(students=1, seat_count=2)

    paste(as_owner, row, "Ana Ruiz\nBo Lind", over="room")

    row.refresh_from_db()
    assert row.seat_count == 3
    assert names(row) == ["Student 1", "Ana Ruiz", "Bo Lind"]


def test_the_others_wait_in_the_notes_when_that_is_chosen(
    as_owner: Client, make_class: MakeClass
) -> None:
    row = make_class(students=1, seat_count=2, note="Bring gloves.")

    response = paste(as_owner, row, "Ana Ruiz\nBo Lind <bo@forge.example>", over="wait")

    row.refresh_from_db()
    assert names(row) == ["Student 1", "Ana Ruiz"]
    assert row.note == "Bring gloves.\nWaiting:\nBo Lind <bo@forge.example>"
    assert "1 more stands as a waiting list" in response.text


def test_names_go_on_seats_that_have_none_first(as_owner: Client, make_class: MakeClass) -> None:
    row = make_class(students=0, seat_count=3)
    as_owner.post(reverse("shop:seat-fill", args=[row.pk]))
    assert names(row) == ["", "", ""]

    paste(as_owner, row, "Ana Ruiz")

    assert names(row) == ["Ana Ruiz", "", ""]


def seat_form(**changes: Any) -> dict[str, Any]:
    """The form of one seat, filled."""
    return {"student": "Ana Ruiz", "email": "", "layup": "", "knife": "", "note": ""} | changes


def test_one_seat_is_added_with_its_own_blank(as_owner: Client, make_class: MakeClass) -> None:
    row = make_class(students=0, seat_count=2)

    as_owner.post(
        reverse("shop:seat-add", args=[row.pk]),
        seat_form(blank_length_nm="7 1/2", knife="drop-point hunter"),
    )

    seat = row.seats.get()
    assert (seat.blank_length_nm, seat.knife) == (190_500_000, "drop-point hunter")


@pytest.mark.parametrize("text", ["0", "-3", "1e9 in", "nan", "9**9**9 mm", "12 smoots"])
def test_a_bad_blank_size_is_told_with_what_was_typed(
    as_owner: Client, make_class: MakeClass, text: str
) -> None:
    row = make_class(students=0, seat_count=2)

    response = as_owner.post(
        reverse("shop:seat-add", args=[row.pk]), seat_form(blank_length_nm=text)
    )

    assert response.status_code == 422
    assert f'value="{text}"' in response.text
    assert not row.seats.exists()


def test_a_seat_in_a_full_class_needs_room_made(as_owner: Client, make_class: MakeClass) -> None:
    row = make_class(students=1)
    url = reverse("shop:seat-add", args=[row.pk])

    refused = as_owner.post(url, seat_form())
    assert refused.status_code == 422
    assert "All 1 seats are taken. Tick this to make it 2." in refused.text

    as_owner.post(url, seat_form(makes_room="on"))
    row.refresh_from_db()
    assert (row.seat_count, row.seats.count()) == (2, 2)


def test_a_spare_needs_no_room(as_owner: Client, make_class: MakeClass) -> None:
    row = make_class(students=1)

    as_owner.post(reverse("shop:seat-add", args=[row.pk]), seat_form(student="", is_spare="on"))

    row.refresh_from_db()
    assert row.spares == 1


@pytest.mark.slow
def test_a_new_size_frees_the_metal_and_says_so(as_owner: Client, planned_class: MakeClass) -> None:
    row = planned_class(students=2)
    seat = row.seats.get(number=1)

    response = as_owner.post(
        reverse("shop:seat-change", args=[row.pk, seat.pk]),
        seat_form(blank_length_nm="7"),
        follow=True,
    )

    assert "Its metal is free; make the plan again" in response.text
    assert planning.unplanned_count(row) == 5
    assert Billet.objects.get(seat=seat).design().blank_length_nm == 7 * IN


def test_a_new_name_leaves_the_metal_alone(as_owner: Client, planned_class: MakeClass) -> None:
    row = planned_class(students=2)
    seat = row.seats.get(number=1)

    as_owner.post(reverse("shop:seat-change", args=[row.pk, seat.pk]), seat_form(knife="slicer"))

    seat.refresh_from_db()
    assert (seat.student, sure(seat.billet).knife) == ("Ana Ruiz", "slicer")
    assert planning.unplanned_count(row) == 0


def test_a_begun_billet_keeps_its_size(
    as_owner: Client, planned_class: MakeClass, owner: Person, class_metal: ClassMetal
) -> None:
    row = planned_class(students=1)
    set_asides.tick(set_aside=SetAside.objects.get(piece=class_metal["core"]), by=owner)
    seat = row.seats.get()

    response = as_owner.post(
        reverse("shop:seat-change", args=[row.pk, seat.pk]), seat_form(blank_length_nm="7")
    )

    assert response.status_code == 422
    assert "are cut already. Undo those cuts on the cut list first" in response.text
    seat.refresh_from_db()
    assert seat.blank_length_nm is None


def test_a_seat_taken_out_withdraws_its_uncut_billet(
    as_owner: Client, planned_class: MakeClass
) -> None:
    row = planned_class(students=2)
    seat = row.seats.get(number=2)

    as_owner.post(reverse("shop:seat-cancel", args=[row.pk, seat.pk]))

    seat.refresh_from_db()
    assert seat.is_cancelled
    assert sure(seat.billet).is_withdrawn
    assert not SetAside.objects.filter(state="standing", job=sure(seat.billet).job).exists()


@pytest.mark.slow
def test_a_seat_taken_out_with_a_begun_billet_leaves_a_spare(
    as_owner: Client, planned_class: MakeClass, owner: Person, class_metal: ClassMetal
) -> None:
    row = planned_class(students=1)
    set_asides.tick(set_aside=SetAside.objects.get(piece=class_metal["core"]), by=owner)
    seat = row.seats.get()

    response = as_owner.post(reverse("shop:seat-cancel", args=[row.pk, seat.pk]), follow=True)

    seat.refresh_from_db()
    assert (seat.is_spare, seat.student, seat.is_cancelled) == (True, "", False)
    assert "is begun, so it is a spare" in response.text
    assert ForgeClass.objects.get().spares == 1


def test_an_edited_layup_changes_no_billet_that_is_made(planned_class: MakeClass) -> None:
    row = planned_class(students=1)
    Layer.objects.filter(layup=row.layup, position=2).update(thickness_nm=IN // 4)

    seat = row.seats.active().with_metal()[0]

    assert seat.is_behind
    assert seat.design().layers[2].thickness_nm == IN * 3 // 16
    assert planning.unplanned_count(row) == 0


def test_uncut_billets_follow_the_layup_when_asked(
    as_owner: Client, planned_class: MakeClass
) -> None:
    row = planned_class(students=1)
    Layer.objects.filter(layup=row.layup, position=2).update(thickness_nm=IN // 4)

    as_owner.post(reverse("shop:class-new-layups", args=[row.pk]))

    seat = row.seats.active().with_metal()[0]
    assert not seat.is_behind
    assert planning.unplanned_count(row) == 5


def test_a_new_layup_of_the_class_pins_begun_billets_to_the_old_one(
    planned_class: MakeClass, make_layup: MakeLayup, class_metal: ClassMetal, owner: Person
) -> None:
    row = planned_class(students=2)
    core = SetAside.objects.filter(piece=class_metal["core"]).order_by("id")[0]
    set_asides.tick(set_aside=core, by=owner)
    other = make_layup(name="Thicker", blank_width_nm=IN)

    kept = classes.change_class(forge_class=row, changes={"layup": other})

    begun, uncut = row.seats.order_by("number")
    assert [seat.pk for seat in kept] == [begun.pk]
    assert sure(begun.layup).name == "Five layers"
    assert sure(uncut.billet).layup_name == "Thicker"


def test_any_change_of_seats_puts_an_unconfirmed_plan_out_of_date(
    make_class: MakeClass, class_metal: ClassMetal, solved_here: None, owner: Person
) -> None:
    from shop.planning import runs
    from stock.house import House

    row = make_class(students=1, seat_count=2)
    runs.start(forge_class=row, house=House(), by=owner)

    seating.add_students(forge_class=row, students=[("Ana Ruiz", "")])

    assert PlanRun.objects.get().state == "stale"


def test_a_cancelled_class_takes_no_more_students(make_class: MakeClass) -> None:
    row = make_class(students=1, seat_count=2)
    classes.cancel_class(forge_class=row)

    with pytest.raises(seating.SeatingError, match="was cancelled"):
        seating.add_students(forge_class=row, students=[("Ana Ruiz", "")])

    assert row.seats.count() == 1


def test_fewer_spares_take_the_last_uncut_ones_out(make_class: MakeClass) -> None:
    row = make_class(students=1, spares=3)

    classes.change_class(forge_class=row, changes={"spares": 1})

    assert row.seats.spares().count() == 1
    row.refresh_from_db()
    assert row.spares == 1


def test_the_add_button_pressed_twice_makes_one_seat(
    as_owner: Client, make_class: MakeClass
) -> None:
    row = make_class(students=0, seat_count=4)
    url = reverse("shop:seat-add", args=[row.pk])
    as_owner.post(url, {"student": "Ana Ruiz"})

    again = as_owner.post(url, {"student": "ana ruiz"})
    namesake = as_owner.post(url, {"student": "Ana Ruiz", "email": "ana2@forge.example"})

    assert again.status_code == 422
    assert "has a seat in this class already" in again.text
    assert namesake.status_code == 302
    assert row.seats.count() == 2


def test_a_blank_too_small_to_forge_is_refused(as_owner: Client, make_class: MakeClass) -> None:
    row = make_class(students=1)
    seat = row.seats.get()
    url = reverse("shop:seat-change", args=[row.pk, seat.pk])

    response = as_owner.post(url, {"student": "Student 1", "blank_length_nm": "0.001 in"})

    assert response.status_code == 422
    assert "0.001 in is too small to be forged. Write 1/4 in or more, or nothing." in response.text
    seat.refresh_from_db()
    assert seat.blank_length_nm is None


def test_seats_for_open_places_are_counted_in_words(
    as_owner: Client, make_class: MakeClass
) -> None:
    row = make_class(students=1, seat_count=2)
    url = reverse("shop:seat-fill", args=[row.pk])

    first = as_owner.post(url, follow=True).text
    second = as_owner.post(url, follow=True).text

    assert "1 seat without a name is there to be planned." in first
    assert "No place is open; every seat is there to be planned already." in second
