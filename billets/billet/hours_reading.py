"""Reads the hours part of a billet's page: clocks, lines, and the step that is likely next."""

from __future__ import annotations

from typing import Any

from billets.history.timed_steps import CLOCK_ENDS
from billets.hours import writing as hours
from billets.hours.forms import MinutesForm, StopForm
from billets.hours.reading import (
    HoursLine,
    Running,
    by_step,
    elsewhere,
    lines_of,
    running_of,
    struck_of,
)
from billets.layup.work_time import hours_text
from billets.models import Billet, StepKind, WorkStep
from stock import clock
from stock.who import Person


def hours_context(
    billet: Billet, *, person: Person, next_kind: str, is_failed: bool
) -> dict[str, Any]:
    """The clock and the lines; the step that comes next is offered first."""
    lines = lines_of([billet])
    running = running_of(person)
    is_here = running is not None and billet.mark in running.marks
    stopped = [line for line in lines if line.time.stopped_at is not None]
    may_start = not (billet.is_withdrawn or is_failed or (running and running.is_forgotten))
    likely = likely_step(next_kind, stopped)
    return {
        "hours": lines,
        "struck": [(time, hours_text(time.seconds(now=clock.now()))) for time in struck_of(billet)],
        "hours_total": hours_text(sum(line.share_s for line in stopped)) if stopped else "",
        "hours_by_step": by_step(lines),
        "running": running,
        "runs_here": is_here,
        "clock_ends": running is not None and ends_with(running, billet, next_kind=next_kind),
        "runs_elsewhere": None if running else elsewhere(person),
        "clock_steps": ordered(likely) if may_start else [],
        "likely_step": likely,
        "minutes_form": MinutesForm(initial={"step": likely}),
        "stop_form": StopForm(),
    }


def ends_with(running: Running, billet: Billet, *, next_kind: str) -> bool:
    """Whether recording the next stage also stops the clock."""
    if not next_kind or running.is_forgotten or running.marks != (billet.mark,):
        return False
    return running.time.step == CLOCK_ENDS.get(StepKind(next_kind))


def likely_step(next_kind: str, stopped: list[HoursLine]) -> str:
    """The work that leads to the next stage; of a billet that has ended, what was done last."""
    if next_kind and next_kind != StepKind.FAILED:
        return hours.WORK_OF[StepKind(next_kind)]
    return stopped[0].time.step if stopped else WorkStep.FINISH


def ordered(likely: str) -> list[tuple[str, str]]:
    """Steps as a choice, the likely one first."""
    return sorted(WorkStep.choices, key=lambda one: one[0] != likely)
