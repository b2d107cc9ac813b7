"""The one clock of a person: clocks at billets and at knives know of each other.

Billets are a floor below and cannot name knives: they send `billets.hours.clock_starts` before a
clock starts, and ask with `clock_asked` where one runs. Knives answer here.
"""

from __future__ import annotations

from typing import Any

from django.urls import reverse

from billets import hours
from shop import knives
from shop.models import KnifeTime


def listen() -> None:
    """Let clocks at billets stop those at knives, and say where one runs."""
    hours.clock_starts.connect(make_room_at_knives, dispatch_uid="knives")
    hours.clock_asked.connect(where_at_knives, dispatch_uid="knives")


def make_room_at_knives(*, person: Any, **_: Any) -> None:
    """A clock starts at billets: stop the one at a knife."""
    knives.make_room(person=person)


def where_at_knives(*, person: Any, **_: Any) -> hours.Elsewhere | None:
    """The knife at which a person's clock runs."""
    rows = KnifeTime.objects.filter(person=person, stopped_at=None).select_related("knife")
    time = rows.first()
    if time is None:
        return None
    url = reverse("shop:knife-detail", args=[time.knife_id])
    return hours.Elsewhere(f"{time.knife}, {time.get_step_display()}", url, time.started_at)
