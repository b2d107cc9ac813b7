"""Typed hours of an earlier day; clocks at a billet that fails; struck lines that can be seen."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from billets.history import writing as history
from billets.hours import reading as hours_reading
from billets.hours import writing as hours
from billets.models import Billet, StepKind, WorkTime
from stock import clock
from tests.kinds import Client, MakeLayup, Person

T0 = datetime(2026, 4, 6, 9, tzinfo=UTC)
MADE = datetime(2026, 4, 1, 9, tzinfo=UTC)


@pytest.fixture
def billets(owner: Person, make_layup: MakeLayup) -> list[Billet]:
    """Two billets that were planned on 1 April."""
    layup = make_layup()
    with clock.as_of(MADE):
        return [history.make_billet(layup=layup, by=owner) for _ in range(2)]


def type_minutes(billet: Billet, *, by: Person, minutes: int, day: date | None) -> WorkTime:
    """Minutes of forging, typed on 6 April."""
    with clock.as_of(T0):
        return hours.add_minutes(
            billets=[billet], step="forge", minutes=minutes, person=by, day=day
        )


@pytest.mark.parametrize("minutes", [1, 60, 720, 721, 1439, 1440])
def test_typed_minutes_belong_to_their_day(
    owner: Person, billets: list[Billet], minutes: int
) -> None:
    time = type_minutes(billets[0], by=owner, minutes=minutes, day=date(2026, 4, 3))

    assert time.stopped_at is not None
    assert timezone.localdate(time.stopped_at) == date(2026, 4, 3)
    assert time.seconds(now=T0) == minutes * 60


@pytest.mark.parametrize("day", [None, date(2026, 4, 6)])
def test_minutes_of_today_end_now(owner: Person, billets: list[Billet], day: date | None) -> None:
    time = type_minutes(billets[0], by=owner, minutes=30, day=day)

    assert (time.started_at, time.stopped_at) == (T0 - timedelta(minutes=30), T0)


@pytest.mark.parametrize(
    ("day", "says"),
    [
        (date(2026, 4, 7), "7 Apr 2026 is still to come. Give today or an earlier day."),
        (date(2026, 3, 31), "31 Mar 2026 was given, and "),
    ],
)
def test_a_day_that_cannot_be_is_refused(
    owner: Person, billets: list[Billet], day: date, says: str
) -> None:
    with pytest.raises(hours.HoursRefused) as refused:
        type_minutes(billets[0], by=owner, minutes=30, day=day)

    assert str(refused.value).startswith(says)
    assert not WorkTime.objects.exists()


def test_the_page_takes_the_day(as_owner: Client, billets: list[Billet]) -> None:
    mark = billets[0].mark
    with clock.as_of(T0):
        as_owner.post(
            reverse("billets:minutes-add", args=[mark]),
            {"step": "forge", "minutes": "45", "day": "2026-04-02"},
        )
        wrong = as_owner.post(
            reverse("billets:minutes-add", args=[mark]),
            {"step": "forge", "minutes": "45", "day": "soon"},
        )

    time = WorkTime.objects.get()
    assert time.stopped_at is not None
    assert timezone.localdate(time.stopped_at) == date(2026, 4, 2)
    assert wrong.status_code == 422
    assert "That is not a day" in wrong.text


def fail(billet: Billet, *, by: Person) -> None:
    """It cracked."""
    history.record_step(billet=billet, kind=StepKind.FAILED, by=by, cause="cracked")


def test_a_clock_at_a_billet_that_fails_stops(
    owner: Person, helper: Person, billets: list[Billet]
) -> None:
    with clock.as_of(T0):
        hours.start_clock(billets=billets[:1], step="forge", person=owner)
    with clock.as_of(T0 + timedelta(minutes=20)):
        fail(billets[0], by=helper)

    time = WorkTime.objects.get()
    assert time.stopped_at == T0 + timedelta(minutes=20)


def test_a_clock_for_several_goes_on_for_the_others(owner: Person, billets: list[Billet]) -> None:
    with clock.as_of(T0):
        hours.start_clock(billets=billets, step="forge", person=owner)
    with clock.as_of(T0 + timedelta(minutes=20)):
        fail(billets[0], by=owner)
    with clock.as_of(T0 + timedelta(minutes=50)):
        hours.stop_clock(person=owner)

    worked = hours_reading.worked_at(billets)
    # Ten minutes each of the first twenty; the other thirty are the second billet's.
    assert worked[billets[0].pk]["forge"].seconds == 600
    assert worked[billets[1].pk]["forge"].seconds == 2400
    assert WorkTime.objects.filter(stopped_at=None).count() == 0


def test_a_clock_that_was_left_on_is_still_asked_about(
    owner: Person, billets: list[Billet]
) -> None:
    with clock.as_of(T0):
        hours.start_clock(billets=billets[:1], step="forge", person=owner)
    with clock.as_of(T0 + timedelta(hours=13)):
        fail(billets[0], by=owner)

    assert WorkTime.objects.get().stopped_at is None


def test_struck_lines_are_folded_with_who_struck_them(
    as_owner: Client, owner: Person, helper: Person, billets: list[Billet]
) -> None:
    address = reverse("billets:billet-detail", args=[billets[0].mark])
    none = as_owner.get(address).text
    for minutes in (20, 35):
        time = type_minutes(billets[0], by=owner, minutes=minutes, day=None)
        hours.strike(time=time, by=helper)

    shown = as_owner.get(address).text

    assert "struck line" not in none
    assert "<summary>2 struck lines</summary>" in shown
    assert "Forge: 35 min" in shown
    assert f"struck by {helper}" in shown
