"""Work at several billets of a class at once: whose clock, whose minutes, whose next stage.

It chooses the billets; `billets.hours.writing` and `billets.history.timed_steps` write, all of it
or nothing. Ticked billets are those that are meant. With none ticked it is those that wait for that
step.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from datetime import date

from django.db import transaction

from billets.history import timed_steps
from billets.history.stages import ORDER
from billets.hours import writing as hours
from billets.layup import seam
from billets.layup.seam import FillerError
from billets.layup.work_time import is_forgotten
from billets.models import Billet, Step, StepKind, WorkStep, WorkTime
from shop.classes.reading import stages_of
from shop.models import ForgeClass
from stock import clock
from stock.house import House
from stock.models import Piece, alloy_book
from stock.who import Person

Stages = Mapping[int, StepKind]  # how far each billet is, by its id
ENDS_AT = {  # the stage at which a billet has passed a step
    WorkStep.CUT: StepKind.CUT,
    WorkStep.CLEAN: StepKind.CLEANED,
    WorkStep.WELD: StepKind.WELDED,
    WorkStep.FORGE: StepKind.DRAWN,
    WorkStep.FINISH: StepKind.FINISHED,
}
STAGES = (
    StepKind.CLEANED,
    StepKind.WELDED,
    StepKind.BONDED,
    StepKind.DRAWN,
    StepKind.FINISHED,
)  # a class's blanks are cut by its cut list


def billets_of(forge_class: ForgeClass) -> list[Billet]:
    """The billets of a class that are in its plan, students first."""
    seats = list(forge_class.seats.active().with_metal())
    return [seat.billet for seat in seats if seat.billet and not seat.billet.is_withdrawn]


def waiting_for(step: str, *, billets: Sequence[Billet], stages: Stages) -> list[Billet]:
    """Billets that have not passed a step, and have not failed."""
    end = ORDER.index(ENDS_AT[WorkStep(step)])
    return [
        one
        for one in billets
        if stages[one.pk] != StepKind.FAILED and ORDER.index(stages[one.pk]) < end
    ]


def next_at(kind: str, *, billets: Sequence[Billet], stages: Stages) -> list[Billet]:
    """Billets whose next stage this is."""
    before = ORDER[ORDER.index(StepKind(kind)) - 1]
    return [one for one in billets if stages[one.pk] == before]


def ticked(billets: Sequence[Billet], ids: Collection[int]) -> list[Billet]:
    """The ticked billets of a class; ids of others count for nothing."""
    return [one for one in billets if one.pk in ids]


@transaction.atomic
def start_clock(
    *, forge_class: ForgeClass, ids: Collection[int], step: str, person: Person
) -> WorkTime:
    """Start a person's clock for the ticked billets, or for those that have not passed the step.

    Raises:
        HoursRefused: no billet is left for it, one has failed, or a clock was left on elsewhere.
    """
    hours.refuse_step(step)
    billets = billets_of(forge_class)
    waiting = waiting_for(step, billets=billets, stages=stages_of(billets))
    meant = ticked(billets, ids) or waiting
    return hours.start_clock(billets=meant, step=step, person=person)


@transaction.atomic
def add_minutes(
    *,
    forge_class: ForgeClass,
    ids: Collection[int],
    step: str,
    minutes: int,
    person: Person,
    day: date | None = None,
) -> WorkTime:
    """Write minutes down for the ticked billets together, or for all that have not failed.

    Raises:
        HoursRefused: no billet, or minutes that cannot be.
    """
    hours.refuse_step(step)
    billets = billets_of(forge_class)
    stages = stages_of(billets)
    sound = [one for one in billets if stages[one.pk] != StepKind.FAILED]
    return hours.add_minutes(
        billets=ticked(billets, ids) or sound, step=step, minutes=minutes, person=person, day=day
    )


@transaction.atomic
def record_stage(
    *,
    forge_class: ForgeClass,
    ids: Collection[int],
    kind: str,
    by: Person,
    house: House,
    note: str = "",
    minutes: int | None = None,
    spool: Piece | None = None,
) -> list[Step]:
    """Record a stage of the ticked billets, or of all whose next stage it is.

    Args:
        forge_class: the class.
        ids: the ticked billets; none means all whose next stage it is.
        kind: the stage.
        by: who records it.
        house: for the wire of the seams.
        note: goes with each.
        minutes: for all of them together.
        spool: what their wire is taken from, when they are welded shut.

    Raises:
        WorkshopError: no billet waits for it, or some refuse; nothing was written.
        HoursRefused: minutes that cannot be.
    """
    if kind not in STAGES:
        raise timed_steps.StepsRefused([("", "Choose a stage from the list.")])
    billets = billets_of(forge_class)
    waiting = next_at(kind, billets=billets, stages=stages_of(billets))
    meant = ticked(billets, ids) or waiting
    if not meant:
        label = StepKind(kind).label
        raise timed_steps.StepsRefused([("", f"No billet of this class waits to be {label}.")])
    wire = wire_of(meant, house=house) if kind == StepKind.WELDED and spool else {}
    return timed_steps.record_steps(
        billets=meant, kind=kind, by=by, note=note, minutes=minutes, spool=spool, wire_ug=wire
    )


def wire_of(billets: Sequence[Billet], *, house: House) -> dict[int, int]:
    """Wire for the seams of each [µg]; none where they stay open or have no length."""
    alloys, found = alloy_book(), {}
    for one in billets:
        try:
            found[one.pk] = seam.wire_ug(one.design(), house=house, alloys=alloys)
        except FillerError:
            found[one.pk] = 0
    return found


def cutting_clock(forge_class: ForgeClass, *, person: Person) -> WorkTime | None:
    """A person's clock that runs at cutting for this class; one that was left on is asked first."""
    time = hours.running(person=person)
    if time is None or time.step != WorkStep.CUT or is_forgotten(time.seconds(now=clock.now())):
        return None
    known = {one.pk for one in billets_of(forge_class)}
    return time if hours.billets_of(time) & known else None
