"""Runs a look at what to buy beside the web requests, with its best so far.

A run is one row of `BuyingRun`. It is computed in a thread of the server; the solvers
themselves work in processes of their own with a hard stop. Pages ask the row.
"""

from __future__ import annotations

import logging
import threading
from datetime import timedelta

from django.db import close_old_connections, connection, transaction
from django.utils import timezone

from shop.buying import reading_facts
from shop.buying.answer import shopping_list
from shop.buying.case import question
from shop.buying.facts import Asked
from shop.buying.list import BuyLine, BuyOrder, ShoppingList
from shop.buying.shortages import shortages
from shop.models import BuyingRun
from shop.planning.laying_out import Solvers, both_by
from stock import clock
from stock.buying import worker as buying_worker
from stock.buying.worker import Answer, BuyingBroke, NothingInTime
from stock.cutting import worker
from stock.cutting.plans.plan import BarCase, Plan, SheetCase
from stock.house import House
from stock.ledger import receiving
from stock.models import Form, Material, Purchase, Supplier
from stock.quantities.named_values import Json
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
        asked = reading_facts.asked(house=house, today=clock.today())
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


def tell(run: BuyingRun, progress: Json) -> None:
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


class OrderingError(ValueError):
    """Nothing was ordered; the text is the sentence for the user."""


class NotThere(OrderingError):
    """The list, the way or the supplier is not there to be ordered."""


class OtherWay(OrderingError):
    """Orders were placed from another way of the same list."""


class FactsChanged(OrderingError):
    """What the list rests on has changed since."""


class AlreadyOrdered(OrderingError):
    """This part was ordered already; `.purchase_id` is that order."""

    def __init__(self, supplier: str, purchase_id: int) -> None:
        self.purchase_id = purchase_id
        super().__init__(f"This order with {supplier} was placed already.")


@transaction.atomic
def place_order(*, run: BuyingRun, way: str, supplier: str, house: House, by: Person) -> Purchase:
    """Turn one supplier's part of one way into an order.

    Args:
        run: a look that is ready.
        way: which of its ways.
        supplier: whose part.
        house: the shop's settings, to see whether the facts still hold.
        by: who orders.

    Raises:
        OrderingError: it cannot be ordered from this list; nothing was ordered.
    """
    held = BuyingRun.objects.select_for_update(of=("self",)).get(pk=run.pk)
    if supplier in held.ordered:
        raise AlreadyOrdered(supplier, held.ordered[supplier])
    part = part_of(held, way=way, supplier=supplier)
    if held.chosen and held.chosen != way:
        raise OtherWay(
            "Part of another choice from this list is on order, so this one would buy some of "
            "it twice. Look again to see what is still short."
        )
    is_newest = not BuyingRun.objects.filter(pk__gt=held.pk, state=State.READY).exists()
    if not is_newest or facts_changed(held, house=house):
        raise FactsChanged(
            "The rack, a class or a price has changed since this list was made. Look again."
        )
    purchase = ordered(part, by=by)
    held.chosen, held.ordered = way, {**held.ordered, supplier: purchase.pk}
    # the order itself is a change; what is left of the list still holds after it
    held.asked_print = reading_facts.asked(house=house, today=clock.today()).fingerprint()
    held.save(update_fields=["chosen", "ordered", "asked_print"])
    return purchase


def part_of(run: BuyingRun, *, way: str, supplier: str) -> BuyOrder:
    """One supplier's part of one way of a list."""
    if run.state != State.READY:
        raise NotThere("This list is not ready. Look again.")
    chosen = ShoppingList.from_json(run.result).way(way)
    for order in chosen.orders if chosen else ():
        if order.supplier == supplier:
            return order
    raise NotThere(f"This list has nothing to order from {supplier}. Look again.")


def facts_changed(run: BuyingRun, *, house: House) -> bool:
    """Whether what a list rests on is not what it was."""
    return reading_facts.asked(house=house, today=clock.today()).fingerprint() != run.asked_print


def ordered(part: BuyOrder, *, by: Person) -> Purchase:
    """Write the order down."""
    supplier = Supplier.objects.filter(name=part.supplier).first()
    if supplier is None:
        raise NotThere(f"{part.supplier} is not among the suppliers any more. Look again.")
    materials = Material.objects.in_bulk([line.material_id for line in part.lines])
    today = clock.today()
    return receiving.order(
        supplier=supplier,
        lines=[one for line in part.lines for one in lines_of(line, materials[line.material_id])],
        delivery_cents=part.delivery_cents,
        on=today,
        due=part.arrives(today),
        by=by,
        note="from the shopping list",
    )


def lines_of(line: BuyLine, material: Material) -> list[receiving.Line]:
    """One line of the list as lines of a purchase, none with more pieces than can be marked."""
    most = line.pieces if material.form == Form.COUNTED else receiving.MOST_PIECES
    found, done, paid = [], 0, 0
    while done < line.pieces:
        count = min(most, line.pieces - done)
        done += count
        upto = line.cents * done // line.pieces
        found.append(
            receiving.Line(
                material=material,
                count=count,
                price_cents=upto - paid,
                length_nm=line.length_nm,
                width_nm=line.width_nm,
                mass_ug=line.mass_ug,
            )
        )
        paid = upto
    return found
