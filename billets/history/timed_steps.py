"""A stage recorded for one billet or several at once, with the minutes it took: all or nothing.

Stages are written by `billets.history.writing` and minutes by `billets.hours.writing`; this joins
them in one transaction. Wire goes off one spool, by estimate, billet by billet.

WorkshopError
└── StepsRefused   which billets refused, and why; nothing was written for any of them
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from django.db import transaction

from billets.history import writing as history
from billets.hours import writing as hours
from billets.layup.work_time import is_forgotten
from billets.models import Billet, Step, StepKind, WorkStep, WorkTime
from stock import clock
from stock.ledger.refusals import LedgerError
from stock.models import Piece
from stock.who import Person

CLOCK_ENDS = {  # a clock at this work has nothing left to run for; bonding is half of the forging
    StepKind.CUT: WorkStep.CUT,
    StepKind.CLEANED: WorkStep.CLEAN,
    StepKind.WELDED: WorkStep.WELD,
    StepKind.DRAWN: WorkStep.FORGE,
    StepKind.FINISHED: WorkStep.FINISH,
}


class StepsRefused(history.WorkshopError):
    """Some billets refuse the stage."""

    def __init__(self, refusals: Sequence[tuple[str, str]]) -> None:
        self.refusals = tuple(refusals)
        told = [words if mark in words else f"{mark}: {words}" for mark, words in refusals]
        super().__init__(" ".join(told))


@transaction.atomic
def record_steps(
    *,
    billets: Sequence[Billet],
    kind: str,
    by: Person,
    note: str = "",
    minutes: int | None = None,
    spool: Piece | None = None,
    wire_ug: Mapping[int, int] | None = None,
) -> list[Step]:
    """Record a stage of each billet, and the minutes that all of them took together.

    Args:
        billets: at least one.
        kind: the stage; a failure has a cause of its own and is not recorded here.
        by: whose record and whose minutes; their clock at this work of these billets stops.
        note: goes with each stage.
        minutes: for all of them together; None where a clock ran or nobody knows.
        spool: what the wire for their seams is taken from, when they are welded shut.
        wire_ug: wire of each by the billet's id [µg].

    Raises:
        StepsRefused: for some of them the stage cannot follow, or the spool has too little.
        HoursRefused: minutes that cannot be, or minutes beside a clock that runs for the same.
    """
    wanted = wire_ug or {}
    steps: list[Step] = []
    refusals: list[tuple[str, str]] = []
    for billet in billets:
        try:
            with transaction.atomic():
                step = history.record_step(
                    billet=billet,
                    kind=kind,
                    by=by,
                    note=note,
                    spool=spool,
                    wire_ug=wanted.get(billet.pk, 0),
                )
        except (history.WorkshopError, LedgerError) as error:
            refusals.append((billet.mark, str(error)))
        else:
            steps.append(step)
    if refusals:
        raise StepsRefused(refusals)
    ended = end_clock(billets, kind=kind, by=by)
    if minutes is not None:
        refuse_twice(ended)
        keep_minutes(steps, billets=billets, minutes=minutes, by=by)
    return steps


def end_clock(billets: Sequence[Billet], *, kind: str, by: Person) -> WorkTime | None:
    """Stop one's own clock where it ran for these billets and this work and nothing else."""
    time = hours.running(person=by)
    if time is None or time.step != CLOCK_ENDS.get(StepKind(kind)):
        return None
    ran = time.seconds(now=clock.now())
    if is_forgotten(ran) or not hours.billets_of(time) <= {billet.pk for billet in billets}:
        return None
    return hours.stop_clock(person=by)


def refuse_twice(ended: WorkTime | None) -> None:
    """The same work is not written down by the clock and by hand."""
    if ended is not None:
        raise hours.HoursRefused(
            "Your clock runs for this very work and stops with the step. Leave the minutes empty, "
            "or strike the clock's line first."
        )


def keep_minutes(
    steps: Sequence[Step], *, billets: Sequence[Billet], minutes: int, by: Person
) -> None:
    """Write the minutes down, tied to the stages: undoing a stage strikes its share."""
    work = hours.WORK_OF[StepKind(steps[0].kind)]
    time = hours.add_minutes(billets=billets, step=work, minutes=minutes, person=by)
    history.tie_time(steps, time=time)
