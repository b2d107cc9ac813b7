"""Reads where the hours went: at billets and knives, by month, step and person.

Only lines that are stopped and stand. A month is that of the shop's own calendar in which the
line ended.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import TypedDict

from django.utils import timezone

from billets.layup.work_time import hours_text, whole_seconds
from billets.models import WorkStep, WorkTime
from shop.models import KnifeStep, KnifeTime, Person
from shop.reports.span import ALL_DAYS, Span
from stock.output.csv_tables import Column, Table

SECONDS_PER_HOUR = 3600
PLACES = Decimal("0.001")
BILLETS, KNIVES = "Billets", "Knives"
ORDER = [(BILLETS, step) for step in WorkStep.values] + [
    (KNIVES, step) for step in KnifeStep.values
]
WORDS = {(BILLETS, step.value): str(step.label) for step in WorkStep} | {
    (KNIVES, step.value): str(step.label) for step in KnifeStep
}


@dataclass(frozen=True)
class HourCell:
    """Time of one person at one step in one month."""

    month: str
    at: str  # billets or knives
    step: str
    who: str
    seconds: int

    @property
    def step_words(self) -> str:
        """What the step is called."""
        return WORDS[self.at, self.step]


@dataclass(frozen=True)
class HourRow:
    """A sum of the page."""

    name: str
    seconds: int

    @property
    def words(self) -> str:
        """Hours and minutes."""
        return hours_text(self.seconds)


def hour_cells(*, span: Span = ALL_DAYS, person: Person | None = None) -> tuple[HourCell, ...]:
    """Hours of some days; of one person, or of everybody. The latest month first."""
    sums: dict[tuple[str, str, str, int], int] = defaultdict(int)
    for at, rows in ((BILLETS, WorkTime.objects), (KNIVES, KnifeTime.objects)):
        lines = rows.filter(struck_at=None).exclude(stopped_at=None)
        if person is not None:
            lines = lines.filter(person=person)
        for step, who, began, ended in lines.values_list(
            "step", "person_id", "started_at", "stopped_at"
        ):
            assert ended is not None  # those are left out above
            local = timezone.localtime(ended)
            if span.holds(local.date()):
                key = (f"{local:%Y-%m}", at, step, who)
                sums[key] += whole_seconds(began, ended=ended)
    names = {one.pk: str(one) for one in Person.objects.filter(pk__in={key[3] for key in sums})}
    cells = [
        HourCell(month, at, step, names[who], seconds)
        for (month, at, step, who), seconds in sums.items()
    ]
    cells.sort(key=lambda one: (ORDER.index((one.at, one.step)), one.who))
    return tuple(sorted(cells, key=lambda one: one.month, reverse=True))


def rows_by(cells: Iterable[HourCell], name: Callable[[HourCell], str]) -> list[HourRow]:
    """Hours added up one way, in the order in which the names first come."""
    sums: dict[str, int] = defaultdict(int)
    for cell in cells:
        sums[name(cell)] += cell.seconds
    return [HourRow(key, seconds) for key, seconds in sums.items()]


class HoursPart(TypedDict):
    """The part of the page about hours."""

    hours_total: str
    hours_by_step: list[HourRow]
    hours_by_month: list[HourRow]
    hours_by_person: list[HourRow]


def hours_context(*, span: Span = ALL_DAYS, person: Person | None = None) -> HoursPart:
    """Hours by step, month and person."""
    cells = hour_cells(span=span, person=person)
    by_step = sorted(cells, key=lambda one: ORDER.index((one.at, one.step)))
    return HoursPart(
        hours_total=hours_text(sum(cell.seconds for cell in cells)) if cells else "",
        hours_by_step=rows_by(by_step, lambda one: f"{one.at}: {one.step_words}"),
        hours_by_month=rows_by(cells, lambda one: one.month),
        hours_by_person=rows_by(cells, lambda one: one.who),
    )


def hours_table(cells: Sequence[HourCell]) -> Table:
    """Hours, a row for each month, step and person."""
    columns = (
        Column("Month"),
        Column("At"),
        Column("Step"),
        Column("Who"),
        Column("Time", "h"),
    )
    return Table(
        columns,
        tuple(
            (one.month, one.at, one.step_words, one.who, decimal_hours(one.seconds))
            for one in cells
        ),
    )


def decimal_hours(seconds: int) -> Decimal:
    """Hours for a spreadsheet."""
    return (Decimal(seconds) / SECONDS_PER_HOUR).quantize(PLACES)
