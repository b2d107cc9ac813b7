"""The timetable of a class as bars over its days. Pure; the days come from `shop.timeline`."""

from __future__ import annotations

from dataclasses import dataclass

from shop.timeline import Event, Timetable
from stock.drawing_shapes import percent

KINDS = {"order": "is-aside", "prepare": "is-free", "class": "metal-core"}
LEAST_WIDTH = 1.2  # of the drawing, so that one day of a long time stays seen


@dataclass(frozen=True)
class TimetableRow:
    """One bar, in per cent of the whole time."""

    event: Event
    x: float
    width: float
    kind: str


@dataclass(frozen=True)
class TimetableDrawing:
    """All bars, and where today stands."""

    rows: tuple[TimetableRow, ...]
    today_x: float


def timetable_drawing(table: Timetable) -> TimetableDrawing:
    """The bars of a timetable.

    Args:
        table: bars in whole days.

    Returns:
        Places in per cent; the last order day is where a bar of a material begins.

    Source:
        Proportion.
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
    return TimetableDrawing(rows, percent(table.today_offset_days, whole=whole))
