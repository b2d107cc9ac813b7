"""The plan of a class, as its page shows it and confirms it."""

from __future__ import annotations

import pytest
from django.urls import reverse

from billets.models import Layer
from shop.classes import seat_writing as seating
from shop.planning import writing as planning
from stock.models import Piece, SetAside
from tests.kinds import ClassMetal, Client, MakeClass, MakeLayup, MakePiece
from tests.shop.plan_posts import HTMX, IN, confirm, make_plan


@pytest.mark.slow
def test_a_ready_plan_shows_each_piece_with_its_stops(
    as_owner: Client, make_class: MakeClass, class_metal: ClassMetal, solved_here: None
) -> None:
    row = make_class(students=2)

    page = make_plan(as_owner, row).text

    assert "Ready to confirm" in page
    assert class_metal["cladding"].mark in page
    # Two cladding blanks of 6 in with a kerf of 1 mm between: 12-3/64 in on the tape.
    assert "saw at 6 in" in page
    assert "saw at 12-3/64 in" in page
    assert "seat 1-1" in page
    assert "Take <b>5 in</b> off the end of the roll" in page
    assert not SetAside.objects.exists()


@pytest.mark.slow
def test_the_worth_of_the_metal_is_its_share_of_the_pieces(
    as_owner: Client, make_class: MakeClass, class_metal: ClassMetal, solved_here: None
) -> None:
    row = make_class(students=1)

    page = make_plan(as_owner, row).text

    # 1084: 24.00 x 306.8 mm / 914.4 mm = 8.05; 1095: 30.00 x 153.4 / 914.4 = 5.03;
    # copper: 90.00 x 2.5 in / 60 in = 3.75; together 16.83.
    assert "$16.83" in page


def test_a_class_without_seats_is_told(as_owner: Client, make_class: MakeClass) -> None:
    row = make_class(students=0, seat_count=4)

    page = make_plan(as_owner, row).text

    assert "This class has no seats yet. Add students or spares first." in page


@pytest.mark.slow
def test_a_short_plan_says_what_is_missing_and_offers_the_rest(
    as_owner: Client, make_class: MakeClass, class_metal: ClassMetal, solved_here: None
) -> None:
    row = make_class(students=4)

    page = make_plan(as_owner, row).text

    # Eight cladding blanks are wanted, five come out of 36 in; three more with their kerfs are
    # 3 x 153.4 mm = 460.2 mm = 18.118 in.
    assert "Not enough metal" in page
    assert "<b>18.118 in</b> of 1084" in page
    assert "3 blanks" in page
    assert "Nothing is set aside. 2 of 4 billets can be made" in page
    assert "Plan the 2 that fit" in page
    assert confirm(as_owner, row).status_code == 422
    assert not SetAside.objects.exists()


@pytest.mark.slow
def test_the_billets_that_fit_are_planned_and_the_others_named(
    as_owner: Client, make_class: MakeClass, class_metal: ClassMetal, solved_here: None
) -> None:
    row = make_class(students=4)

    page = make_plan(as_owner, row, only_fitting="1").text
    done = confirm(as_owner, row, follow=True).text

    assert "Left out for want of metal: Student 3, Student 4." in page
    assert "Metal is set aside for 2 billets." in done
    assert "10 blanks of this class have no metal in it." in done


@pytest.mark.slow
def test_steel_on_steel_is_not_planned_without_the_owners_word(
    as_owner: Client,
    make_class: MakeClass,
    make_layup: MakeLayup,
    class_metal: ClassMetal,
    solved_here: None,
) -> None:
    layup = make_layup()
    Layer.objects.filter(layup=layup, position=1).update(alloy="1084", thickness_nm=IN // 8)
    row = make_class(students=1, layup=layup)

    refused = make_plan(as_owner, row).text
    layup.override_reason = "A test piece to show how it fails."
    layup.save()
    allowed = make_plan(as_owner, row).text

    assert "Five layers cannot be planned." in refused
    assert "Owner&#x27;s word." in allowed or "Owner's word." in allowed
    assert "A test piece to show how it fails." in allowed


@pytest.mark.slow
def test_two_plans_over_the_same_bar_one_wins_and_the_other_is_told(
    as_owner: Client, make_class: MakeClass, class_metal: ClassMetal, solved_here: None
) -> None:
    first = make_class(students=2)
    second = make_class(students=2, layup=first.layup, title="The other class")
    make_plan(as_owner, first)
    make_plan(as_owner, second)

    won = confirm(as_owner, first, follow=True)
    lost = confirm(as_owner, second)

    assert "Metal is set aside for 2 billets." in won.text
    assert lost.status_code == 422
    assert "Nothing was set aside. Metal was cut or promised" in lost.text
    assert "Make the plan again" in lost.text
    assert not SetAside.objects.filter(plan=second.plan_key).exists()
    assert second.runs.get().state == "stale"


@pytest.mark.slow
def test_a_new_plan_says_what_it_changes(
    as_owner: Client, planned_class: MakeClass, make_bar: MakePiece
) -> None:
    row = planned_class(students=2)
    seating.change_seat(seat=row.seats.get(number=2), changes={"blank_length_nm": 7 * IN})

    page = make_plan(as_owner, row).text

    assert "Against the plan that stands" in page
    assert "5 blanks as before." in page
    assert "is new: 1-1/4 × 7 in" in page
    assert "See the plan that stands" in page


@pytest.mark.slow
def test_planning_again_what_stands_changes_nothing(
    as_owner: Client, planned_class: MakeClass
) -> None:
    row = planned_class(students=2)

    page = make_plan(as_owner, row).text

    assert "Nothing changes: the same 10 blanks from the same pieces." in page


@pytest.mark.slow
def test_a_cancelled_plan_frees_the_metal_and_keeps_the_class(
    as_owner: Client, planned_class: MakeClass
) -> None:
    row = planned_class(students=2)

    as_owner.post(reverse("shop:plan-free", args=[row.pk]))

    row.refresh_from_db()
    assert row.state == "open"
    assert not Piece.objects.filter(set_aside__gt=0).exists()
    assert planning.unplanned_count(row) == 10


@pytest.mark.slow
def test_htmx_gets_only_the_changing_part(as_owner: Client, planned_class: MakeClass) -> None:
    row = planned_class(students=1)

    part = as_owner.get(reverse("shop:plan", args=[row.pk]), headers=HTMX)

    assert part.text.lstrip().startswith('<div id="planning"')
    assert "<html" not in part.text
    assert part["Vary"] == "HX-Request, Cookie" or "HX-Request" in part["Vary"]
