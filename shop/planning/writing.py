"""A class becomes billets and metal set aside: computed, shown, then confirmed in one go.

The only writer of plans. Computing writes nothing but its own run; confirming frees what the
class had standing, makes the billets, and sets all metal aside in one transaction, or none.
Seats are changed in `shop.classes.seat_writing`; cuts are ticked in `shop.cut_list.writing`.

PlanningError
├── NothingToPlan     no seat, or everything is cut already
├── Unsound           a layup has a stop that the owner has not answered for
├── AlreadyConfirmed  the plan stands already
└── RackChanged       the metal or a seat is not what it was when the plan was made
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.db import transaction

from billets.findings import findings
from billets.history import writing as history
from billets.layup import design as layup_design
from billets.layup.case import case_of
from billets.models import Billet
from shop.models import ForgeClass, PlanRun, Seat
from shop.planning import metal
from shop.planning.cut_plan import CutPlan
from shop.planning.laying_out import Solvers, laid_out, seats_that_fit
from shop.planning.set_aside_writing import blanks_of, planned, promises_of, tie_blanks
from shop.planning.set_aside_writing import free_rows as free_rows
from shop.planning.set_aside_writing import let_go as let_go
from stock import clock
from stock.house import House
from stock.ledger import set_asides
from stock.ledger.entries import hold
from stock.materials import saw
from stock.models import alloy_book
from stock.who import Person

CHANGED_MEANWHILE = (
    "A seat or a piece of metal changed while this plan was computed. Make the plan again."
)


class PlanningError(ValueError):
    """The class cannot be planned; nothing was set aside."""


class NothingToPlan(PlanningError):
    """No seat, or everything is cut already."""


class Unsound(PlanningError):
    """A layup has a stop that the owner has not answered for."""


class AlreadyConfirmed(PlanningError):
    """The same plan was confirmed before, by this person or another."""


class RackChanged(PlanningError):
    """The metal or a seat is not what it was when the plan was made."""


@dataclass(frozen=True)
class Overridden:
    """A stack with a stop that the owner has answered for in writing."""

    layup_name: str
    sentence: str
    reason: str


def overridden(seats: Sequence[Seat], *, house: House) -> list[Overridden]:
    """Stops that the owner's written reasons answer for, each once.

    Raises:
        Unsound: a stack has a stop without such a reason.
    """
    alloys = alloy_book()
    answered_for: dict[tuple[str, str], Overridden] = {}
    for design, name, reason in dict.fromkeys(stack_of(seat) for seat in seats):
        for found in findings.findings(case_of(design, alloys=alloys, house=house)):
            if found.level != "stop":
                continue
            sentence = found.sentence(house.system)
            if not reason:
                raise Unsound(
                    f"{name} cannot be planned. {sentence} Mend the layup, or let the owner "
                    "write down why it is made all the same."
                )
            answered_for[name, sentence] = Overridden(name, sentence, reason)
    return [answered_for[key] for key in sorted(answered_for)]


def stack_of(seat: Seat) -> tuple[layup_design.Design, str, str]:
    """What a seat is made to: its design, the layup's name, and the owner's reason if any."""
    billet = seat.billet
    if billet is not None and not seat.is_behind:
        reason = billet.override_reason or seat.layup_used.override_reason
        return billet.design(), billet.layup_name, reason
    if billet is not None:
        return billet.design(), billet.layup_name, billet.override_reason
    return seat.asked_design(), seat.layup_used.name, seat.layup_used.override_reason


def computed(
    *, forge_class: ForgeClass, house: House, solvers: Solvers, only_fitting: bool = False
) -> CutPlan:
    """The cut plan of all that is not cut yet; writes nothing.

    Raises:
        NothingToPlan: there is no seat, or no blank left to cut.
        Unsound: a layup has an unanswered stop.
    """
    seats = list(forge_class.seats.active().with_metal())
    if not seats:
        raise NothingToPlan("This class has no seats yet. Add students or spares first.")
    overridden(seats, house=house)
    needs = metal.needs_of(seats)
    if not needs:
        raise NothingToPlan(
            "No blank of this class waits for metal: all are cut, or their billets failed."
        )
    pieces = metal.free_pieces(
        plan=forge_class.plan_key, house=house, alloys={need.alloy for need in needs}
    )
    kerf = saw.kerf_nm()
    whole = laid_out(needs, pieces=pieces, kerf_nm=kerf, solvers=solvers)
    if whole.is_whole:
        return whole
    fits = seats_that_fit(needs, pieces=pieces, kerf_nm=kerf, solvers=solvers)
    if not only_fitting:
        return CutPlan(parts=whole.parts, short=whole.short, seats=whole.seats, fits=fits)
    chosen = set(fits)
    fitting = laid_out(
        [need for need in needs if need.seat_id in chosen],
        pieces=pieces,
        kerf_nm=kerf,
        solvers=solvers,
    )
    left_out = tuple(seat for seat in whole.seats if seat not in chosen)
    return CutPlan(parts=fitting.parts, seats=fits, left_out=left_out, short=fitting.short)


def finish_run(*, run: PlanRun, plan: CutPlan, facts: metal.Facts | None = None) -> None:
    """Keep a computed plan for the page that shows it.

    Args:
        facts: the rack and the seats as they were before computing began; now, if left out.

    Raises:
        RackChanged: what the plan rests on has changed while it was computed.
    """
    now = metal.facts(run.forge_class)
    print_then = metal.rack_print(plan=plan, facts=facts or now)
    if print_then != metal.rack_print(plan=plan, facts=now):
        raise RackChanged(CHANGED_MEANWHILE)
    run.result = plan.to_json()
    run.state = PlanRun.State.READY
    run.rack_print = print_then
    run.ended_at = clock.now()
    run.save(update_fields=["result", "state", "rack_print", "ended_at"])


@transaction.atomic
def confirm(*, run: PlanRun, by: Person) -> list[Billet]:
    """Set a plan's metal aside piece by piece, in one transaction, and make its billets.

    Raises:
        PlanningError: it is short of metal, or was confirmed or replaced before.
        RackChanged: a piece it uses, or a seat it is for, has changed since.
        NotEnough: a piece has less free than the plan takes.
    """
    held = PlanRun.objects.select_for_update(of=("self",)).get(pk=run.pk)
    forge_class = ForgeClass.objects.select_for_update(of=("self",)).get(pk=held.forge_class_id)
    plan = CutPlan.from_json(held.result)
    refuse_unready(held, plan=plan, forge_class=forge_class)
    hold({piece.piece_id for piece in planned(plan)})
    if metal.rack_print(plan=plan, facts=metal.facts(forge_class)) != held.rack_print:
        raise RackChanged(
            "Metal was cut or promised, or a seat changed, since this plan was made. "
            "Make the plan again."
        )
    let_go(forge_class)
    billets = {seat.pk: billet_for(seat, by=by) for seat in chosen_seats(forge_class, plan)}
    blanks = blanks_of(billets)
    rows = set_asides.set_aside(
        plan=forge_class.plan_key,
        promises=promises_of(plan, blanks=blanks, plan_key=forge_class.plan_key),
        by=by,
    )
    tie_blanks(rows, plan=plan, blanks=blanks)
    forge_class.runs.filter(state=PlanRun.State.CONFIRMED).update(state=PlanRun.State.STALE)
    reopen_plan(forge_class)
    held.state = PlanRun.State.CONFIRMED
    held.save(update_fields=["state"])
    forge_class.state = ForgeClass.State.PLANNED
    forge_class.save(update_fields=["state"])
    return list(billets.values())


def refuse_unready(run: PlanRun, *, plan: CutPlan, forge_class: ForgeClass) -> None:
    """Only a ready, whole plan of a class that is on may be confirmed."""
    if not forge_class.is_standing:
        raise PlanningError(f"{forge_class} is {forge_class.get_state_display()}; it has no plan.")
    if run.state == PlanRun.State.CONFIRMED:
        raise AlreadyConfirmed("This plan is confirmed already; its metal is set aside.")
    if run.state != PlanRun.State.READY:
        raise PlanningError(f"This plan is {run.get_state_display()}. Make the plan again.")
    if not plan.is_whole or not plan.seats:
        raise PlanningError("This plan is short of metal. Plan the billets that fit, or buy first.")


def chosen_seats(forge_class: ForgeClass, plan: CutPlan) -> list[Seat]:
    """The seats that a plan is for, as they are now."""
    return [seat for seat in forge_class.seats.active().with_metal() if seat.pk in plan.seats]


def billet_for(seat: Seat, *, by: Person) -> Billet:
    """The seat's billet, made now if it has none; one that there is keeps its design."""
    if seat.billet is None:
        seat.billet = history.make_billet(
            layup=seat.layup_used, by=by, design=seat.asked_design(), knife=seat.knife
        )
        seat.save(update_fields=["billet"])
    return seat.billet


@transaction.atomic
def free_plan(*, forge_class: ForgeClass) -> int:
    """Cancel the plan but not the class: all that stands is freed; billets stay as they are."""
    held = ForgeClass.objects.select_for_update(of=("self",)).get(pk=forge_class.pk)
    count = let_go(held, is_all=True)
    reopen_plan(held)
    held.runs.filter(state=PlanRun.State.CONFIRMED).update(state=PlanRun.State.STALE)
    if held.state == ForgeClass.State.PLANNED:
        held.state = ForgeClass.State.OPEN
        held.save(update_fields=["state"])
    return count


def put_out_of_date(*, run: PlanRun) -> None:
    """A plan that can no longer be confirmed is to be made again."""
    PlanRun.objects.filter(pk=run.pk, state=PlanRun.State.READY).update(state=PlanRun.State.STALE)


def reopen_plan(forge_class: ForgeClass) -> None:
    """Something is to be planned again; plans that were not confirmed are out of date."""
    forge_class.runs.filter(state=PlanRun.State.READY).update(state=PlanRun.State.STALE)


def unplanned_count(forge_class: ForgeClass) -> int:
    """Blanks of the class that have no metal yet."""
    return sum(unplanned_of(seat) for seat in forge_class.seats.active().with_metal())


def unplanned_of(seat: Seat) -> int:
    """Blanks of one seat that have no metal yet; a failed billet wants none."""
    if seat.has_failed:
        return 0
    blanks = seat.blanks_by_position()
    tied = sum(1 for blank in blanks.values() if blank.has_metal)
    return len(seat.design().layers) - tied
