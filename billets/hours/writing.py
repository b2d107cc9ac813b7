"""Hours at billets: clocks started and stopped, minutes typed, lines struck. Their only writer.

A person has one clock over everything that can be worked at. What has clocks on a higher floor
listens to `clock_starts` and stops its own, and answers `clock_asked` with where it runs. A wrong
line is struck and stays in the database.

HoursRefused         the sentence says why nothing was written
└── ClockForgotten   a clock has run for longer than anybody works; say first how long it was
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from datetime import time as time_of_day
from typing import Any

from django.contrib.auth import get_user_model
from django.db import transaction
from django.dispatch import Signal
from django.utils import timezone

from billets.layup.work_time import (
    SECONDS_PER_MINUTE,
    equal_shares,
    hours_text,
    is_forgotten,
    whole_seconds,
)
from billets.models import Billet, Step, StepKind, WorkStep, WorkTime
from stock import clock
from stock.who import Person

LONGEST_MINUTES = 24 * 60
HALF_A_DAY = timedelta(hours=12)


class HoursRefused(ValueError):
    """The hours stay as they are."""


class ClockForgotten(HoursRefused):
    """A clock has run for longer than anybody works."""

    def __init__(self, *, where: str, since: datetime, seconds: int) -> None:
        self.where, self.since, self.seconds = where, since, seconds
        super().__init__(
            f"Your clock at {where} has run for {hours_text(seconds)}. Say there first how long "
            "it really was, then start this one."
        )


def refuse_minutes(minutes: int) -> None:
    """From one minute to a day."""
    if not 0 < minutes <= LONGEST_MINUTES:
        raise HoursRefused(
            f"{minutes} minutes were given; write from 1 to {LONGEST_MINUTES} at a time."
        )


def end_on(day: date | None, *, minutes: int, first: date, begun: str) -> datetime:
    """When typed minutes end: now, or by noon of an earlier day, so that all are of that day.

    Raises:
        HoursRefused: a day to come, or one before the work was begun.
    """
    if day is None or day == clock.today():
        return clock.now()
    if day > clock.today():
        raise HoursRefused(f"{day:%-d %b %Y} is still to come. Give today or an earlier day.")
    if day < first:
        raise HoursRefused(
            f"{day:%-d %b %Y} was given, and {begun} on {first:%-d %b %Y}. Give that day or a "
            "later one."
        )
    start = timezone.make_aware(datetime.combine(day, time_of_day.min))
    worked = timedelta(minutes=minutes)
    return min(start + max(worked, HALF_A_DAY), start + 2 * HALF_A_DAY - timedelta(seconds=1))


WORK_OF = {
    StepKind.CUT: WorkStep.CUT,
    StepKind.CLEANED: WorkStep.CLEAN,
    StepKind.WELDED: WorkStep.WELD,
    StepKind.BONDED: WorkStep.FORGE,
    StepKind.DRAWN: WorkStep.FORGE,
    StepKind.FINISHED: WorkStep.FINISH,
}
clock_starts = Signal()  # person: stop what runs of theirs, or raise HoursRefused
clock_asked = Signal()  # person: answer with Elsewhere, or None


@dataclass(frozen=True)
class Elsewhere:
    """A clock that runs at something that is no billet."""

    words: str
    url: str
    since: datetime


def hold(person: Person) -> None:
    """Let two taps of one person wait for each other: they have one clock over all tables."""
    list(get_user_model().objects.select_for_update().filter(pk=person.pk))


@transaction.atomic
def start_clock(*, billets: Sequence[Billet], step: str, person: Person) -> WorkTime:
    """Start a person's clock at a step of billets; one that runs elsewhere is stopped first.

    Raises:
        HoursRefused: no billet, no such step, a billet that is withdrawn or has failed.
        ClockForgotten: the one that runs was left on.
    """
    refuse_step(step)
    refuse_billets(billets, may_have_failed=False)
    hold(person)
    now = running(person=person)
    if now is not None and is_same(now, billets=billets, step=step):
        return now  # a second tap
    make_room(person=person)
    clock_starts.send(sender=WorkTime, person=person)
    time = WorkTime.objects.create(step=step, person=person, started_at=clock.now())
    time.billets.add(*billets)
    return time


def running(*, person: Person) -> WorkTime | None:
    """The clock of a person that runs at billets."""
    return WorkTime.objects.filter(person=person, stopped_at=None).first()


def is_same(time: WorkTime, *, billets: Sequence[Billet], step: str) -> bool:
    """Whether a clock that was not left on runs at this very work."""
    is_fresh = not is_forgotten(time.seconds(now=clock.now()))
    return is_fresh and time.step == step and billets_of(time) == {one.pk for one in billets}


def billets_of(time: WorkTime) -> set[int]:
    """The billets that share a line."""
    return set(time.billets.values_list("pk", flat=True))


def refuse_step(step: str) -> None:
    """There must be such a step."""
    if step not in WorkStep.values:
        raise HoursRefused("Choose a step from the list.")


def refuse_billets(billets: Sequence[Billet], *, may_have_failed: bool) -> None:
    """Nobody works at a billet that is out of its plan, nor any longer at one that failed."""
    if not billets:
        raise HoursRefused("No billet is left for that step. Tick those that you mean.")
    rows = Billet.objects.with_stage().filter(pk__in=[billet.pk for billet in billets])
    found: list[Any] = list(rows.order_by("pk"))
    off = [one.mark for one in found if one.is_withdrawn]
    if off:
        raise HoursRefused(f"Taken out of its plan: {', '.join(off)}. No hours go into it.")
    failed = [one.mark for one in found if one.reached == StepKind.FAILED]
    if failed and not may_have_failed:
        raise HoursRefused(
            f"Failed: {', '.join(failed)}. No clock runs for it; minutes can still be typed."
        )


@transaction.atomic
def make_room(*, person: Person) -> None:
    """Stop a person's clock so that another may start.

    Raises:
        ClockForgotten: it was left on, so nobody knows how long it should be.
    """
    time = running(person=person)
    if time is None:
        return
    refuse_forgotten(time.started_at, where=where(time))
    stop_clock(person=person)


def refuse_forgotten(since: datetime, *, where: str) -> None:
    """A clock that was left on is not stopped in passing."""
    seconds = whole_seconds(since, ended=clock.now())
    if is_forgotten(seconds):
        raise ClockForgotten(where=where, since=since, seconds=seconds)


def where(time: WorkTime) -> str:
    """What a clock runs at, in words."""
    marks = list(time.billets.order_by("pk").values_list("mark", flat=True))
    told = marks[0] if len(marks) == 1 else f"{len(marks)} billets"
    return f"{told}, {time.get_step_display()},"


@transaction.atomic
def stop_clock(*, person: Person, minutes: int | None = None) -> WorkTime | None:
    """Stop a person's clock at billets; nothing when none runs.

    Args:
        person: whose clock.
        minutes: how long it really was, where it was left on.

    Raises:
        HoursRefused: more minutes than the clock ran, or more than a day.
    """
    time = WorkTime.objects.select_for_update().filter(person=person, stopped_at=None).first()
    if time is None:
        return None
    time.stopped_at = stopped_at(time.started_at, minutes=minutes)
    time.is_typed = minutes is not None
    time.save(update_fields=["stopped_at", "is_typed"])
    return time


def stopped_at(started_at: datetime, *, minutes: int | None) -> datetime:
    """When a clock ends: now, or after the minutes that it really was."""
    now = max(clock.now(), started_at)
    if minutes is None:
        return now
    refuse_minutes(minutes)
    ended = started_at + timedelta(minutes=minutes)
    if ended > now:
        ran = hours_text(whole_seconds(started_at, ended=now))
        raise HoursRefused(
            f"{minutes} minutes were given, and the clock has run for {ran}. Write less."
        )
    return ended


@transaction.atomic
def add_minutes(
    *, billets: Sequence[Billet], step: str, minutes: int, person: Person, day: date | None = None
) -> WorkTime:
    """Write down time that no clock ran for, of all the billets together.

    Args:
        billets: those that share it.
        step: what was done.
        minutes: how long, 1 or more.
        person: who did it.
        day: when; None is today, and the time ends now.

    Raises:
        HoursRefused: no billet, one that is withdrawn, no such step, nothing or over a day, a day
            to come or before one of the billets was made.
    """
    refuse_step(step)
    refuse_minutes(minutes)
    refuse_billets(billets, may_have_failed=True)
    last = max(billets, key=lambda one: one.made_at)
    ended = end_on(
        day, minutes=minutes, first=timezone.localdate(last.made_at), begun=f"{last} was planned"
    )
    time = WorkTime.objects.create(
        step=step,
        person=person,
        stopped_at=ended,
        is_typed=True,
        started_at=ended - timedelta(seconds=minutes * SECONDS_PER_MINUTE),
    )
    time.billets.add(*billets)
    return time


@transaction.atomic
def leave(*, billet: Billet) -> None:
    """A billet fails: clocks at it alone stop, those for several go on for the others.

    Its share ends there. One that was left on stays, since nobody knows yet how long it was.
    """
    rows = WorkTime.objects.select_for_update(of=("self",)).filter(billets=billet, stopped_at=None)
    for time in rows:
        now = max(clock.now(), time.started_at)
        if is_forgotten(time.seconds(now=now)):
            continue
        time.stopped_at = now
        time.save(update_fields=["stopped_at"])
        others = billets_of(time) - {billet.pk}
        if others:
            on = WorkTime.objects.create(step=time.step, person=time.person, started_at=now)
            on.billets.add(*others)


@transaction.atomic
def strike(*, time: WorkTime, by: Person) -> WorkTime:
    """Strike a wrong line for all its billets; a running clock stops with it."""
    held = WorkTime.objects.select_for_update(of=("self",)).get(pk=time.pk)
    if held.struck_at is None:
        held.struck_at, held.struck_by = clock.now(), by
        held.stopped_at = held.stopped_at or max(held.struck_at, held.started_at)
        held.save(update_fields=["struck_at", "struck_by", "stopped_at"])
    return held


@transaction.atomic
def strike_with(*, stage: Step, by: Person) -> None:
    """Strike the minutes that were typed with a stage that is undone.

    Minutes for several billets stay for the others: the line is struck, and one without this
    billet's share takes its place.
    """
    if stage.time_id is None:
        return
    time = WorkTime.objects.select_for_update(of=("self",)).get(pk=stage.time_id)
    if time.struck_at is not None or time.stopped_at is None:
        return
    strike(time=time, by=by)
    members = sorted(billets_of(time))
    others = [one for one in members if one != stage.billet_id]
    if not others:
        return
    shares = equal_shares(time.seconds(now=time.stopped_at), count=len(members))
    rest = WorkTime.objects.create(
        step=time.step,
        person=time.person,
        started_at=time.started_at,
        is_typed=time.is_typed,
        stopped_at=time.stopped_at - timedelta(seconds=shares[members.index(stage.billet_id)]),
    )
    rest.billets.add(*others)
    Step.objects.filter(time=time, billet__in=others).update(time=rest)
