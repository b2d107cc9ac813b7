"""How a class's days may go: blocks of work one after the other, heat by heat. Pure.

A first guess for the instructor's cover, from minutes that are common practice; the sheet says so
and leaves room to correct it. It leaves out dates before the class (`shop.calendar.timeline`) and
what an hour costs.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import Enum

from shop.words.days import day_text

ROUND_TO_MIN = 5
HOUR_MIN = 60
LONG_MIN = 90  # a longer block may be parted by lunch or by the night
LEAST_PART_MIN = 30
LUNCH = "Lunch; somebody stays with the fire"
UNCOUNTED = "Minutes are common practice, not this shop's record: correct them by hand."


@dataclass(frozen=True)
class Pace:
    """Minutes of everything, and how many stations there are; all of it common practice."""

    opens_min: int = 9 * HOUR_MIN  # of the day
    closes_min: int = 17 * HOUR_MIN
    lunch_from_min: int = 12 * HOUR_MIN + 30
    lunch_min: int = 45
    safety_min: int = 30
    clean_min: int = 40  # everybody at once
    stack_min: int = 20
    weld_min: int = 15  # a billet, one welder
    welders: int = 1
    first_heat_min: int = 25  # a cold stack to heat through
    reheat_min: int = 8
    press_min: float = 1.5  # a billet, from fire to fire, one press
    in_the_fire: int = 3
    measure_min: int = 30
    tidy_min: int = 30


@dataclass(frozen=True)
class Block:
    """One stretch of work for the whole class."""

    name: str
    minutes: int


@dataclass(frozen=True)
class Slot:
    """A block at its time of day [minutes after midnight]."""

    name: str
    from_min: int
    to_min: int

    @property
    def time(self) -> str:
        """Such as "9:00 – 9:30"."""
        return f"{_clock(self.from_min)} – {_clock(self.to_min)}"


@dataclass(frozen=True)
class Day:
    """One day of the class and what is done on it."""

    date: date
    slots: tuple[Slot, ...]


@dataclass(frozen=True)
class Timetable:
    """All days; `over_min` is what the class's days have no room for."""

    days: tuple[Day, ...]
    over_min: int
    round_min: int

    @property
    def over(self) -> str:
        """What does not fit, in words; empty where all of it does."""
        if not self.over_min:
            return ""
        hours, minutes = divmod(self.over_min, HOUR_MIN)
        long = f"{hours} h {minutes} min" if hours else f"{minutes} min"
        return (
            f"{long} of this has no room in the class's days. Weld the stacks shut before the "
            "class, or light a second fire."
        )


def heat_round_min(billets: int, *, pace: Pace) -> int:
    """Minutes until each billet of a class has had one heat.

    Args:
        billets: how many, 1 or more.
        pace: minutes and stations.

    Returns:
        The longer of what the press takes and what the fire takes, and never less than one
        billet's own heat; rounded up to 5.

    Source:
        Common practice: the fire stays full, and the press takes one billet at a time.

    >>> heat_round_min(12, pace=Pace())
    35
    """
    fire = billets * pace.reheat_min / pace.in_the_fire
    press = billets * pace.press_min
    return _rounded_up(max(fire, press, pace.reheat_min + pace.press_min))


def class_blocks(*, billets: int, heats: Sequence[str], pace: Pace) -> tuple[Block, ...]:
    """Everything that a class does, in order.

    Args:
        billets: how many are made, 1 or more.
        heats: what is done in each heat, in order.
        pace: minutes and stations.

    Returns:
        Blocks with whole minutes.

    Source:
        Common practice.
    """
    one_round = heat_round_min(billets, pace=pace)
    weld = math.ceil(billets / pace.welders) * pace.weld_min
    built = [
        Block("Welcome; fire, fume, eyes and ears; who stops the press", pace.safety_min),
        Block("Clean every blank; sheets and marks checked", pace.clean_min),
        Block("Stack and clamp; the instructor looks at each stack", pace.stack_min),
        Block(f"Weld every seam and the handles, {billets} billets", _rounded_up(weld)),
        Block("Light the forge; first stacks in", pace.first_heat_min),
    ]
    pressed = [
        Block(f"Heat {number}: {what}", one_round) for number, what in enumerate(heats, start=1)
    ]
    closing = [
        Block("Measure, write it on the sheets", pace.measure_min),
        Block("Fires out, fire watch, tidy up", pace.tidy_min),
    ]
    return (*built, *pressed, *closing)


def timetable(
    blocks: Sequence[Block], *, first: date, last: date, pace: Pace, round_min: int = 0
) -> Timetable:
    """Blocks laid into the days of a class, around lunch.

    Args:
        blocks: in order; only one of more than 90 minutes is parted by lunch or by the night.
        first: the first day.
        last: the last day, not before the first.
        pace: hours of the day.
        round_min: minutes of one heat of everybody, for the words.

    Returns:
        The days; what has no room is told in minutes, not shown.

    Source:
        Common practice.
    """
    days: list[Day] = []
    waiting = list(blocks)
    for day in _days(first, last=last):
        slots = tuple(_day_slots(waiting, pace=pace))
        days.append(Day(day, slots))
    return Timetable(tuple(days), sum(block.minutes for block in waiting), round_min)


def _days(first: date, *, last: date) -> Iterator[date]:
    for offset in range(max(0, (last - first).days) + 1):
        yield first + timedelta(days=offset)


def _day_slots(waiting: list[Block], *, pace: Pace) -> Iterator[Slot]:
    """Take blocks off the front of the list until the day is full."""
    now = pace.opens_min
    for stop, is_lunch in ((pace.lunch_from_min, True), (pace.closes_min, False)):
        while waiting and (taken := _taken(waiting, room=stop - now)):
            yield Slot(taken.name, now, now + taken.minutes)
            now += taken.minutes
        if is_lunch and waiting:
            yield Slot(LUNCH, now, now + pace.lunch_min)
            now += pace.lunch_min


def _taken(waiting: list[Block], *, room: int) -> Block | None:
    """The next block, whole where there is room, in part where it is long; else none."""
    block = waiting[0]
    if block.minutes <= room:
        return waiting.pop(0)
    if block.minutes <= LONG_MIN or room < LEAST_PART_MIN:
        return None
    waiting[0] = Block(block.name, block.minutes - room)
    return Block(block.name, room)


def _rounded_up(minutes: float) -> int:
    return math.ceil(minutes / ROUND_TO_MIN) * ROUND_TO_MIN


def _clock(minutes: int) -> str:
    return f"{minutes // HOUR_MIN}:{minutes % HOUR_MIN:02d}"


class Standing(Enum):
    """Where a class stands."""

    COMING = "coming"
    NOW = "now"
    OVER = "over"
    CANCELLED = "cancelled"


def standing_of(state: str, first: date, *, last: date, today: date) -> Standing:
    """Where a class stands on a day.

    Args:
        state: "open", "planned", "held" or "cancelled".
        first: its first day.
        last: its last day.
        today: the day it is.

    Returns:
        The standing; a class that was marked as held is over.
    """
    if state == "cancelled":
        return Standing.CANCELLED
    if state == "held" or last < today:
        return Standing.OVER
    return Standing.NOW if first <= today else Standing.COMING


def standing_words(standing: Standing, *, first: date, last: date, unwelded: int) -> str:
    """What to say instead of dates, where nothing is worked back any more.

    Args:
        standing: where the class stands.
        first: its first day.
        last: its last day.
        unwelded: billets that are not welded shut, 0 or more.

    Returns:
        A sentence or two; empty for a class to come.
    """
    if standing is Standing.COMING:
        return ""
    if standing is Standing.CANCELLED:
        return "This class is called off. Nothing has to be ordered or prepared for it."
    if standing is Standing.OVER:
        return f"This class is over. It ended on {day_text(last)}; there is nothing to prepare."
    begun = f"This class began on {day_text(first)}."
    if not unwelded:
        return f"{begun} Every billet is welded shut."
    count = "1 billet is" if unwelded == 1 else f"{unwelded} billets are"
    return f"{begun} {count} not welded shut yet: weld first what is forged first."
