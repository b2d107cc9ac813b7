"""How far billets have come, as their cost wants it: steps, heats and hours written down."""

from __future__ import annotations

from collections.abc import Sequence

from billets.hours import reading as hours_reading
from billets.models import Billet, Heat, Step, StepKind, WorkStep
from shop.costing.billet import Reached
from shop.costing.labour import FORGE

STEP_TIMES = {
    StepKind.CUT: "cut_s",
    StepKind.CLEANED: "clean_s",
    StepKind.WELDED: "weld_s",
    StepKind.FINISHED: "finish_s",
}


WORK_TIMES = {
    WorkStep.CUT: "cut_s",
    WorkStep.CLEAN: "clean_s",
    WorkStep.WELD: "weld_s",
    WorkStep.FORGE: FORGE,
    WorkStep.FINISH: "finish_s",
}


def reached_by(billets: Sequence[Billet]) -> dict[int, Reached]:
    """Steps, heats and hours that stand at each of many billets, in a few queries."""
    steps: dict[int, dict[str, int | None]] = {one.pk: {} for one in billets}
    standing = Step.objects.filter(billet__in=billets, undoes=None, undone_by=None)
    for pk, kind, by in standing.order_by("id").values_list("billet", "kind", "by"):
        if kind in STEP_TIMES:
            steps[pk][STEP_TIMES[StepKind(kind)]] = by
    heats: dict[int, list[int]] = {one.pk: [] for one in billets}
    struck = Heat.objects.filter(billet__in=billets, struck_at=None)
    for pk, by in struck.order_by("number", "id").values_list("billet", "by"):
        heats[pk].append(by)
    worked = hours_reading.worked_at(billets)
    return {
        pk: Reached(
            steps[pk],
            len(heats[pk]),
            heats[pk][-1] if heats[pk] else None,
            {WORK_TIMES[WorkStep(step)]: one for step, one in worked.get(pk, {}).items()},
        )
        for pk in steps
    }
