"""The dates of classes as a calendar file (RFC 5545). It has no names of students and no money."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta

from icalendar import Calendar, Timezone, TimezoneStandard
from icalendar import Event as CalendarEvent

from shop.calendar.timeline import Event

PRODUCT = "-//Billetwright//Class dates//EN"
REFRESH = timedelta(hours=12)


def calendar_text(
    dated: Iterable[tuple[int, Event]], *, name: str, host: str, now: datetime
) -> bytes:
    """A calendar of whole-day events.

    Args:
        dated: each event with the number of its class; the two name it, so that a calendar
            moves an event whose day has changed and does not show it twice.
        name: what the calendar is called.
        host: what makes the names unique; the same whatever address the shop is read by.
        now: the time it is made, with its zone.

    Returns:
        The file, lines folded and ended as the standard asks.

    Source:
        RFC 5545.
    """
    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("method", "PUBLISH")
    calendar.add("x-wr-calname", name)
    calendar.add("refresh-interval", REFRESH, parameters={"VALUE": "DURATION"})
    for class_id, event in dated:
        calendar.add_component(entry(event, class_id=class_id, host=host, now=now))
    if not calendar.subcomponents:  # the standard wants one, and there may be no class
        calendar.add_component(world_time())
    text: bytes = calendar.to_ical()
    return text


def entry(event: Event, *, class_id: int, host: str, now: datetime) -> CalendarEvent:
    """One event; its end is the day after its last, as the standard counts whole days.

    Args:
        event: what happens.
        class_id: number of its class.
        host: what makes its name unique.
        now: the time it is made.

    Returns:
        A component for the calendar.

    Source:
        RFC 5545, 3.6.1.
    """
    found = CalendarEvent()
    found.add("uid", f"class-{class_id}-{event.key}@{host}".replace(" ", "-"))
    found.add("dtstamp", now)
    found.add("dtstart", event.first_day)
    found.add("dtend", event.last_day + timedelta(days=1))
    found.add("summary", title_of(event))
    if event.is_cancelled:
        found.add("status", "CANCELLED")
    if event.minutes:
        found.add("description", f"{event.minutes} minutes of work")
    is_busy = event.kind == "class" and not event.is_cancelled
    found.add("transp", "OPAQUE" if is_busy else "TRANSPARENT")
    found.add("categories", [event.kind])
    return found


def world_time() -> Timezone:
    """A zone that nothing refers to.

    Returns:
        UTC as a component.

    Source:
        RFC 5545, 3.6 (a calendar has at least one component) and 3.6.5.
    """
    zone, plain = Timezone(), TimezoneStandard()
    zone.add("tzid", "Etc/UTC")
    plain.add("dtstart", datetime(1970, 1, 1))  # local time, as 3.6.5 asks
    plain.add("tzoffsetfrom", timedelta())
    plain.add("tzoffsetto", timedelta())
    zone.add_component(plain)
    return zone


def title_of(event: Event) -> str:
    """What a calendar shows, also one that reads no status.

    Args:
        event: what happens.

    Returns:
        The title, with what is the matter before it.
    """
    if event.is_cancelled:
        return f"Called off: {event.title}"
    return f"Too late: {event.title}" if event.is_late else event.title
