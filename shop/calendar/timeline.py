"""The dates of a class in words, as events for a calendar, and as bars for a timetable.

The dates come from backward.py, the ways out of a late one from remedies.py. It leaves out the
calendar's file format and the drawing itself.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from shop.calendar.backward import Delivery, OrderBy, Preparation, Schedule, schedule
from shop.calendar.opening import Opening
from shop.calendar.remedies import Remedy, remedies
from shop.words.days import day_text

TOO_LATE, IN_TIME = "Too late", "There is time"


@dataclass(frozen=True)
class Event:
    """One thing with a day; `key` stays the same when the day moves, so calendars follow it."""

    key: str
    kind: str  # "order" | "arrive" | "prepare" | "class"
    title: str
    first_day: date
    last_day: date
    minutes: int = 0
    is_late: bool = False
    is_cancelled: bool = False


@dataclass(frozen=True)
class TimetableBar:
    """One bar of the drawing, in whole days from its left edge."""

    event: Event
    offset_days: int
    length_days: int


@dataclass(frozen=True)
class Timetable:
    """The drawing: its first and last day, the bars, and where today stands."""

    first_day: date
    last_day: date
    today_offset_days: int
    bars: tuple[TimetableBar, ...]

    @property
    def length_days(self) -> int:
        """Days from edge to edge."""
        return (self.last_day - self.first_day).days + 1


@dataclass(frozen=True)
class Timeline:
    """The dates, what to say of them first, and the ways out when it is too late."""

    schedule: Schedule
    words: str
    remedies: tuple[Remedy, ...]

    @property
    def is_possible(self) -> bool:
        """Whether all of it can still be done in time."""
        return self.schedule.is_possible

    @property
    def verdict(self) -> str:
        """The first two words of what is said."""
        return IN_TIME if self.is_possible else TOO_LATE

    @property
    def why(self) -> str:
        """What is said after them."""
        return self.words.removeprefix(self.verdict)


def timeline(
    preparation: Preparation, *, opening: Opening, today: date, deliveries: Sequence[Delivery] = ()
) -> Timeline:
    """The dates of a class, beginning with whether there is time.

    Args:
        preparation: the class day and the work before it.
        opening: minutes of work by weekday and closed dates.
        today: the day it is.
        deliveries: materials that are short.

    Returns:
        The schedule, a sentence that says first whether it is too late, and remedies if so.

    Raises:
        OpeningError: the dates cannot be worked out.
    """
    found = schedule(preparation, opening=opening, today=today, deliveries=deliveries)
    return Timeline(found, timeline_words(found), remedies(found, opening=opening))


def timeline_words(found: Schedule) -> str:
    """Whether there is time, in a sentence or two.

    Args:
        found: the schedule.

    Returns:
        "Too late" first when it is, with what and by how much; otherwise what comes next.
    """
    if found.is_possible:
        return f"{IN_TIME}: {_next_step(found)}."
    reasons = [_late_words(order, found) for order in found.orders if order.is_late]
    if found.start_float_days < 0:
        reasons.append(
            f"preparing had to begin on {day_text(found.starts_on)}, "
            f"{_ago(-found.start_float_days)}"
        )
    return f"{TOO_LATE} for {day_text(found.preparation.class_day)}: {'; '.join(reasons)}."


def events(found: Schedule, *, title: str, class_days: int = 1) -> tuple[Event, ...]:
    """What goes into a calendar.

    Args:
        found: the schedule.
        title: what the class is called.
        class_days: days the class takes, 1 or more.

    Returns:
        Last order days, arrivals, work days and the class, by day.
    """
    listed: list[Event] = []
    for order in found.orders:
        listed.extend(_order_events(order))
    for number, work in enumerate(found.work_days, start=1):
        words = f"Prepare billets for {title} ({number} of {len(found.work_days)})"
        listed.append(
            Event(f"prepare-{number}", "prepare", words, work.day, work.day, work.minutes)
        )
    listed.append(_class_event(found, title, class_days))
    return tuple(sorted(listed, key=lambda event: (event.first_day, event.kind, event.key)))


def timetable(found: Schedule, *, title: str, class_days: int = 1) -> Timetable:
    """The numbers of the drawing, whole days throughout.

    Args:
        found: the schedule.
        title: what the class is called.
        class_days: days the class takes, 1 or more.

    Returns:
        From the earlier of today and the first event to the last event: for each material one
        bar from its last order day to its arrival, one for each run of work days without a
        break, one for the class.
    """
    rows = [_material_row(order) for order in found.orders]
    rows.extend(_work_runs(found, title))
    rows.append(_class_event(found, title, class_days))
    first = min([found.today, *(row.first_day for row in rows)])
    last = max([found.today, *(row.last_day for row in rows)])
    bars = tuple(
        TimetableBar(
            event=row,
            offset_days=(row.first_day - first).days,
            length_days=(row.last_day - row.first_day).days + 1,
        )
        for row in rows
    )
    return Timetable(first, last, (found.today - first).days, bars)


def _next_step(found: Schedule) -> str:
    begin = f"begin preparing by {day_text(found.starts_on)}"
    waiting = [(order.last_order_day, order) for order in found.orders if order.last_order_day]
    if not waiting:
        return begin
    day, order = min(waiting, key=lambda pair: pair[0])
    material = order.delivery.material
    return f"order {material} by {day_text(day)} ({_left(order.float_days)}), and {begin}"


def _late_words(order: OrderBy, found: Schedule) -> str:
    material = order.delivery.material
    if order.last_order_day is None:
        return (
            f"{material} is due on {day_text(order.arrives_on)}, but preparing has to begin on "
            f"{day_text(found.starts_on)}"
        )
    return (
        f"{material} had to be ordered by {day_text(order.last_order_day)}, "
        f"{_ago(-order.float_days)}"
    )


def _ago(days: int) -> str:
    return "1 day ago" if days == 1 else f"{days} days ago"


def _left(days: int) -> str:
    if days == 0:
        return "today"
    return "1 day left" if days == 1 else f"{days} days left"


def class_event(title: str, first: date, last: date, *, is_cancelled: bool = False) -> Event:
    """The class itself.

    Args:
        title: what it is called.
        first: its first day.
        last: its last day.
        is_cancelled: whether it is called off.

    Returns:
        One event over all its days.
    """
    return Event("class", "class", title, first, last, is_cancelled=is_cancelled)


def _class_event(found: Schedule, title: str, class_days: int) -> Event:
    first = found.preparation.class_day
    return class_event(title, first, first + timedelta(days=max(class_days, 1) - 1))


def _order_events(order: OrderBy) -> list[Event]:
    material, supplier = order.delivery.material, order.delivery.supplier
    arrives = Event(
        f"arrive-{order.delivery.name}",
        "arrive",
        f"{material} from {supplier} should be here",
        order.arrives_on,
        order.arrives_on,
        is_late=order.is_late,
    )
    if order.last_order_day is None:
        return [arrives]
    day = order.last_order_day
    words = f"Last day to order {material} from {supplier}"
    key = f"order-{order.delivery.name}"
    return [Event(key, "order", words, day, day, is_late=order.is_late), arrives]


def _material_row(order: OrderBy) -> Event:
    material = order.delivery.material
    first, last = order.last_order_day or order.arrives_on, order.arrives_on
    words = f"{material} from {order.delivery.supplier}"
    return Event(f"order-{order.delivery.name}", "order", words, first, last, is_late=order.is_late)


def _work_runs(found: Schedule, title: str) -> list[Event]:
    runs: list[Event] = []
    for work in found.work_days:
        follows = runs and (work.day - runs[-1].last_day).days == 1
        begun = runs.pop() if follows else None
        first = begun.first_day if begun else work.day
        minutes = work.minutes + (begun.minutes if begun else 0)
        is_late = first < found.today
        key = f"prepare-{len(runs) + 1}"
        words = f"Prepare billets for {title}"
        runs.append(Event(key, "prepare", words, first, work.day, minutes, is_late))
    return runs
