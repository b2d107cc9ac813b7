"""The plan page: made, short, confirmed, outrun by the rack, changed, cancelled."""

from __future__ import annotations

import threading
import time
from datetime import timedelta
from typing import Any

import pytest
from django.db import connection
from django.urls import reverse

from billets.models import Layer
from shop import plan_runs, planning, rack, seating
from shop.models import ForgeClass, PlanRun
from stock import ledger
from stock.house import House
from stock.models import Piece, SetAside
from stock.proof import proved

IN = 25_400_000
HTMX = {"HX-Request": "true"}


def make_plan(client: Any, row: ForgeClass, **more: str) -> Any:
    """Press the button and follow to the page."""
    return client.post(reverse("shop:plan", args=[row.pk]), more, follow=True)


def confirm(client: Any, row: ForgeClass, **how: Any) -> Any:
    """Confirm the latest plan."""
    run = row.runs.latest("id")
    return client.post(reverse("shop:plan-confirm", args=[row.pk]), {"run": run.pk}, **how)


def test_a_ready_plan_shows_each_piece_with_its_stops(
    as_owner: Any, make_class: Any, class_metal: Any, solved_here: None
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


def test_the_worth_of_the_metal_is_its_share_of_the_pieces(
    as_owner: Any, make_class: Any, class_metal: Any, solved_here: None
) -> None:
    row = make_class(students=1)

    page = make_plan(as_owner, row).text

    # 1084: 24.00 x 306.8 mm / 914.4 mm = 8.05; 1095: 30.00 x 153.4 / 914.4 = 5.03;
    # copper: 90.00 x 2.5 in / 60 in = 3.75; together 16.83.
    assert "$16.83" in page


def test_a_class_without_seats_is_told(as_owner: Any, make_class: Any) -> None:
    row = make_class(students=0, seat_count=4)

    page = make_plan(as_owner, row).text

    assert "This class has no seats yet. Add students or spares first." in page


def test_a_short_plan_says_what_is_missing_and_offers_the_rest(
    as_owner: Any, make_class: Any, class_metal: Any, solved_here: None
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


def test_the_billets_that_fit_are_planned_and_the_others_named(
    as_owner: Any, make_class: Any, class_metal: Any, solved_here: None
) -> None:
    row = make_class(students=4)

    page = make_plan(as_owner, row, only_fitting="1").text
    done = confirm(as_owner, row, follow=True).text

    assert "Left out for want of metal: Student 3, Student 4." in page
    assert "Metal is set aside for 2 billets." in done
    assert "10 blanks of this class have no metal in it." in done


def test_steel_on_steel_is_not_planned_without_the_owners_word(
    as_owner: Any, make_class: Any, make_layup: Any, class_metal: Any, solved_here: None
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


def test_two_plans_over_the_same_bar_one_wins_and_the_other_is_told(
    as_owner: Any, make_class: Any, class_metal: Any, solved_here: None
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


def test_a_new_plan_says_what_it_changes(as_owner: Any, planned_class: Any, make_bar: Any) -> None:
    row = planned_class(students=2)
    seating.change_seat(seat=row.seats.get(number=2), changes={"blank_length_nm": 7 * IN})

    page = make_plan(as_owner, row).text

    assert "Against the plan that stands" in page
    assert "5 blanks as before." in page
    assert "is new: 1-1/4 × 7 in" in page
    assert "See the plan that stands" in page


def test_planning_again_what_stands_changes_nothing(as_owner: Any, planned_class: Any) -> None:
    row = planned_class(students=2)

    page = make_plan(as_owner, row).text

    assert "Nothing changes: the same 10 blanks from the same pieces." in page


def test_a_cancelled_plan_frees_the_metal_and_keeps_the_class(
    as_owner: Any, planned_class: Any
) -> None:
    row = planned_class(students=2)

    as_owner.post(reverse("shop:plan-free", args=[row.pk]))

    row.refresh_from_db()
    assert row.state == "open"
    assert not Piece.objects.filter(set_aside__gt=0).exists()
    assert planning.unplanned_count(row) == 10


def test_htmx_gets_only_the_changing_part(as_owner: Any, planned_class: Any) -> None:
    row = planned_class(students=1)

    part = as_owner.get(reverse("shop:plan", args=[row.pk]), headers=HTMX)

    assert part.text.lstrip().startswith('<div id="planning"')
    assert "<html" not in part.text
    assert part["Vary"] == "HX-Request, Cookie" or "HX-Request" in part["Vary"]


def test_a_running_plan_shows_its_best_so_far_and_can_be_stopped(
    as_owner: Any, make_class: Any, owner: Any
) -> None:
    row = make_class(students=1)
    run = PlanRun.objects.create(
        forge_class=row, by=owner,
        progress={"alloy": "1084", "gap_percent": 2.5, "bars": 3, "cuts": 14},
    )  # fmt: skip

    page = as_owner.get(reverse("shop:plan", args=[row.pk])).text
    as_owner.post(reverse("shop:plan-stop", args=[row.pk]))

    assert "14 blanks from 3 bars" in page
    assert "2.5 %" in page
    assert '<noscript><meta http-equiv="refresh"' in page
    assert 'hx-trigger="every 1s"' in page
    run.refresh_from_db()
    assert run.stop_asked


def test_a_second_press_does_not_plan_twice(as_owner: Any, make_class: Any, owner: Any) -> None:
    row = make_class(students=1)
    PlanRun.objects.create(forge_class=row, by=owner)

    make_plan(as_owner, row)

    assert PlanRun.objects.count() == 1


def test_a_plan_that_a_restart_cut_off_is_told(
    as_owner: Any, make_class: Any, class_metal: Any, solved_here: None, owner: Any
) -> None:
    from django.utils import timezone

    row = make_class(students=1)
    run = PlanRun.objects.create(forge_class=row, by=owner)
    PlanRun.objects.update(started_at=timezone.now() - timedelta(hours=1))

    page = as_owner.get(reverse("shop:plan", args=[row.pk])).text

    assert "Planning was cut off before it ended." in page
    run.refresh_from_db()
    assert run.state == "running"  # a page that is looked at writes nothing
    make_plan(as_owner, row)
    run.refresh_from_db()
    assert run.state == "failed"


def test_a_solver_that_breaks_sets_nothing_aside_and_says_so(
    as_owner: Any, make_class: Any, class_metal: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    from stock.cutting import worker

    def broken(case: Any, **how: Any) -> Any:
        raise RuntimeError("no memory")

    monkeypatch.setattr(worker, "solved", broken)
    row = make_class(students=1)

    page = make_plan(as_owner, row).text

    assert "Planning broke" in page
    assert not SetAside.objects.exists()


def test_a_bar_that_another_class_shares_keeps_room_for_its_last_kerf(
    make_class: Any, planned_class: Any, class_metal: Any
) -> None:
    first = planned_class(students=2)
    second = make_class(students=1, layup=first.layup, title="The other class")

    free = rack.free_pieces(plan=second.plan_key, house=House(), alloys={"1084"})
    own = rack.free_pieces(plan=first.plan_key, house=House(), alloys={"1084"})

    # 36 in = 914.4 mm, less four blanks of 152.4 mm with kerfs of 1 mm = 300.8, less a kerf.
    assert [(one.length_nm, one.is_shared) for one in free] == [(299_800_000, True)]
    assert [(one.length_nm, one.is_shared) for one in own] == [(914_400_000, False)]


def test_metal_that_is_cut_elsewhere_puts_the_plan_out_of_date(
    as_owner: Any, make_class: Any, class_metal: Any, solved_here: None, owner: Any
) -> None:
    row = make_class(students=1)
    make_plan(as_owner, row)
    ledger.scrap(piece=class_metal["core"], amount=IN, why="bent", by=owner)

    response = confirm(as_owner, row)

    assert response.status_code == 422
    assert "Make the plan again" in response.text
    assert not SetAside.objects.exists()


@pytest.mark.django_db(transaction=True)
def test_two_plans_confirmed_at_the_same_moment_set_the_bar_aside_once(
    make_class: Any, class_metal: Any, solved_here: None, owner: Any
) -> None:
    first = make_class(students=2)
    second = make_class(students=2, layup=first.layup, title="The other class")
    runs = [plan_runs.start(forge_class=row, house=House(), by=owner) for row in (first, second)]
    for run in runs:
        wait_for(run)
    gate, told = threading.Barrier(2), []

    def confirm_one(run: PlanRun) -> None:
        gate.wait()
        try:
            planning.confirm(run=run, by=owner)
            told.append("won")
        except planning.PlanningError:
            told.append("told")
        finally:
            connection.close()

    threads = [threading.Thread(target=confirm_one, args=[run]) for run in runs]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert sorted(told) == ["told", "won"]
    assert SetAside.objects.filter(kind="blank").count() == 10
    assert proved().faults == ()


def wait_for(run: PlanRun) -> None:
    """Until a run that is computed in a thread is ready."""
    for _ in range(200):
        run.refresh_from_db()
        if run.state == "ready":
            return
        time.sleep(0.1)
    raise AssertionError(f"the run is {run.state}: {run.progress}")


def test_a_seat_changed_while_its_plan_is_computed_makes_that_plan_worthless(
    as_owner: Any, make_class: Any, class_metal: Any, solved_here: None, monkeypatch: Any
) -> None:
    from stock.cutting import worker

    row = make_class(students=2)
    solved = worker.solved

    def slow(case: Any, **how: Any) -> Any:
        seat = row.seats.earliest("number")
        seating.change_seat(seat=seat, changes={"blank_length_nm": 8 * IN})
        return solved(case, **how)

    monkeypatch.setattr(worker, "solved", slow)

    page = make_plan(as_owner, row).text

    assert "changed while this plan was computed" in page
    assert row.runs.latest("id").state == "failed"
    assert confirm(as_owner, row).status_code == 422
    assert not SetAside.objects.exists()


def test_the_same_plan_is_confirmed_once_and_a_second_time_is_told(
    as_owner: Any, make_class: Any, class_metal: Any, solved_here: None
) -> None:
    row = make_class(students=2)
    make_plan(as_owner, row)
    confirm(as_owner, row)
    standing = SetAside.objects.count()

    page = confirm(as_owner, row, follow=True)

    assert page.status_code == 200
    assert "This plan is confirmed already; its metal is set aside." in page.text
    assert "Stop." not in page.text
    assert SetAside.objects.count() == standing


def test_a_shortage_names_a_few_and_counts_the_rest(
    as_owner: Any, make_class: Any, class_metal: Any, solved_here: None
) -> None:
    row = make_class(students=14, spares=2)

    page = make_plan(as_owner, row).text

    assert "more seats, 2 spares." in page
    assert "Student 14" not in page.split("What can be cut")[0]
