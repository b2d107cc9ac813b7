"""Runs the computing of a class's plan beside the web requests, with its best so far.

A run is one row of `PlanRun`. It is computed in a thread of the server; the solvers themselves
work in a process of their own with a hard stop (`stock.cutting.worker`). Pages ask the row.
"""

from __future__ import annotations

import logging
import threading
from datetime import timedelta

from django.db import close_old_connections, connection, transaction
from django.utils import timezone

from shop.models import ForgeClass, PlanRun
from shop.planning import metal
from shop.planning import writing as planning
from shop.planning.laying_out import Solvers, both_by
from stock.cutting import worker
from stock.cutting.plans.plan import BarCase, BarPlan, Plan, Progress, SheetCase
from stock.house import House
from stock.quantities.named_values import Json
from stock.who import Person

LIMIT_S = 8.0  # for each alloy and section
LOST_AFTER = timedelta(minutes=10)  # a run this old was cut off by a restart of the server
WAIT_S = 1.5  # a page waits this long before it shows progress instead
LOST = "Planning was cut off before it ended. Nothing was set aside; make the plan again."
log = logging.getLogger(__name__)


def start(
    *, forge_class: ForgeClass, house: House, by: Person, only_fitting: bool = False
) -> PlanRun:
    """Begin computing and wait a moment for it; one that is going on already is joined."""
    run, is_new = begun(forge_class=forge_class, by=by)
    if not is_new:
        return run
    thread = threading.Thread(
        target=compute_aside,
        kwargs={"run_id": run.pk, "house": house, "only_fitting": only_fitting},
        daemon=True,
    )
    if connection.in_atomic_block:  # another thread would not see the row yet
        compute(run=run, house=house, only_fitting=only_fitting)
    else:
        thread.start()
        thread.join(WAIT_S)
    run.refresh_from_db()
    return run


@transaction.atomic
def begun(*, forge_class: ForgeClass, by: Person) -> tuple[PlanRun, bool]:
    """The class's run that is going on, or a new one; two who ask at once get the same."""
    list(ForgeClass.objects.select_for_update(of=("self",)).filter(pk=forge_class.pk))
    for run in forge_class.runs.filter(state=PlanRun.State.RUNNING):
        if not is_lost(run):
            return run, False
        fail(run, LOST)
    return PlanRun.objects.create(forge_class=forge_class, by=by), True


def compute_aside(*, run_id: int, house: House, only_fitting: bool) -> None:
    """In a thread of its own: compute, and let its database connection go."""
    try:
        compute(run=PlanRun.objects.get(pk=run_id), house=house, only_fitting=only_fitting)
    finally:
        close_old_connections()
        connection.close()


def compute(*, run: PlanRun, house: House, only_fitting: bool = False) -> None:
    """Compute a run to its end; what goes wrong is kept as its sentence."""
    try:
        facts = metal.facts(run.forge_class)
        plan = planning.computed(
            forge_class=run.forge_class,
            house=house,
            solvers=watched_solvers(run),
            only_fitting=only_fitting,
        )
        planning.finish_run(run=run, plan=plan, facts=facts)
    except planning.PlanningError as error:
        fail(run, str(error))
    except Exception:
        log.exception("planning of class %s broke", run.forge_class_id)
        fail(run, "Planning broke; the server's log says why. Nothing was set aside.")


def fail(run: PlanRun, sentence: str) -> None:
    """Keep why a run gave no plan."""
    run.state, run.progress = PlanRun.State.FAILED, {"sentence": sentence}
    run.ended_at = timezone.now()
    run.save(update_fields=["state", "progress", "ended_at"])


def is_lost(run: PlanRun) -> bool:
    """Whether a run will never answer: its thread ended with the server."""
    return run.state == PlanRun.State.RUNNING and timezone.now() - run.started_at > LOST_AFTER


def watched_solvers(run: PlanRun) -> Solvers:
    """The solvers, telling the run's row how far they are and stopping when it asks."""

    def tell(progress: Progress) -> None:
        PlanRun.objects.filter(pk=run.pk).update(progress=facts_of(progress))

    def is_stopped() -> bool:
        return PlanRun.objects.filter(pk=run.pk, stop_asked=True).exists()

    def solved(case: BarCase | SheetCase) -> Plan:
        return worker.solved(case, limit_s=LIMIT_S, progress=tell, is_stopped=is_stopped)

    return both_by(solved)


def facts_of(progress: Progress) -> Json:
    """The best so far as the page tells it."""
    best = progress.best
    facts: Json = {
        "alloy": best.name.split()[0],
        "gap_percent": round(100 * progress.gap, 2),
    }
    if isinstance(best, BarPlan):
        return facts | {"bars": len(best.bars), "cuts": sum(len(bar.cuts) for bar in best.bars)}
    return facts | {"roll_nm": best.roll_length_nm, "cuts": len(best.placed)}


def end_all() -> None:
    """Let go of every run: called when the server begins, since none of them can be its own."""
    for run in PlanRun.objects.filter(state=PlanRun.State.RUNNING):
        fail(run, LOST)


def ask_to_stop(*, run: PlanRun) -> None:
    """Take the best so far: each solver hands back what it has."""
    PlanRun.objects.filter(pk=run.pk).update(stop_asked=True)
