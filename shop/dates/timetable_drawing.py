"""The timetable of a class as bars over its days; the days: `shop.calendar.timeline`. Pure."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date, timedelta

from shop.calendar.timeline import Event, Timetable
from stock.drawings.shapes import percent

KINDS = {"order": "is-aside", "prepare": "is-free", "class": "metal-core"}
MOST_TICKS = 4  # that a phone has room for
EDGE = 8  # of the drawing: words nearer to its end stand inside
LEAST_WIDTH = 1.2  # of the drawing, so that one day of a long time stays seen


@dataclass(frozen=True)
class TimetableRow:
    """One bar, in per cent of the whole time."""

    event: Event
    x: float
    width: float
    kind: str


@dataclass(frozen=True)
class Tick:
    """A day that is named under the bars; `anchor` keeps its words inside the drawing."""

    day: date
    x: float
    anchor: str


@dataclass(frozen=True)
class TimetableDrawing:
    """All bars, and where today stands."""

    rows: tuple[TimetableRow, ...]
    today_x: float
    ticks: tuple[Tick, ...] = ()


def timetable_drawing(table: Timetable) -> TimetableDrawing:
    """The bars of a timetable.

    Args:
        table: bars in whole days.

    Returns:
        Places in per cent; the last order day is where a bar of a material begins.
    """
    whole = table.length_days
    rows = tuple(
        TimetableRow(
            event=bar.event,
            x=min(percent(bar.offset_days, whole=whole), 100 - LEAST_WIDTH),
            width=max(percent(bar.length_days, whole=whole), LEAST_WIDTH),
            kind=KINDS[bar.event.kind],
        )
        for bar in table.bars
    )
    return TimetableDrawing(rows, percent(table.today_offset_days, whole=whole), ticks_of(table))


def ticks_of(table: Timetable) -> tuple[Tick, ...]:
    """Mondays under the bars, as many as can be read on a phone.

    Args:
        table: bars in whole days.

    Returns:
        At most `MOST_TICKS`, evenly spaced by whole weeks, at the beginning of their day, none
        so near the end that its words would run out; the first day alone where there is no
        Monday.
    """
    whole = table.length_days
    mondays = [
        offset
        for offset in range(whole)
        if (table.first_day + timedelta(days=offset)).weekday() == 0
    ] or [0]
    step = math.ceil(len(mondays) / MOST_TICKS)
    found = [
        Tick(
            table.first_day + timedelta(days=offset),
            percent(offset, whole=whole),
            "start" if percent(offset, whole=whole) < EDGE else "middle",
        )
        for offset in mondays[::step]
    ]
    return tuple(tick for tick in found if tick.x <= 100 - EDGE or len(found) == 1)
