"""Hours at billets: clocks, minutes typed, lines struck."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.db import IntegrityError, transaction

from billets.history import writing as history
from billets.hours import reading as hours_reading
from billets.hours import writing as hours
from billets.models import WorkTime
from tests.billets.clocks import T0, after, seconds_at
from tests.kinds import MakeBillet, Person


def test_a_clock_for_several_billets_is_shared_to_the_second(
    make_billet: MakeBillet, owner: Person
) -> None:
    billets = [make_billet() for _ in range(3)]
    with after():
        hours.start_clock(billets=billets, step="cut", person=owner)
    with after(seconds=100):
        hours.stop_clock(person=owner)

    assert [seconds_at(one, "cut") for one in billets] == [34, 33, 33]
    assert WorkTime.objects.count() == 1


def test_a_clock_that_runs_counts_once_it_is_stopped(
    make_billet: MakeBillet, owner: Person
) -> None:
    billet = make_billet()
    with after():
        hours.start_clock(billets=[billet], step="weld", person=owner)
    with after(minutes=5):
        assert seconds_at(billet, "weld") == 0
        hours.stop_clock(person=owner)

    assert seconds_at(billet, "weld") == 300


def test_starting_at_another_step_stops_the_first(make_billet: MakeBillet, owner: Person) -> None:
    billet = make_billet()
    with after():
        hours.start_clock(billets=[billet], step="cut", person=owner)
    with after(minutes=8):
        hours.start_clock(billets=[billet], step="clean", person=owner)

    assert seconds_at(billet, "cut") == 480
    assert WorkTime.objects.get(stopped_at=None).step == "clean"


def test_a_second_tap_leaves_the_clock_running(make_billet: MakeBillet, owner: Person) -> None:
    billet = make_billet()
    with after():
        first = hours.start_clock(billets=[billet], step="cut", person=owner)
    with after(seconds=2):
        second = hours.start_clock(billets=[billet], step="cut", person=owner)

    assert first == second
    assert WorkTime.objects.get().stopped_at is None


def test_two_people_have_a_clock_each(
    make_billet: MakeBillet, owner: Person, helper: Person
) -> None:
    billet = make_billet()
    with after():
        hours.start_clock(billets=[billet], step="weld", person=owner)
        hours.start_clock(billets=[billet], step="weld", person=helper)
    with after(minutes=10):
        hours.stop_clock(person=helper)
    with after(minutes=15):
        hours.stop_clock(person=owner)

    worked = hours_reading.worked_at([billet])[billet.pk]["weld"]
    assert dict(worked.by_person) == {owner.pk: 900, helper.pk: 600}


def test_the_database_allows_one_running_clock_a_person(
    make_billet: MakeBillet, owner: Person
) -> None:
    hours.start_clock(billets=[make_billet()], step="cut", person=owner)

    with pytest.raises(IntegrityError), transaction.atomic():
        WorkTime.objects.create(step="cut", person=owner, started_at=T0)
    with pytest.raises(IntegrityError), transaction.atomic():
        WorkTime.objects.create(
            step="cut", person=owner, started_at=T0, stopped_at=T0 - timedelta(seconds=1)
        )


def test_no_clock_and_no_minutes_for_a_withdrawn_billet(
    make_billet: MakeBillet, owner: Person
) -> None:
    billet = make_billet()
    history.withdraw(billets=[billet])

    with pytest.raises(hours.HoursRefused, match=f"out of its plan: {billet.mark}"):
        hours.start_clock(billets=[billet], step="cut", person=owner)
    with pytest.raises(hours.HoursRefused, match="No hours go into it"):
        hours.add_minutes(billets=[billet], step="cut", minutes=5, person=owner)
    assert not WorkTime.objects.exists()


def test_a_failed_billet_gets_no_clock_but_minutes(make_billet: MakeBillet, owner: Person) -> None:
    billet = make_billet()
    history.record_step(billet=billet, kind="failed", cause="cracked", by=owner)

    with pytest.raises(hours.HoursRefused, match="minutes can still be typed"):
        hours.start_clock(billets=[billet], step="cut", person=owner)
    hours.add_minutes(billets=[billet], step="weld", minutes=25, person=owner)

    assert seconds_at(billet, "weld") == 1500


@pytest.mark.parametrize("minutes", [0, -3, 1441])
def test_minutes_that_cannot_be_are_refused(
    make_billet: MakeBillet, owner: Person, minutes: int
) -> None:
    with pytest.raises(hours.HoursRefused, match="from 1 to 1440"):
        hours.add_minutes(billets=[make_billet()], step="cut", minutes=minutes, person=owner)

    assert not WorkTime.objects.exists()


def test_an_unknown_step_and_no_billet_are_refused(make_billet: MakeBillet, owner: Person) -> None:
    with pytest.raises(hours.HoursRefused, match="Choose a step"):
        hours.start_clock(billets=[make_billet()], step="polish", person=owner)
    with pytest.raises(hours.HoursRefused, match="No billet is left"):
        hours.start_clock(billets=[], step="cut", person=owner)


def test_a_clock_that_was_left_on_is_not_stopped_in_passing(
    make_billet: MakeBillet, owner: Person
) -> None:
    first, second = make_billet(), make_billet()
    with after():
        hours.start_clock(billets=[first], step="weld", person=owner)

    with after(hours=26), pytest.raises(hours.ClockForgotten) as refused:
        hours.start_clock(billets=[second], step="weld", person=owner)

    assert str(refused.value) == (
        f"Your clock at {first.mark}, weld shut, has run for 26 h 00. Say there first how long it "
        "really was, then start this one."
    )
    assert refused.value.seconds == 93_600
    assert WorkTime.objects.get().stopped_at is None


def test_a_tap_at_the_same_work_does_not_take_a_forgotten_clock_for_a_running_one(
    make_billet: MakeBillet, owner: Person
) -> None:
    billet = make_billet()
    with after():
        hours.start_clock(billets=[billet], step="weld", person=owner)

    with after(hours=26), pytest.raises(hours.ClockForgotten):
        hours.start_clock(billets=[billet], step="weld", person=owner)


def test_a_clock_that_was_left_on_takes_the_minutes_that_it_really_was(
    make_billet: MakeBillet, owner: Person
) -> None:
    billet = make_billet()
    with after():
        hours.start_clock(billets=[billet], step="weld", person=owner)
    with after(hours=26):
        hours.stop_clock(person=owner, minutes=35)

    time = WorkTime.objects.get()
    assert (seconds_at(billet, "weld"), time.is_typed) == (2100, True)


def test_more_minutes_than_the_clock_ran_are_refused(
    make_billet: MakeBillet, owner: Person
) -> None:
    with after():
        hours.start_clock(billets=[make_billet()], step="weld", person=owner)

    with after(minutes=20), pytest.raises(hours.HoursRefused, match="has run for 20 min"):
        hours.stop_clock(person=owner, minutes=21)

    assert WorkTime.objects.get().stopped_at is None


def test_a_struck_line_counts_no_more_and_stays(
    make_billet: MakeBillet, owner: Person, helper: Person
) -> None:
    billet = make_billet()
    time = hours.add_minutes(billets=[billet], step="cut", minutes=9, person=owner)

    hours.strike(time=time, by=helper)
    hours.strike(time=time, by=owner)

    time.refresh_from_db()
    assert seconds_at(billet, "cut") == 0
    assert time.struck_by == helper


def test_a_running_clock_that_is_struck_stops(make_billet: MakeBillet, owner: Person) -> None:
    with after():
        time = hours.start_clock(billets=[make_billet()], step="cut", person=owner)
    with after(minutes=1):
        hours.strike(time=time, by=owner)

    assert hours.running(person=owner) is None
