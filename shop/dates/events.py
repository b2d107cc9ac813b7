"""Reads what a calendar is told of all classes: those to come with all their dates, others alone.

A class that is on, over or called off has its own days and nothing before them. It leaves out
the file's format (`shop.dates.ics_file`).
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from shop.calendar.class_standing import Standing, standing_of
from shop.calendar.opening import OpeningError
from shop.calendar.timeline import Event, class_event
from shop.dates import reading as class_dates
from shop.dates.facts import ClassFacts, class_facts
from shop.models import ForgeClass
from shop.rates.writing import History
from stock.house import House

KEPT_DAYS = 366  # so long a class stays in calendars after it


def feed_events(*, history: History, house: House, today: date) -> list[tuple[int, Event]]:
    """Every event with the number of its class."""
    rows = ForgeClass.objects.select_related("layup").filter(
        ends_on__gte=today - timedelta(days=KEPT_DAYS)
    )
    found = list(rows.order_by("starts_on", "id"))
    coming = [row for row in found if standing_on(row, today=today) is Standing.COMING]
    facts = class_facts(coming, history=history, house=house, today=today)
    return [(row.pk, event) for row in found for event in class_events(row, facts=facts)]


def standing_on(row: ForgeClass, *, today: date) -> Standing:
    """Whether a class is to come, on, over or called off."""
    return standing_of(row.state, row.starts_on, last=row.ends_on, today=today)


def class_events(row: ForgeClass, *, facts: ClassFacts) -> Iterator[Event]:
    """The events of one class; `facts` are those of the classes to come."""
    standing = standing_on(row, today=facts.today)
    if standing is Standing.COMING:
        try:
            yield from class_dates.class_dates(
                row, history=facts.history, house=facts.house, today=facts.today, facts=facts
            ).events
            return
        except OpeningError:  # its page says why; the class itself still has its day
            pass
    yield class_event(
        row.title, row.starts_on, row.ends_on, is_cancelled=standing is Standing.CANCELLED
    )
