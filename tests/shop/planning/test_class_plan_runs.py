"""Plans that run, stop, go stale, or meet one another."""

from __future__ import annotations

import threading
from datetime import timedelta
from typing import Any

import pytest
from django.db import connection
from django.urls import reverse

from shop.classes import seat_writing as seating
from shop.models import PlanRun
from shop.planning import metal
from shop.planning import runs as plan_runs
from shop.planning import writing as planning
from stock.house import House
from stock.ledger import by_hand
from stock.ledger.proof import proved
from stock.models import SetAside
from tests.kinds import ClassMetal, Client, MakeClass, Person
from tests.shop.plan_posts import IN, confirm, make_plan, wait_for


def test_a_running_plan_shows_its_best_so_far_and_can_be_stopped(
    as_owner: Client, make_class: MakeClass, owner: Person
) -> None:
    row = make_class(students=1)
    run = PlanRun.objects.create(
        forge_class=row,
        by=owner,
        progress={"alloy": "1084", "gap_percent": 2.5, "bars": 3, "cuts": 14},
    )

    page = as_owner.get(reverse("shop:plan", args=[row.pk])).text
    as_owner.post(reverse("shop:plan-stop", args=[row.pk]))

    assert "14 blanks from 3 bars" in page
    assert "2.5 %" in page
    assert '<noscript><meta http-equiv="refresh"' in page
    assert 'hx-trigger="every 1s"' in page
    run.refresh_from_db()
    assert run.stop_asked


def test_a_second_press_does_not_plan_twice(
    as_owner: Client, make_class: MakeClass, owner: Person
) -> None:
    row = make_class(students=1)
    PlanRun.objects.create(forge_class=row, by=owner)

    make_plan(as_owner, row)

    assert PlanRun.objects.count() == 1


def test_a_plan_that_a_restart_cut_off_is_told(
    as_owner: Client,
    make_class: MakeClass,
    class_metal: ClassMetal,
    solved_here: None,
    owner: Person,
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
    as_owner: Client,
    make_class: MakeClass,
    class_metal: ClassMetal,
    monkeypatch: pytest.MonkeyPatch,
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
    make_class: MakeClass, planned_class: MakeClass, class_metal: ClassMetal
) -> None:
    first = planned_class(students=2)
    second = make_class(students=1, layup=first.layup, title="The other class")

    free = metal.free_pieces(plan=second.plan_key, house=House(), alloys={"1084"})
    own = metal.free_pieces(plan=first.plan_key, house=House(), alloys={"1084"})

    # 36 in = 914.4 mm, less four blanks of 152.4 mm with kerfs of 1 mm = 300.8, less a kerf.
    assert [(one.length_nm, one.is_shared) for one in free] == [(299_800_000, True)]
    assert [(one.length_nm, one.is_shared) for one in own] == [(914_400_000, False)]


@pytest.mark.slow
def test_metal_that_is_cut_elsewhere_puts_the_plan_out_of_date(
    as_owner: Client,
    make_class: MakeClass,
    class_metal: ClassMetal,
    solved_here: None,
    owner: Person,
) -> None:
    row = make_class(students=1)
    make_plan(as_owner, row)
    by_hand.scrap(piece=class_metal["core"], amount=IN, why="bent", by=owner)

    response = confirm(as_owner, row)

    assert response.status_code == 422
    assert "Make the plan again" in response.text
    assert not SetAside.objects.exists()


@pytest.mark.slow
@pytest.mark.django_db(transaction=True)
def test_two_plans_confirmed_at_the_same_moment_set_the_bar_aside_once(
    make_class: MakeClass, class_metal: ClassMetal, solved_here: None, owner: Person
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


@pytest.mark.slow
def test_a_seat_changed_while_its_plan_is_computed_makes_that_plan_worthless(
    as_owner: Client,
    make_class: MakeClass,
    class_metal: ClassMetal,
    solved_here: None,
    monkeypatch: pytest.MonkeyPatch,
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


@pytest.mark.slow
def test_the_same_plan_is_confirmed_once_and_a_second_time_is_told(
    as_owner: Client, make_class: MakeClass, class_metal: ClassMetal, solved_here: None
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


@pytest.mark.slow
def test_a_shortage_names_a_few_and_counts_the_rest(
    as_owner: Client, make_class: MakeClass, class_metal: ClassMetal, solved_here: None
) -> None:
    row = make_class(students=14, spares=2)

    page = make_plan(as_owner, row).text

    assert "more seats, 2 spares." in page
    assert "Student 14" not in page.split("What can be cut")[0]
