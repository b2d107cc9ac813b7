"""Reads what the work page of a class shows: its billets, the clock, hours, what comes next."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import TypedDict

from billets.billet.reading import STAGE_ACTS
from billets.hours import reading as hours_reading
from billets.hours.reading import HoursLine, Running
from billets.layup.work_time import hours_text, together
from billets.models import Billet, StepKind, WorkStep
from shop.class_work import writing as class_work
from shop.class_work.hours import StepSum, shown_steps, step_sums
from shop.class_work.writing import Stages
from shop.classes.reading import stages_of
from shop.costing.rate_values import ShopRates
from shop.knives import clock
from shop.models import ForgeClass
from shop.rates import writing as rates
from shop.rates.own_minutes import reached_by
from stock.house import House
from stock.quantities.units import mass_text
from stock.who import Person


@dataclass(frozen=True)
class WorkRow:
    """One billet to tick."""

    billet: Billet
    who: str
    stage: str
    is_failed: bool
    hours: str
    is_ticked: bool


@dataclass(frozen=True)
class Choice:
    """A button: a step or a stage, and how many billets wait for it."""

    key: str
    word: str
    count: int


class WorkPart(TypedDict):
    """The work at a class's billets, without the forms."""

    row: ForgeClass
    rows: list[WorkRow]
    hours: list[HoursLine]
    steps: list[StepSum]
    running: Running | None
    runs_here: bool
    now_at: clock.NowAt | None
    clock_steps: list[Choice]
    is_asked: bool
    stages: list[Choice]
    needs_wire: bool
    wire: str
    place: str


def work_context(
    row: ForgeClass, *, person: Person, house: House, ids: Collection[int] = ()
) -> WorkPart:
    """Everything on the page but its forms; of the next stage the wire that it takes."""
    billets = class_work.billets_of(row)
    lines = hours_reading.lines_of(billets)
    running = hours_reading.running_of(person)
    marks, now = {one.mark for one in billets}, clock.now_at(person)
    reached = stages_of(billets)
    stages = next_choices(billets, reached)
    to_weld = class_work.next_at(StepKind.WELDED, billets=billets, stages=reached)
    wire_ug = sum(class_work.wire_of(to_weld, house=house).values())
    wire = mass_text(wire_ug, system=house.system) if wire_ug else ""
    return WorkPart(
        row=row,
        rows=work_rows(row, billets, reached, ids=ids),
        hours=lines,
        steps=shown_steps(sums_of(row, billets)),
        running=running,
        runs_here=running is not None and bool(marks & set(running.marks)),
        now_at=now,
        clock_steps=clock_choices(billets, reached),
        is_asked=now is not None and now.is_forgotten,
        stages=stages,
        needs_wire=any(one.key == StepKind.WELDED for one in stages),
        wire=wire,
        place="classes",
    )


def sums_of(row: ForgeClass, billets: Sequence[Billet]) -> tuple[StepSum, ...]:
    """Hours by step, planned by the usual minutes that hold on the class's last day."""
    shop = rates.history().on_or_none(row.ends_on) or ShopRates()
    return step_sums(tuple(reached_by(billets).values()), usual=shop.usual)


def work_rows(
    row: ForgeClass, billets: Sequence[Billet], stages: Stages, *, ids: Collection[int]
) -> list[WorkRow]:
    """The billets with their students, how far they are, and the hours in them."""
    worked = hours_reading.worked_at(billets)
    known = {one.pk for one in billets}
    found = []
    for seat in row.seats.active().with_metal():
        if seat.billet is None or seat.billet_id not in known:
            continue
        billet, stage = seat.billet, stages[seat.billet.pk]
        seconds = together(worked.get(billet.pk, {}).values()).seconds
        found.append(
            WorkRow(
                billet=billet,
                who=str(seat),
                stage=stage.label,
                is_failed=stage == StepKind.FAILED,
                hours=hours_text(seconds) if seconds else "",
                is_ticked=billet.pk in ids,
            )
        )
    return found


def clock_choices(billets: Sequence[Billet], stages: Stages) -> list[Choice]:
    """Steps that some billet has not passed."""
    counts = {
        step: len(class_work.waiting_for(step, billets=billets, stages=stages)) for step in WorkStep
    }
    return [Choice(step, str(step.label), count) for step, count in counts.items() if count]


def next_choices(billets: Sequence[Billet], stages: Stages) -> list[Choice]:
    """Stages that some billet is next at."""
    counts = {
        kind: len(class_work.next_at(kind, billets=billets, stages=stages))
        for kind in class_work.STAGES
    }
    return [
        Choice(kind, STAGE_ACTS[kind].removeprefix("It is "), count)
        for kind, count in counts.items()
        if count
    ]
