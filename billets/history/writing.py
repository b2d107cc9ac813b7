"""The only writer of a billet's history: made, steps, heats, sizes.

Each function is one transaction; a mistake is put right by a second record. Filler wire is
booked from the spool when a billet is welded shut, by estimate.

WorkshopError
├── OutOfOrder    a step that cannot follow the last one
├── HeatTaken     somebody wrote this heat down meanwhile; tell who, add another if asked
├── NothingToUndo
└── Strange       a size that volume does not allow; ask, keep if confirmed
"""

from __future__ import annotations

from collections.abc import Sequence

from django.db import transaction
from django.db.models import Max
from django.utils import timezone

from billets.history.stages import ORDER as ORDER
from billets.history.stages import next_stages as next_stages
from billets.history.stages import stage as stage
from billets.history.stages import standing_steps as standing_steps
from billets.hours import writing as hours
from billets.layup import design as layup_design
from billets.models import (
    Billet,
    Blank,
    Cause,
    Heat,
    Layup,
    Measurement,
    Step,
    StepKind,
    Work,
    WorkTime,
)
from stock import clock
from stock.ledger import by_hand, marks, set_asides
from stock.models import Piece, SetAside
from stock.who import Person


def hold_metal(billet: Billet) -> None:
    """Lock a billet's pieces before the billet itself, as a tick of its cuts does."""
    set_asides.hold_job(job=billet.job)


def let_metal_go(billet: Billet) -> int:
    """Free what is set aside for it and not cut; tells how many blanks."""
    return set_asides.free_job(job=billet.job)


def take_metal_back(billet: Billet) -> str:
    """Set aside again what was freed, where it is still free; says in words what came of it."""
    freed = [blank for blank in uncut(billet) if blank.set_aside_id and not blank.has_metal]
    stood = set_asides.stand_again(ids={blank.set_aside_id or 0 for blank in freed})
    lost = [blank for blank in freed if blank.set_aside_id not in stood]
    Blank.objects.filter(pk__in=[blank.pk for blank in lost]).update(set_aside=None)
    return words(again=len(stood), bare=[blank for blank in uncut(billet) if not blank.has_metal])


def uncut(billet: Billet) -> list[Blank]:
    """Its blanks that are not cut, from the bottom up."""
    rows = billet.blanks.select_related("set_aside").order_by("position")
    return [blank for blank in rows if not blank.is_cut]


def words(*, again: int, bare: Sequence[Blank]) -> str:
    """What stands set aside again, and which layers must be planned anew."""
    told = []
    if again:
        told.append(f"{again} {'blank is' if again == 1 else 'blanks are'} set aside again.")
    if len(bare) == 1:
        number = bare[0].position + 1
        told.append(f"Layer {number} has no metal set aside now; plan it again.")
    elif bare:
        *layers, last = [str(blank.position + 1) for blank in bare]
        named = f"{', '.join(layers)} and {last}"
        told.append(f"Layers {named} have no metal set aside now; plan them again.")
    return " ".join(told)


def freed_words(billet: Billet) -> str:
    """What its failure freed, in a sentence to follow another; empty where everything was cut."""
    count = billet.blanks.filter(set_aside__state=SetAside.State.FREED).count()
    if count == 0:
        return ""
    blanks = "1 blank that was" if count == 1 else f"{count} blanks that were"
    return f" The metal of {blanks} not cut is free again."


def undone_words(billet: Billet) -> str:
    """What the last undoing said of its metal; empty where there was nothing to say."""
    last = billet.steps.exclude(undoes=None).order_by("-id").first()
    return last.note if last else ""


def freed_cuts(billet: Billet) -> list[SetAside]:
    """Cuts of it that were set aside once and let go, the latest first, with when and why."""
    rows = SetAside.objects.filter(job=billet.job, state=SetAside.State.FREED)
    rows = rows.filter(kind=SetAside.Kind.BLANK).exclude(freed_at=None)
    return list(rows.select_related("piece").order_by("-freed_at", "label"))


class WorkshopError(ValueError):
    """The history refuses; nothing was written."""


class OutOfOrder(WorkshopError):
    """A step that cannot follow the last one."""


class HeatTaken(WorkshopError):
    """A heat of this number was written down meanwhile, perhaps by somebody else."""

    def __init__(self, taken: Heat, *, following: int) -> None:
        self.taken, self.following = taken, following
        super().__init__(
            f"Heat {taken.number} is written down already: {taken.get_work_display()}, by "
            f"{taken.by} at {timezone.localtime(taken.at):%H:%M}. If yours was another trip to "
            f"the fire, press once more: it becomes heat {following}."
        )


class NothingToUndo(WorkshopError):
    """No step is left to take back."""


class Strange(WorkshopError):
    """A size that the billet's metal does not allow."""


def next_billet_mark() -> str:
    """A mark that no billet has."""
    number = (Billet.objects.aggregate(top=Max("id"))["top"] or 0) + 1
    mark = marks.billet_mark(number)
    while Billet.objects.filter(mark=mark).exists():
        number += 1
        mark = marks.billet_mark(number)
    return mark


@transaction.atomic
def make_billet(
    *,
    layup: Layup,
    by: Person,
    design: layup_design.Design | None = None,
    knife: str = "",
    note: str = "",
) -> Billet:
    """A billet from a layup: its design is copied, its blanks are written down uncut."""
    used = design or layup.design()
    now = clock.now()
    billet = Billet.objects.create(
        mark=next_billet_mark(),
        layup=layup,
        layup_name=layup.name,
        design_json=used.to_json(),
        override_reason=layup.override_reason,
        bar_folds=layup.bar_folds,
        knife=knife,
        note=note,
        made_at=now,
        by=by,
    )
    write_blanks(billet, layup=layup, design=used)
    Step.objects.create(billet=billet, kind=StepKind.PLANNED, by=by, at=now)
    return billet


@transaction.atomic
def redesign(*, billet: Billet, layup: Layup, design: layup_design.Design, knife: str) -> Billet:
    """Give a billet another design while none of its blanks is cut; its blanks are made anew.

    Raises:
        OutOfOrder: a blank is cut already.
    """
    cut = [blank for blank in billet.blanks.select_related("set_aside") if blank.is_cut]
    if cut:
        raise OutOfOrder(
            f"{len(cut)} blanks of {billet.mark} are cut already. Undo these cuts first."
        )
    billet.blanks.all().delete()
    billet.layup, billet.layup_name, billet.knife = layup, layup.name, knife
    billet.design_json = design.to_json()
    billet.override_reason, billet.bar_folds = layup.override_reason, layup.bar_folds
    billet.save()
    write_blanks(billet, layup=layup, design=design)
    return billet


def write_blanks(billet: Billet, *, layup: Layup, design: layup_design.Design) -> None:
    """One uncut blank a layer, from the bottom up."""
    materials = {row.position: row.material_id for row in layup.layers.all()}
    Blank.objects.bulk_create(
        Blank(
            billet=billet,
            position=position,
            alloy=layer.alloy,
            role=layer.role,
            thickness_nm=layer.thickness_nm,
            width_nm=design.blank_width_nm,
            length_nm=design.blank_length_nm + design.cut_allowance_nm,
            material_id=materials.get(position),
        )
        for position, layer in enumerate(design.layers)
    )


@transaction.atomic
def record_step(
    *,
    billet: Billet,
    kind: str,
    by: Person,
    cause: str = "",
    note: str = "",
    spool: Piece | None = None,
    wire_ug: int = 0,
) -> Step:
    """Record the next stage; welding takes wire off a spool, a failure frees what is not cut.

    Raises:
        OutOfOrder: the stage cannot follow the one reached, or a failure has no cause.
        LedgerError: the spool has less wire than that.
    """
    if kind == StepKind.FAILED:
        hold_metal(billet)
    held = Billet.objects.select_for_update().get(pk=billet.pk)
    allowed = next_stages(held)
    if kind not in allowed:
        reached = StepKind(stage(held)).label
        then = " or ".join(StepKind(name).label for name in allowed) or "nothing more"
        raise OutOfOrder(f"{held.mark} is {reached}; after that comes {then}.")
    if kind == StepKind.FAILED and cause not in Cause.values:
        raise OutOfOrder("Say what went wrong: choose a cause from the list.")
    if kind == StepKind.CUT:
        refuse_uncut(held)
    if kind == StepKind.FAILED:
        let_metal_go(held)
    step = Step.objects.create(
        billet=held, kind=kind, cause=cause, note=note, by=by, at=clock.now()
    )
    if kind == StepKind.FAILED:
        hours.leave(billet=held)
    if kind == StepKind.WELDED and spool is not None and wire_ug > 0:
        act = by_hand.use(piece=spool, amount=wire_ug, job=held.job, by=by, why="seams, estimated")
        step.wire_act = act
        step.save(update_fields=["wire_act"])
    return step


def refuse_uncut(billet: Billet) -> None:
    """A billet is cut only when the ledger has each planned blank of it cut."""
    waiting = [
        blank
        for blank in billet.blanks.select_related("set_aside")
        if blank.has_metal and not blank.is_cut
    ]
    if waiting:
        raise OutOfOrder(
            f"{len(waiting)} blanks of {billet.mark} are not ticked on the cut list yet."
        )


@transaction.atomic
def undo_step(*, billet: Billet, by: Person) -> Step:
    """Take the last stage back by a second record; wire booked with it goes back too.

    The record of a failure taken back says what stands set aside again, and what does not.
    """
    hold_metal(billet)
    held = Billet.objects.select_for_update().get(pk=billet.pk)
    steps = standing_steps(held)
    if len(steps) < 2:
        raise NothingToUndo(f"{held.mark} is only planned; there is no step to undo.")
    last = steps[-1]
    if last.wire_act is not None:
        by_hand.undo(act=last.wire_act, by=by, why=f"step of {held.mark} undone")
    hours.strike_with(stage=last, by=by)
    told = take_metal_back(held) if last.kind == StepKind.FAILED else ""
    return Step.objects.create(
        billet=held, kind=last.kind, undoes=last, note=told, by=by, at=clock.now()
    )


def last_heat(billet: Billet) -> Heat | None:
    """The latest heat that stands."""
    return billet.heats.filter(struck_at=None).order_by("number", "id").last()


def next_heat_number(billet: Billet) -> int:
    """The number that the next heat will have."""
    last = last_heat(billet)
    return last.number + 1 if last else 1


@transaction.atomic
def log_heat(
    *,
    billet: Billet,
    by: Person,
    number: int | None = None,
    work: str = Work.DRAW,
    temperature_mdegc: int | None = None,
    seconds: int | None = None,
    thickness_nm: int | None = None,
    note: str = "",
    is_confirmed: bool = False,
    question: str = "",
) -> Heat:
    """Write down one heat; its number follows the last one that stands.

    Args:
        number: which heat it is meant to be; None where nobody was told a number.

    Raises:
        Strange: `question` says what is strange about it, and it was not confirmed.
        HeatTaken: a heat of that number stands already.
    """
    if question and not is_confirmed:
        raise Strange(question)
    held = Billet.objects.select_for_update().get(pk=billet.pk)
    last = last_heat(held)
    top = last.number if last else 0
    if last is not None and number is not None and number <= top:
        meant = held.heats.filter(struck_at=None, number=number).last() or last
        raise HeatTaken(meant, following=top + 1)
    return Heat.objects.create(
        billet=held,
        number=top + 1,
        work=work,
        temperature_mdegc=temperature_mdegc,
        seconds=seconds,
        thickness_nm=thickness_nm,
        is_confirmed_strange=bool(question),
        note=note,
        by=by,
        at=clock.now(),
    )


@transaction.atomic
def strike_heat(*, heat: Heat, by: Person) -> Heat:
    """Strike a wrong line of the heat log; it stays readable."""
    held = Heat.objects.select_for_update().get(pk=heat.pk)
    if held.struck_at is not None:
        raise NothingToUndo("This line is struck already.")
    held.struck_at, held.struck_by = clock.now(), by
    held.save(update_fields=["struck_at", "struck_by"])
    return held


@transaction.atomic
def record_size(
    *,
    billet: Billet,
    length_nm: int,
    width_nm: int,
    thickness_nm: int,
    by: Person,
    heats: int | None = None,
    is_confirmed: bool = False,
    note: str = "",
    question: str = "",
) -> Measurement:
    """Write down a measured size; a strange one only when confirmed.

    Args:
        question: what `billets.forging.calibration` found strange about it; empty if nothing.

    Raises:
        Strange: it is strange and was not confirmed.
    """
    if question and not is_confirmed:
        raise Strange(question)
    return Measurement.objects.create(
        billet=billet,
        length_nm=length_nm,
        width_nm=width_nm,
        thickness_nm=thickness_nm,
        heats=heats,
        is_confirmed_strange=bool(question),
        note=note,
        by=by,
        at=clock.now(),
    )


def tie_time(steps: Sequence[Step], *, time: WorkTime) -> None:
    """Tie stages to the line of minutes they took, so that undoing one strikes its share."""
    Step.objects.filter(pk__in=[step.pk for step in steps]).update(time=time)


@transaction.atomic
def withdraw(*, billets: Sequence[Billet]) -> None:
    """Take billets out of their plan; what is cut of them stays in their history."""
    Billet.objects.filter(pk__in=[billet.pk for billet in billets]).update(is_withdrawn=True)
