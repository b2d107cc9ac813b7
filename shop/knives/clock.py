"""The one clock of a person: clocks at billets and at knives know of each other.

Billets are a floor below and cannot name knives: they send `billets.hours.writing.clock_starts`
before a clock starts, and ask with `clock_asked` where one runs. Knives answer here.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.urls import reverse

from billets.hours import reading as hours_reading
from billets.hours import writing as hours
from billets.layup.work_time import hours_text, is_forgotten, whole_seconds
from shop.knives import writing as knives
from shop.models import KnifeTime, Seat
from stock import clock
from stock.who import Person


@dataclass(frozen=True)
class NowAt:
    """What a person's clock runs at, and where it is stopped."""

    words: str
    url: str
    since: datetime

    @property
    def seconds(self) -> int:
        """How long it has run [s]."""
        return whole_seconds(self.since, ended=clock.now())

    @property
    def ran(self) -> str:
        """The same in words."""
        return hours_text(self.seconds)

    @property
    def is_forgotten(self) -> bool:
        """Whether somebody left it on."""
        return is_forgotten(self.seconds)


def listen() -> None:
    """Let clocks at billets stop those at knives, and say where one runs."""
    hours.clock_starts.connect(make_room_at_knives, dispatch_uid="knives")
    hours.clock_asked.connect(where_at_knives, dispatch_uid="knives")


def make_room_at_knives(*, person: Person, **_: Any) -> None:
    """A clock starts at billets: stop the one at a knife."""
    knives.make_room(person=person)


def where_at_knives(*, person: Person, **_: Any) -> hours.Elsewhere | None:
    """The knife at which a person's clock runs."""
    rows = KnifeTime.objects.filter(person=person, stopped_at=None).select_related("knife")
    time = rows.first()
    if time is None:
        return None
    words = f"{time.knife}, {time.get_step_display()}"
    return hours.Elsewhere(words, time.knife.get_absolute_url(), time.started_at)


def now_at(person: Person) -> NowAt | None:
    """A person's clock, whatever it runs at."""
    running = hours_reading.running_of(person)
    if running is not None:
        step = running.time.get_step_display()
        return NowAt(f"{running.where}, {step}", stop_page(running), running.time.started_at)
    knife = where_at_knives(person=person)
    return NowAt(knife.words, knife.url, knife.since) if knife else None


def stop_page(running: hours_reading.Running) -> str:
    """The billet's page; of several, the work page of their class."""
    if len(running.marks) > 1:
        seat = Seat.objects.filter(billet__times=running.time).order_by("pk").first()
        if seat is not None:
            return reverse("shop:class-work", args=[seat.forge_class_id])
    return reverse("billets:billet-detail", args=[running.marks[0]])
