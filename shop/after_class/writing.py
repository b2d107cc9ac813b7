"""What came of a class: sizes, heats and outcomes written down from the sheets, in one go.

Billets go through their stages by `billets.history.writing`, each stage that was passed recorded by
itself; wire for a seam is booked by estimate as it is at the bench.

OutcomeRefused   one billet's row cannot be; nothing of the form was written
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from django.db import transaction

from billets.forging.calibration import Measured, Question, question_about
from billets.forging.drawout import Block
from billets.forging.forecast import stack_block
from billets.history import writing as history
from billets.layup import seam
from billets.models import Billet, Measurement, StepKind
from shop.classes.reading import stages_of
from shop.models import ClassTerms, ForgeClass
from shop.planning import set_aside_writing as set_asides
from shop.planning import writing as planning
from shop.planning.writing import PlanningError
from stock.house import House
from stock.models import Piece, SetAside, alloy_book
from stock.who import Person

NM_PER_MM = 1_000_000
NOTE = "from the class's sheets"
ENDS = (StepKind.FINISHED, StepKind.FAILED)


@dataclass(frozen=True)
class Size:
    """A billet as it was measured."""

    length_nm: int
    width_nm: int
    thickness_nm: int
    heats: int | None = None
    is_confirmed: bool = False  # strange, and all the same so


@dataclass(frozen=True)
class Outcome:
    """One row of the form; empty parts leave things as they are."""

    billet: Billet
    reached: str = ""  # a stage
    cause: str = ""  # of a failure
    note: str = ""
    size: Size | None = None


class OutcomeRefused(PlanningError):
    """One billet's row cannot be; nothing was written."""

    def __init__(self, billet: Billet, sentence: str) -> None:
        self.billet = billet
        super().__init__(sentence)


def question(billet: Billet, size: Size) -> Question | None:
    """What is strange about a size; none when volume allows it."""
    return question_about(measured(billet, size))


def kept_share(billet: Billet, size: Size | Measurement) -> float | None:
    """The share of the stack's volume that a size still has; none if it cannot be true."""
    share = measured(billet, size).kept_ratio
    return share if share <= 1 else None


def measured(billet: Billet, size: Size | Measurement) -> Measured:
    """A billet's stack and its size, as the metalwork compares them."""
    finish = Block(
        length_mm=size.length_nm / NM_PER_MM,
        width_mm=size.width_nm / NM_PER_MM,
        thickness_mm=size.thickness_nm / NM_PER_MM,
    )
    return Measured(billet.mark, stack_block(billet.design()), size.heats or 0, finish)


@transaction.atomic
def record_outcomes(
    *,
    forge_class: ForgeClass,
    outcomes: Sequence[Outcome],
    house: House,
    by: Person,
    spool: Piece | None = None,
) -> int:
    """Write down all rows or none; tells how many said something.

    Args:
        forge_class: the class; it counts as held once each of its billets has ended.
        outcomes: one a billet; an empty one changes nothing.
        house: for the sentences and the wire of the seams.
        by: who typed them.
        spool: where wire is taken from for seams not booked yet; none books none.

    Raises:
        OutcomeRefused: a stage cannot follow, a cause is missing, or a size is strange.
        LedgerError: the spool has less wire than that.
    """
    written = 0
    for one in outcomes:
        try:
            written += record_outcome(one, house=house, by=by, spool=spool)
        except history.WorkshopError as error:
            raise OutcomeRefused(one.billet, str(error)) from error
    hold_if_ended(forge_class)
    return written


def record_outcome(one: Outcome, *, house: House, by: Person, spool: Piece | None) -> bool:
    """One billet; whether its row said anything."""
    if one.size is not None:
        strange = question(one.billet, one.size)
        history.record_size(
            billet=one.billet,
            length_nm=one.size.length_nm,
            width_nm=one.size.width_nm,
            thickness_nm=one.size.thickness_nm,
            heats=one.size.heats,
            is_confirmed=one.size.is_confirmed,
            question=strange.sentence(house.system) if strange else "",
            note=one.note or NOTE,
            by=by,
        )
    if one.reached == StepKind.FAILED:
        history.record_step(
            billet=one.billet, kind=StepKind.FAILED, cause=one.cause, note=one.note, by=by
        )
    elif one.reached:
        walk_to(one, house=house, by=by, spool=spool)
    return bool(one.size or one.reached)


def walk_to(one: Outcome, *, house: House, by: Person, spool: Piece | None) -> None:
    """Record each stage up to the one reached; the note goes with the last."""
    reached = history.ORDER.index(StepKind(history.stage(one.billet)))
    target = history.ORDER.index(StepKind(one.reached))
    if target <= reached:
        raise history.OutOfOrder(
            f"{one.billet.mark} is {history.ORDER[reached].label} already. "
            "To take a step back, undo it on the billet's own page."
        )
    for kind in history.ORDER[reached + 1 : target + 1]:
        is_welding = kind == StepKind.WELDED and spool is not None
        wire_ug = 0
        if is_welding:
            wire_ug = seam.wire_ug(one.billet.design(), house=house, alloys=alloy_book())
        history.record_step(
            billet=one.billet,
            kind=kind,
            by=by,
            note=one.note if kind == one.reached else NOTE,
            spool=spool if is_welding else None,
            wire_ug=wire_ug,
        )


def hold_if_ended(forge_class: ForgeClass) -> None:
    """The class is held once every billet of it is finished or failed."""
    if has_ended(forge_class):
        hold_class(forge_class=forge_class)


def has_ended(forge_class: ForgeClass) -> bool:
    """Whether every seat has a billet that is finished or failed."""
    seats = list(forge_class.seats.active().with_metal())
    stages = stages_of([seat.billet for seat in seats if seat.billet])
    is_whole = bool(stages) and len(stages) == len(seats)
    return is_whole and all(stage in ENDS for stage in stages.values())


@transaction.atomic
def hold_class(*, forge_class: ForgeClass, today: date | None = None) -> int:
    """The class is over: metal that is set aside for it and not cut is free again.

    Args:
        forge_class: the class.
        today: the day it is, for a class that may not have begun; left out where all of its
            billets have ended.

    Returns:
        How many cuts were freed.

    Raises:
        PlanningError: it was cancelled, or has not begun.
    """
    held = ForgeClass.objects.select_for_update(of=("self",)).get(pk=forge_class.pk)
    if held.state == ForgeClass.State.CANCELLED:
        raise PlanningError(f"{held} was cancelled, so it cannot have been held.")
    if today and today < held.starts_on:
        raise PlanningError(f"{held} begins on {held.starts_on:%Y-%m-%d}; it is not over yet.")
    freed = planning.let_go(held, is_all=True, why=SetAside.Freed.OVER)
    planning.reopen_plan(held)
    held.state = ForgeClass.State.HELD
    held.save(update_fields=["state"])
    return freed


@dataclass(frozen=True)
class Reopened:
    """What came back with a class that is not over after all."""

    set_aside: int  # cuts that stand again
    unplanned: int  # blanks without metal
    is_ended: bool  # whether each of its billets has ended all the same


@transaction.atomic
def reopen_class(*, forge_class: ForgeClass) -> Reopened:
    """Take back that a class is over; metal that this freed is set aside again where it is free.

    Raises:
        PlanningError: it is not over, or its real costs are written down.
    """
    held = ForgeClass.objects.select_for_update(of=("self",)).get(pk=forge_class.pk)
    if held.state != ForgeClass.State.HELD:
        raise PlanningError(f"{held} is {held.get_state_display()}, so there is nothing to undo.")
    if ClassTerms.objects.filter(forge_class=held).exclude(real={}).exists():
        raise PlanningError(
            f"What {held} really cost is written down. Empty those fields on its money page "
            "first, then undo that it is over."
        )
    count = set_asides.take_back(held)
    planning.reopen_plan(held)
    unplanned = planning.unplanned_count(held)
    has_billets = held.seats.active().exclude(billet=None).exists()
    is_planned = has_billets and unplanned == 0
    held.state = ForgeClass.State.PLANNED if is_planned else ForgeClass.State.OPEN
    held.save(update_fields=["state"])
    return Reopened(count, unplanned, is_ended=has_ended(held))
