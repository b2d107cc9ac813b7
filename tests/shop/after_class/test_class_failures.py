"""A billet that fails before it is cut: its metal goes free, its student gets a spare."""

from __future__ import annotations

import pytest
from django.urls import reverse

from billets.history import writing as history
from billets.models import Billet, Layer, Step
from shop.after_class import writing as after_class
from shop.buying import reading_facts
from shop.classes import seat_writing as seating
from shop.classes import writing as classes
from shop.cut_list import writing as cut_list
from shop.models import ForgeClass, Seat
from shop.planning import metal, runs
from shop.planning import writing as planning
from stock.house import House
from stock.ledger import by_hand
from stock.ledger.proof import proved
from stock.models import Piece, SetAside
from tests.kinds import ClassMetal, Client, MakeClass, Person

IN = 25_400_000


def seats(row: ForgeClass) -> list[Seat]:
    """The seats of a class, students first."""
    return list(row.seats.active().with_metal())


def fail(billet: Billet | None, *, by: Person) -> None:
    """Write a billet down as failed."""
    assert billet is not None
    history.record_step(billet=billet, kind="failed", cause="wrong-stack", by=by)


def standing(billet: Billet | None) -> int:
    """Cuts that stand for a billet."""
    assert billet is not None
    return SetAside.objects.filter(job=billet.job, state="standing").count()


def confirm_again(row: ForgeClass, *, by: Person) -> None:
    """Make the plan and confirm it."""
    planning.confirm(run=runs.start(forge_class=row, house=House(), by=by), by=by)


@pytest.mark.slow
def test_a_failure_frees_what_is_not_cut_and_keeps_it_in_the_history(
    as_helper: Client, helper: Person, planned_class: MakeClass, class_metal: ClassMetal
) -> None:
    row = planned_class(students=2)
    billet = seats(row)[0].billet
    assert billet is not None
    cut_list.tick_cut(set_aside=SetAside.objects.get(label=f"{billet.mark}-3"), by=helper)

    response = as_helper.post(
        reverse("billets:billet-fail", args=[billet.mark]), {"cause": "wrong-stack"}, follow=True
    )

    assert "The metal of 4 blanks that were not cut is free again." in response.text
    states = SetAside.objects.filter(job=billet.job).order_by("label")
    assert [one.state for one in states] == ["freed", "freed", "cut", "freed", "freed"]
    assert standing(seats(row)[1].billet) == 5
    assert proved().faults == ()
    page = as_helper.get(reverse("billets:billet-detail", args=[billet.mark])).text
    assert "Set aside once, and let go" in page
    assert page.count(", the billet failed</small>") == 4


@pytest.mark.slow
def test_a_failed_billet_is_not_planned_again_and_nothing_is_bought_for_it(
    planned_class: MakeClass, owner: Person
) -> None:
    row = planned_class(students=2)
    fail(seats(row)[0].billet, by=owner)

    assert planning.unplanned_count(row) == 0
    assert metal.needs_of([seats(row)[0]]) == []
    assert reading_facts.unplanned_needs(seats(row)) == []
    confirm_again(row, by=owner)
    assert [standing(seat.billet) for seat in seats(row)] == [0, 5]


@pytest.mark.slow
def test_a_class_of_failed_billets_has_nothing_to_plan(
    planned_class: MakeClass, owner: Person
) -> None:
    row = planned_class(students=1)
    fail(seats(row)[0].billet, by=owner)

    run = runs.start(forge_class=row, house=House(), by=owner)

    assert run.state == "failed"
    assert "No blank of this class waits for metal" in str(run.progress)


@pytest.mark.slow
def test_a_failure_undone_takes_its_metal_back_while_it_is_free(
    as_helper: Client, helper: Person, planned_class: MakeClass
) -> None:
    row = planned_class(students=2)
    billet = seats(row)[0].billet
    assert billet is not None
    fail(billet, by=helper)

    response = as_helper.post(reverse("billets:billet-undo", args=[billet.mark]), follow=True)

    assert "5 blanks are set aside again." in response.text
    assert Step.objects.latest("id").note == "5 blanks are set aside again."
    assert [standing(seat.billet) for seat in seats(row)] == [5, 5]
    assert planning.unplanned_count(row) == 0
    assert proved().faults == ()


@pytest.mark.slow
def test_a_failure_undone_says_what_is_to_be_planned_again(
    as_helper: Client, helper: Person, planned_class: MakeClass, class_metal: ClassMetal
) -> None:
    row = planned_class(students=1)
    billet = seats(row)[0].billet
    assert billet is not None
    fail(billet, by=helper)
    core = Piece.objects.get(pk=class_metal["core"].pk)
    by_hand.scrap(piece=core, amount=core.on_hand, why="cracked", by=helper)

    response = as_helper.post(reverse("billets:billet-undo", args=[billet.mark]), follow=True)

    assert "4 blanks are set aside again." in response.text
    assert "Layer 3 has no metal set aside now; plan it again." in response.text
    assert planning.unplanned_count(row) == 1


@pytest.mark.slow
def test_once_the_plan_is_cancelled_a_failure_undone_promises_nothing(
    planned_class: MakeClass, owner: Person
) -> None:
    row = planned_class(students=1)
    billet = seats(row)[0].billet
    assert billet is not None
    fail(billet, by=owner)
    planning.free_plan(forge_class=row)

    step = history.undo_step(billet=billet, by=owner)

    told = "Layers 1, 2, 3, 4 and 5 have no metal set aside now; plan them again."
    assert step.note == told
    assert (standing(billet), planning.unplanned_count(row)) == (0, 5)


@pytest.mark.slow
def test_a_class_that_is_over_promises_nothing_again(
    planned_class: MakeClass, owner: Person
) -> None:
    row = planned_class(students=1)
    billet = seats(row)[0].billet
    assert billet is not None
    fail(billet, by=owner)
    after_class.hold_class(forge_class=row)

    history.undo_step(billet=billet, by=owner)

    assert standing(billet) == 0


@pytest.mark.slow
def test_a_student_whose_billet_failed_gets_a_spare(
    as_helper: Client, helper: Person, planned_class: MakeClass
) -> None:
    row = planned_class(students=1, spares=1)
    student, spare = seats(row)
    failed, sound = student.billet, spare.billet
    fail(failed, by=helper)
    text = as_helper.get(reverse("shop:class-detail", args=[row.pk])).text
    assert "Give Student 1 a spare" in text

    response = as_helper.post(
        reverse("shop:seat-spare", args=[row.pk, student.pk]), {"spare": spare.pk}, follow=True
    )

    assert f"Student 1 has billet {sound} now" in response.text
    assert [seat.billet for seat in seats(row)] == [sound, failed]
    assert "Give Student 1 a spare" not in response.text
    assert planning.unplanned_count(row) == 0


@pytest.mark.slow
def test_without_a_spare_the_page_of_the_seat_says_what_to_do(
    as_helper: Client, helper: Person, planned_class: MakeClass
) -> None:
    row = planned_class(students=1)
    student = seats(row)[0]
    fail(student.billet, by=helper)

    text = as_helper.get(reverse("shop:seat-change", args=[row.pk, student.pk])).text

    assert "No spare of this class can take its place." in text


@pytest.mark.slow
def test_a_sound_billet_is_not_given_away(as_helper: Client, planned_class: MakeClass) -> None:
    row = planned_class(students=1, spares=1)
    student, spare = seats(row)

    response = as_helper.post(
        reverse("shop:seat-spare", args=[row.pk, student.pk]), {"spare": spare.pk}, follow=True
    )

    assert "did not fail, so no spare is needed for it." in response.text
    assert [seat.billet for seat in seats(row)] == [student.billet, spare.billet]


@pytest.mark.slow
def test_a_spare_that_failed_too_is_refused(planned_class: MakeClass, owner: Person) -> None:
    row = planned_class(students=1, spares=1)
    student, spare = seats(row)
    for seat in (student, spare):
        fail(seat.billet, by=owner)

    with pytest.raises(seating.NoSpare, match="Choose another spare, or add one and plan it"):
        seating.give_spare(seat=student, spare=spare)


def test_a_spare_is_given_by_post_only_and_not_to_strangers(
    client: Client, as_helper: Client, planned_class: MakeClass
) -> None:
    row = planned_class(students=1, spares=1)
    address = reverse("shop:seat-spare", args=[row.pk, seats(row)[0].pk])

    assert as_helper.get(address).status_code == 405
    client.logout()
    assert "/sign-in/" in client.post(address, {"spare": "1"})["Location"]


@pytest.mark.slow
def test_a_failed_billet_keeps_its_design_when_the_layup_changes(
    planned_class: MakeClass, owner: Person
) -> None:
    row = planned_class(students=1)
    student = seats(row)[0]
    fail(student.billet, by=owner)
    Layer.objects.filter(layup=row.layup, position=0).update(thickness_nm=IN // 4)

    taken = classes.take_new_layups(forge_class=row)

    assert taken == 0
    with pytest.raises(seating.AlreadyCut, match="failed, and stays as it was made"):
        seating.change_seat(seat=student, changes={"blank_length_nm": 5 * IN})


def test_a_failed_billet_of_a_student_who_leaves_stays_in_the_books(
    planned_class: MakeClass, owner: Person
) -> None:
    row = planned_class(students=1)
    student = seats(row)[0]
    fail(student.billet, by=owner)

    left = seating.cancel_seat(seat=student)

    assert (left.is_spare, left.is_cancelled) == (True, False)
    assert not Billet.objects.get(seat=student).is_withdrawn
