"""A class becomes billets and metal set aside: computed, shown, then confirmed in one go.

The only writer of plans. Computing writes nothing but its own run; confirming frees what the
class had standing, makes the billets, and sets all metal aside in one transaction, or none.

PlanningError
├── NothingToPlan   no seat, or everything is cut already
├── Unsound         a layup has a stop that the owner has not answered for
└── RackChanged     the metal is not what it was when the plan was made
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import Any

from django.db import transaction
from django.utils import timezone

from billets import layup as stack
from billets import workshop
from billets.models import Billet, Blank
from shop import rack
from shop.cutplan import CutPlan, PlannedPiece
from shop.laying_out import Solvers, laid_out, seats_that_fit
from shop.models import ForgeClass, PlanRun, Seat
from stock import ledger, promises
from stock.house import House
from stock.models import SetAside, alloy_book
from stock.promises import Promise


class PlanningError(ValueError):
    """The class cannot be planned; nothing was set aside."""


class NothingToPlan(PlanningError):
    """No seat, or everything is cut already."""


class Unsound(PlanningError):
    """A layup has a stop that the owner has not answered for."""


class RackChanged(PlanningError):
    """The metal is not what it was when the plan was made."""


def refuse_unsound(seats: Sequence[Seat], *, house: House) -> None:
    """Every layup must be free of stops, or carry the owner's written reason."""
    alloys, rules = alloy_book(), stack.rules_of(house)
    for seat in seats:
        layup = seat.layup_used
        if layup.override_reason:
            continue
        found = stack.findings(rack.seat_design(seat), alloys=alloys, rules=rules)
        stops = [one for one in found if one.level == "stop"]
        if stops:
            raise Unsound(
                f"{layup.name} cannot be planned. {stops[0].sentence(house.system)} "
                "Mend the layup, or let the owner write down why it is made all the same."
            )


def computed(
    *, forge_class: ForgeClass, house: House, solvers: Solvers, only_fitting: bool = False
) -> CutPlan:
    """The cut plan of all that is not cut yet; writes nothing.

    Raises:
        NothingToPlan: there is no seat, or no blank left to cut.
        Unsound: a layup has an unanswered stop.
    """
    seats = rack.active_seats(forge_class)
    if not seats:
        raise NothingToPlan("This class has no seats yet. Add students or spares first.")
    refuse_unsound(seats, house=house)
    needs = rack.needs_of(seats)
    if not needs:
        raise NothingToPlan("Every blank of this class is cut already; there is nothing to plan.")
    pieces = rack.free_pieces(
        plan=forge_class.plan_key, house=house, alloys={need.alloy for need in needs}
    )
    kerf = rack.kerf_nm()
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
    return CutPlan(parts=fitting.parts, seats=fits, left_out=left_out, short=())


def finish_run(*, run: PlanRun, plan: CutPlan) -> None:
    """Keep a computed plan for the page that shows it."""
    run.result = plan.to_json()
    run.state = PlanRun.State.READY
    run.rack_print = rack.rack_print(plan=plan, plan_key=run.forge_class.plan_key)
    run.ended_at = timezone.now()
    run.save()


@transaction.atomic
def confirm(*, run: PlanRun, by: Any) -> list[Billet]:
    """Set a plan's metal aside piece by piece, in one transaction, and make its billets.

    Raises:
        PlanningError: it is short of metal, or was confirmed or replaced before.
        RackChanged: a piece it uses has changed since; the run is marked out of date.
        NotEnough: a piece has less free than the plan takes.
    """
    held = PlanRun.objects.select_for_update().get(pk=run.pk)
    forge_class = ForgeClass.objects.select_for_update().get(pk=held.forge_class_id)
    plan = CutPlan.from_json(held.result)
    if held.state != PlanRun.State.READY:
        raise PlanningError(f"This plan is {held.get_state_display()}. Make the plan again.")
    if not plan.is_whole or not plan.seats:
        raise PlanningError("This plan is short of metal. Plan the billets that fit, or buy first.")
    if rack.rack_print(plan=plan, plan_key=forge_class.plan_key) != held.rack_print:
        raise RackChanged("Metal was cut or promised since this plan was made. Make it again.")
    let_go(forge_class)
    billets = {seat.pk: billet_for(seat, by=by) for seat in chosen_seats(forge_class, plan)}
    blanks = blanks_of(billets)
    rows = promises.set_aside(
        plan=forge_class.plan_key,
        promises=promises_of(plan, blanks=blanks, plan_key=forge_class.plan_key),
        by=by,
    )
    tie_blanks(
        rows, order=[cut.need for piece in planned(plan) for cut in piece.cuts], blanks=blanks
    )
    held.state = PlanRun.State.CONFIRMED
    held.save(update_fields=["state"])
    forge_class.runs.filter(state=PlanRun.State.READY).update(state=PlanRun.State.STALE)
    forge_class.state = ForgeClass.State.PLANNED
    forge_class.save(update_fields=["state"])
    return list(billets.values())


def planned(plan: CutPlan) -> list[PlannedPiece]:
    """All planned pieces of a plan, in order."""
    return [piece for part in plan.parts for piece in part.pieces]


def let_go(forge_class: ForgeClass, *, jobs: Collection[str] | None = None) -> None:
    """Free what stands for a class, but for what is fixed on part-cut sheets."""
    rows = SetAside.objects.filter(
        plan=forge_class.plan_key, state=SetAside.State.STANDING
    ).select_related("piece__material")
    free = [row.pk for row in rows if not rack.is_fixed(row) and (jobs is None or row.job in jobs)]
    promises.free(ids=free)
    Blank.objects.filter(set_aside_id__in=free).update(set_aside=None)


def chosen_seats(forge_class: ForgeClass, plan: CutPlan) -> list[Seat]:
    """The seats that a plan is for, as they are now."""
    return [seat for seat in rack.active_seats(forge_class) if seat.pk in plan.seats]


def billet_for(seat: Seat, *, by: Any) -> Billet:
    """The seat's billet; made now if it has none, redesigned if nothing of it is cut."""
    design = rack.seat_design(seat)
    if seat.billet is None:
        seat.billet = workshop.make_billet(
            layup=seat.layup_used, by=by, design=design, knife=seat.knife
        )
        seat.save(update_fields=["billet"])
    elif seat.billet.design_json != design.to_json():
        workshop.redesign(
            billet=seat.billet, layup=seat.layup_used, design=design, knife=seat.knife, by=by
        )
    return seat.billet


def blanks_of(billets: dict[int, Billet]) -> dict[str, Blank]:
    """Blanks by the name that plans give them."""
    return {
        f"{seat_id}/{blank.position}": blank
        for seat_id, billet in billets.items()
        for blank in billet.blanks.all()
    }


def promises_of(plan: CutPlan, *, blanks: dict[str, Blank], plan_key: str) -> list[Promise]:
    """A plan as promises: blanks first, in order, each with its strip before it."""
    rows: list[Promise] = []
    for piece in planned(plan):
        parent = None
        if piece.strip_nm:
            parent = len(rows)
            rows.append(
                Promise(
                    piece_id=piece.piece_id, kind=SetAside.Kind.STRIP, amount=piece.strip_nm,
                    job=plan_key, position=0, length_nm=piece.strip_nm, width_nm=piece.width_nm,
                    label=f"strip off {piece.mark}",
                )
            )  # fmt: skip
        on_strip = parent is not None
        for number, cut in enumerate(piece.cuts, start=1):
            blank = blanks[cut.need]
            rows.append(
                Promise(
                    piece_id=piece.piece_id, kind=SetAside.Kind.BLANK,
                    amount=0 if on_strip else cut.amount, job=blank.billet.job, position=number,
                    label=f"{blank.billet.mark}-{blank.position + 1}",
                    kerf_nm=cut.amount - cut.length_nm if piece.form == "flat" else 0,
                    length_nm=cut.length_nm, width_nm=cut.width_nm, x_nm=cut.x_nm,
                    y_nm=cut.y_nm, parent=parent,
                )
            )  # fmt: skip
        for number, rest in enumerate(piece.rests, start=len(piece.cuts) + 1):
            rows.append(
                Promise(
                    piece_id=piece.piece_id, kind=SetAside.Kind.REST,
                    amount=0 if on_strip else rest.amount, job=plan_key, position=number,
                    label="offcut" if rest.is_kept else "scrap", length_nm=rest.length_nm,
                    width_nm=rest.width_nm, x_nm=rest.x_nm, y_nm=rest.y_nm,
                    is_kept=rest.is_kept, parent=parent,
                )
            )  # fmt: skip
    return rows


def tie_blanks(rows: Sequence[SetAside], *, order: Sequence[str], blanks: dict[str, Blank]) -> None:
    """Let each blank know its set-aside; both come in the same order."""
    cuts = [row for row in rows if row.kind == SetAside.Kind.BLANK]
    for row, need in zip(cuts, order, strict=True):
        blanks[need].set_aside = row
        blanks[need].save(update_fields=["set_aside"])


@transaction.atomic
def cancel_class(*, forge_class: ForgeClass) -> None:
    """Cancel a class: all that stands is freed; billets without a cut are withdrawn."""
    held = ForgeClass.objects.select_for_update().get(pk=forge_class.pk)
    promises.free(plan=held.plan_key)
    seats = list(held.seats.exclude(billet=None).select_related("billet"))
    Blank.objects.filter(billet__seat__in=seats, set_aside__state=SetAside.State.FREED).update(
        set_aside=None
    )
    workshop.withdraw(billets=[seat.billet for seat in seats if seat.billet and is_uncut(seat)])
    held.state = ForgeClass.State.CANCELLED
    held.save(update_fields=["state"])


def is_uncut(seat: Seat) -> bool:
    """Whether no blank of a seat's billet is cut."""
    return not any(blank.is_cut for blank in rack.blanks_by_position(seat).values())


@transaction.atomic
def change_seat(*, seat: Seat, changes: dict[str, Any]) -> Seat:
    """Change a seat; metal it no longer needs is freed, to be planned again.

    Raises:
        PlanningError: its billet would change and a blank of it is cut already.
    """
    held = Seat.objects.select_for_update(of=("self",)).get(pk=seat.pk)
    before = rack.seat_design(held)
    for name, value in changes.items():
        setattr(held, name, value)
    held.save(update_fields=list(changes))
    held = Seat.objects.select_related("layup", "forge_class__layup", "billet").get(pk=held.pk)
    if held.billet is None:
        return held
    if "knife" in changes and held.billet.knife != held.knife:
        held.billet.knife = held.knife
        held.billet.save(update_fields=["knife"])
    if rack.seat_design(held) == before:
        return held
    if not is_uncut(held):
        raise PlanningError(
            f"Blanks of {held.billet.mark} are cut already. Undo those cuts on the cut list first, "
            "then change the seat."
        )
    let_go(held.forge_class, jobs=[held.billet.job])
    reopen_plan(held.forge_class)
    return held


@transaction.atomic
def cancel_seat(*, seat: Seat) -> None:
    """Take a seat out; an uncut billet is withdrawn and its metal freed, a begun one is a spare."""
    held = Seat.objects.select_for_update(of=("self",)).select_related("billet").get(pk=seat.pk)
    if held.billet is not None and is_uncut(held):
        let_go(held.forge_class, jobs=[held.billet.job])
        workshop.withdraw(billets=[held.billet])
    elif held.billet is not None:
        held.is_spare, held.student, held.email = True, "", ""
        held.save(update_fields=["is_spare", "student", "email"])
        return
    held.is_cancelled = True
    held.save(update_fields=["is_cancelled"])


def reopen_plan(forge_class: ForgeClass) -> None:
    """Something is to be planned again; plans that were not confirmed are out of date."""
    forge_class.runs.filter(state=PlanRun.State.READY).update(state=PlanRun.State.STALE)


def unplanned_count(forge_class: ForgeClass) -> int:
    """Blanks of the class that have no metal yet."""
    missing = 0
    for seat in rack.active_seats(forge_class):
        blanks = rack.blanks_by_position(seat)
        layers = len(rack.seat_design(seat).layers)
        missing += layers - sum(1 for blank in blanks.values() if blank.set_aside_id is not None)
    return missing


def undo_tick(*, set_aside: SetAside, by: Any) -> None:
    """Take a tick on the cut list back; it stands again, or is freed if its class is off."""
    entry = set_aside.entries.filter(corrects=None, corrected_by=None).first()
    if entry is None:
        raise PlanningError("This cut is not ticked.")
    key = set_aside.plan.removeprefix("class:")
    is_on = ForgeClass.objects.filter(pk=key).exclude(state=ForgeClass.State.CANCELLED).exists()
    ledger.undo(act=entry.act, by=by, why="tick undone", restand=is_on)
