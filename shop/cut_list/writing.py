"""The cut list worked off: each tick books metal, and the last one of a billet makes it "cut".

The only writer here is the ledger (`stock.ledger.set_asides`, `stock.ledger.by_hand`) and a
billet's history (`billets.history.writing`); this joins the two in one transaction.
"""

from __future__ import annotations

import uuid

from django.db import transaction

from billets.history import writing as history
from billets.models import Billet, Blank, StepKind
from shop.models import ForgeClass
from shop.planning import writing as planning
from stock.ledger import by_hand, set_asides
from stock.ledger.refusals import NotStanding
from stock.models import Piece, SetAside
from stock.who import Person


class CutError(planning.PlanningError):
    """The cut list refuses; nothing was written."""


@transaction.atomic
def tick_cut(*, set_aside: SetAside, by: Person) -> uuid.UUID:
    """Book one cut as done; a billet whose blanks are then all cut reaches that stage.

    Raises:
        NotStanding: it is cut or freed already.
        LedgerError: its strip is still on the roll.
    """
    act = set_asides.tick(set_aside=set_aside, by=by)
    billet = billet_of(set_aside)
    if billet is not None and is_just_cut(billet):
        history.record_step(billet=billet, kind=StepKind.CUT, by=by, note="by the cut list")
    return act


def billet_of(set_aside: SetAside) -> Billet | None:
    """The billet that a cut is for; none for strips and rests."""
    blank = Blank.objects.filter(set_aside=set_aside).select_related("billet").first()
    return blank.billet if blank else None


def is_just_cut(billet: Billet) -> bool:
    """Whether the ledger has each blank of a billet cut, and its history does not say so yet."""
    blanks = billet.blanks.select_related("set_aside")
    is_all_cut = all(blank.is_cut for blank in blanks)
    return is_all_cut and history.stage(billet) == StepKind.PLANNED


@transaction.atomic
def undo_tick(*, set_aside: SetAside, by: Person) -> None:
    """Take a tick back; the cut stands again, or is freed if its class is off.

    Raises:
        CutError: it is not ticked, or its billet has gone further since.
        CannotUndo: what came of it was cut, counted or set aside since.
    """
    entry = set_aside.entries.filter(corrects=None, corrected_by=None).first()
    if entry is None:
        raise CutError("This cut is not ticked. Reload the page to see where it stands.")
    billet = billet_of(set_aside)
    if billet is not None and not billet.is_withdrawn:
        take_cut_stage_back(billet, by=by)
    is_on = is_standing(set_aside.plan)
    by_hand.undo(act=entry.act, by=by, why="tick undone", restand=is_on)
    if not is_on:
        Blank.objects.filter(set_aside=set_aside).update(set_aside=None)


def take_cut_stage_back(billet: Billet, *, by: Person) -> None:
    """A billet is no longer all cut; one that was cleaned or welded since stays as it is."""
    reached = history.stage(billet)
    if reached == StepKind.CUT:
        history.undo_step(billet=billet, by=by)
    elif reached != StepKind.PLANNED:
        raise CutError(
            f"{billet.mark} is {StepKind(reached).label} already. Take back its steps first, "
            "then this cut."
        )


def is_standing(plan_key: str) -> bool:
    """Whether the class that a plan is for is still on."""
    key = plan_key.removeprefix("class:")
    return (
        key.isdigit()
        and ForgeClass.objects.filter(pk=key).exclude(state=ForgeClass.State.CANCELLED).exists()
    )


@transaction.atomic
def let_piece_go(*, forge_class: ForgeClass, piece: Piece) -> int:
    """A piece is not what the plan says: free what the class has standing on it.

    The piece can then be counted or scrapped, and the class planned again.
    """
    rows = SetAside.objects.filter(
        plan=forge_class.plan_key, piece=piece, state=SetAside.State.STANDING
    )
    count = planning.free_rows(list(rows.values_list("pk", flat=True)))
    planning.reopen_plan(forge_class)
    return count


__all__ = ["CutError", "NotStanding", "let_piece_go", "tick_cut", "undo_tick"]
