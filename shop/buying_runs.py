"""Runs a look at what to buy beside the web requests, with its best so far.

A run is one row of `BuyingRun`. It is computed in a thread of the server; the solvers
themselves work in processes of their own with a hard stop. Pages ask the row.
"""

from __future__ import annotations

import logging
import threading
from datetime import timedelta
from typing import Any

from django.db import close_old_connections, connection, transaction
from django.utils import timezone

from shop import shopping
from shop.laying_out import Solvers, both_by
from shop.models import BuyingRun
from shop.shopping_answer import shopping_list
from shop.shopping_case import question
from shop.shopping_facts import Asked
from shop.shopping_list import ShoppingList
from shop.shortages import shortages
from stock import buying_worker, clock
from stock.buying_worker import Answer, BuyingBroke, NothingInTime
from stock.cutting import worker
from stock.cutting.plan import BarCase, Plan, SheetCase
from stock.house import House
from stock.who import Person

RACK_S = 4.0  # for each alloy and section, over what is on the rack
OFFERS_S = 20.0  # for weighing the offers
LOST_AFTER = timedelta(minutes=10)  # a run this old was cut off by a restart of the server
WAIT_S = 2.0  # a page waits this long before it shows progress instead
LOST = "The look was cut off before it ended. Nothing was ordered; look again."
BROKE = "Looking for what to buy broke; the server's log says why. Nothing was ordered."
State = BuyingRun.State
log = logging.getLogger(__name__)


def start(*, house: House, by: Person) -> BuyingRun:
    """Begin a look and wait a moment for it; one that is going on already is joined."""
    run, is_new = begun(by=by)
    if not is_new:
        return run
    if connection.in_atomic_block:  # another thread would not see the row yet
        compute(run=run, house=house)
    else:
        how = {"run_id": run.pk, "house": house}
        thread = threading.Thread(target=compute_aside, kwargs=how, daemon=True)
        thread.start()
        thread.join(WAIT_S)
    run.refresh_from_db()
    return run


@transaction.atomic
def begun(*, by: Person) -> tuple[BuyingRun, bool]:
    """The run that is going on, or a new one."""
    for run in BuyingRun.objects.select_for_update(of=("self",)).filter(state=State.RUNNING):
        if not is_lost(run):
            return run, False
        fail(run, LOST)
    return BuyingRun.objects.create(by=by), True


def compute_aside(*, run_id: int, house: House) -> None:
    """In a thread of its own: compute, and let its database connection go."""
    try:
        compute(run=BuyingRun.objects.get(pk=run_id), house=house)
    finally:
        close_old_connections()
        connection.close()


def compute(*, run: BuyingRun, house: House) -> None:
    """Compute a run to its end; what goes wrong is kept as its sentence."""
    try:
        asked = shopping.asked(house=house, today=clock.today())
        found = looked_up(run, asked)
    except (NothingInTime, BuyingBroke) as error:
        fail(run, f"{error} Nothing was ordered.")
    except Exception:
        log.exception("looking for what to buy broke")
        fail(run, BROKE)
    else:
        finish(run, found, asked)


def looked_up(run: BuyingRun, asked: Asked) -> ShoppingList:
    """What is short, and the ways to buy it."""
    found = shortages(asked, solvers=rack_solvers(run))
    put = question(asked, found)
    if not put.case.needs:
        return shopping_list(asked, put, None)
    tell(run, {"doing": "offers", "lacks": len(put.lacks), "offers": len(put.case.goods)})

    def better(answer: Answer) -> None:
        best = answer.bought.best
        if best is not None and best.orders:
            facts = {"cents": best.cents, "at_least_cents": best.at_least_cents or 0}
            tell(run, {"doing": "offers", "lacks": len(put.lacks), **facts})

    answer = buying_worker.answered(
        put.case, limit_s=OFFERS_S, progress=better, is_stopped=lambda: is_stopped(run)
    )
    return shopping_list(asked, put, answer)


def rack_solvers(run: BuyingRun) -> Solvers:
    """The cut planners, telling the run's row what they work on."""

    def solved(case: BarCase | SheetCase) -> Plan:
        tell(run, {"doing": "rack", "alloy": case.name.split()[0]})
        return worker.solved(case, limit_s=RACK_S, is_stopped=lambda: is_stopped(run))

    return both_by(solved)


def tell(run: BuyingRun, progress: dict[str, Any]) -> None:
    """Keep how far a run is."""
    BuyingRun.objects.filter(pk=run.pk).update(progress=progress)


def is_stopped(run: BuyingRun) -> bool:
    """Whether somebody wants the best so far."""
    return BuyingRun.objects.filter(pk=run.pk, stop_asked=True).exists()


def finish(run: BuyingRun, found: ShoppingList, asked: Asked) -> None:
    """Keep what was found, and what it rests on."""
    run.result, run.asked_print = found.to_json(), asked.fingerprint()
    run.state, run.ended_at = State.READY, timezone.now()
    run.save(update_fields=["result", "asked_print", "state", "ended_at"])


def fail(run: BuyingRun, sentence: str) -> None:
    """Keep why a run found nothing."""
    run.state, run.progress = State.FAILED, {"sentence": sentence}
    run.ended_at = timezone.now()
    run.save(update_fields=["state", "progress", "ended_at"])


def is_lost(run: BuyingRun) -> bool:
    """Whether a run will never answer: its thread ended with the server."""
    return run.state == State.RUNNING and timezone.now() - run.started_at > LOST_AFTER


def end_all() -> None:
    """Let go of every run: called when the server begins, since none of them can be its own."""
    for run in BuyingRun.objects.filter(state=BuyingRun.State.RUNNING):
        fail(run, LOST)


def ask_to_stop() -> None:
    """Take the best so far."""
    BuyingRun.objects.filter(state=State.RUNNING).update(stop_asked=True)
