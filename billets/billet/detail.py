"""Reads what one billet's page shows: the work part, and the part about its metal and forecast."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TypedDict

from billets.billet.forms import BarForm, FailForm, HeatForm, SizeForm, StepForm
from billets.billet.origins import Origin, origins_of
from billets.billet.reading import (
    STAGE_ACTS,
    Compared,
    Stage,
    compared,
    cut_list_of,
    heats_of,
    is_cut_for,
    last_size,
    stages,
    waiting_blanks,
)
from billets.blanks import writing as cutting
from billets.forging.calibration import Calibration
from billets.history import bar_writing
from billets.history import writing as history
from billets.history.heat_log import too_cold, too_hot
from billets.history.record import shop_calibration
from billets.history.timed_steps import CLOCK_ENDS
from billets.hours import writing as hours
from billets.hours.forms import MinutesForm, StopForm
from billets.hours.reading import (
    HoursLine,
    Running,
    by_step,
    elsewhere,
    lines_of,
    running_of,
    struck_of,
)
from billets.hours.writing import Elsewhere
from billets.layup import seam
from billets.layup.case import case_of
from billets.layup.seam import FillerError
from billets.layup.work_time import hours_text
from billets.models import Billet, Heat, Measurement, StepKind, Work, WorkStep, WorkTime
from billets.panel.blade import ShownBlade, shown_blade
from billets.panel.panel import Panel, panel_of
from stock import clock
from stock.house import House
from stock.ledger.jobs import JobWords
from stock.models import SetAside, alloy_book
from stock.quantities.units import mass_text
from stock.who import Person


def wire_estimate_ug(billet: Billet, *, house: House) -> int:
    """Filler wire to close its seams [µg]; 0 where they stay open or have no length."""
    try:
        return seam.wire_ug(billet.design(), house=house, alloys=alloy_book())
    except FillerError:
        return 0


class Answer(TypedDict, total=False):
    """What an act came to: a sentence and the section that says it, or a form not taken."""

    said: str
    said_at: str
    refusal: str
    refusal_at: str
    step_form: StepForm
    fail_form: FailForm
    heat_form: HeatForm
    size_form: SizeForm
    bar_form: BarForm
    minutes_form: MinutesForm
    stop_form: StopForm


class NextForms(TypedDict):
    """What may be done next, with its forms."""

    next_kind: str
    next_act: str
    step_form: StepForm | None
    wire: str
    fail_form: FailForm | None
    heat_form: HeatForm
    size_form: SizeForm
    bar_form: BarForm


class WorkPart(NextForms):
    """Where a billet stands, its heats, its size."""

    billet: Billet
    stages: list[Stage]
    reached: str
    is_failed: bool
    is_finished: bool
    needs_metal: bool
    promised: int
    cut_list: JobWords | None
    can_undo: bool
    is_by_hand: bool
    heats: list[Heat]
    heat_cares: list[tuple[int, str]]
    size: Measurement | None
    compared: list[Compared]
    forecast_heats: int
    can_be_bar: bool
    value_cents: int | None
    place: str
    said: str
    said_at: str
    refusal: str
    refusal_at: str


def work_context(billet: Billet, *, house: House, answer: Answer) -> WorkPart:
    """Where it stands, its next step, its heats, its size; a form of `answer` was not taken."""
    steps = history.standing_steps(billet)
    reached = steps[-1].kind if steps else StepKind.PLANNED
    following = history.next_stages(billet)
    size = last_size(billet)
    bare, promised = waiting_blanks(billet)
    is_planned, is_cut = reached == StepKind.PLANNED, is_cut_for(billet)
    log = heats_of(billet)
    rows, heats = compared(billet, size, house=house) if size else ([], 0)
    return WorkPart(
        billet=billet,
        stages=stages(steps),
        reached=str(StepKind(reached).label),
        is_failed=reached == StepKind.FAILED,
        is_finished=reached == StepKind.FINISHED,
        needs_metal=is_planned and bare > 0 and not promised and not is_cut,
        promised=promised if is_planned else 0,
        cut_list=cut_list_of(billet) if is_planned and promised else None,
        can_undo=len(steps) > 1 and not billet.is_withdrawn and not has_bar(billet),
        is_by_hand=reached == StepKind.CUT and cutting.are_cut_by_hand(billet),
        heats=log,
        heat_cares=heat_cares(billet, log, house=house),
        size=size,
        compared=rows,
        forecast_heats=heats,
        can_be_bar=reached == StepKind.FINISHED and can_be_bar(billet),
        value_cents=bar_writing.cost_so_far_cents(billet) if house.sees_money else None,
        place="billets",
        said=answer.get("said", ""),
        said_at=answer.get("said_at", ""),
        refusal=answer.get("refusal", ""),
        refusal_at=answer.get("refusal_at", ""),
        **next_forms(billet, following, size=size, house=house, answer=answer),
    )


def heat_cares(billet: Billet, log: Sequence[Heat], *, house: House) -> list[tuple[int, str]]:
    """Heats that stand and were outside the window of the stack: number, what to look for."""
    standing = [
        (heat, heat.temperature_mdegc / 1000)
        for heat in log
        if heat.struck_at is None and heat.temperature_mdegc is not None
    ]
    if not standing:
        return []
    case = case_of(billet.design(), alloys=alloy_book(), house=house)
    said = [
        (heat.number, judge(celsius, is_setting=heat.work == Work.SET, case=case))
        for heat, celsius in standing
        for judge in (too_hot, too_cold)
    ]
    return [(number, words) for number, words in said if words]


def has_bar(billet: Billet) -> bool:
    """Whether it is on the rack as a bar already."""
    return hasattr(billet, "bar")


def can_be_bar(billet: Billet) -> bool:
    """Whether it is all steel and not on the rack yet."""
    alloys = alloy_book()
    keys = {layer.alloy for layer in billet.design().layers}
    return not has_bar(billet) and all(
        key in alloys and not alloys[key].is_low_melting for key in keys
    )


def next_forms(
    billet: Billet,
    following: list[str],
    *,
    size: Measurement | None,
    house: House,
    answer: Answer,
) -> NextForms:
    """The forms of what may be done next, filled with what is likely, or as they were typed."""
    kind = following[0] if following else ""
    wire_ug = wire_estimate_ug(billet, house=house) if kind == StepKind.WELDED else 0
    logged = billet.heats.filter(struck_at=None).count()
    work = Work.SET if logged < house.bonding_heats else Work.DRAW
    heat = {"work": work, "number": history.next_heat_number(billet)}
    sizes = {}
    if size is not None:
        names = ("length_nm", "width_nm", "thickness_nm")
        sizes = {name: getattr(size, name) for name in names}
    step_form = StepForm(house=house, kind=kind, wire_ug=wire_ug) if kind else None
    heats = {"heats": logged or None}
    return NextForms(
        next_kind=kind,
        next_act=STAGE_ACTS[StepKind(kind)] if kind else "",
        step_form=answer.get("step_form", step_form),
        wire=mass_text(wire_ug, system=house.system) if wire_ug else "",
        fail_form=answer.get("fail_form", FailForm(house=house) if following else None),
        heat_form=answer.get("heat_form") or HeatForm(house=house, billet=billet, initial=heat),
        size_form=answer.get("size_form") or SizeForm(house=house, billet=billet, initial=heats),
        bar_form=answer.get("bar_form") or BarForm(house=house, billet=billet, initial=sizes),
    )


class MetalPart(TypedDict):
    """What a billet's metal is, and what was to be expected of it."""

    panel: Panel
    calibration: Calibration
    origins: tuple[Origin, ...]
    freed: list[SetAside]
    blade: ShownBlade


def metal_context(billet: Billet, *, house: House, query: Mapping[str, str]) -> MetalPart:
    """What its metal is, where it came from, and what was to be expected of it."""
    alloys, calibration = alloy_book(), shop_calibration(house)
    case = case_of(billet.design(), alloys=alloys, house=house, calibration=calibration)
    panel = panel_of(case)
    finish = panel.drawn.finish
    return MetalPart(
        panel=panel,
        calibration=calibration,
        origins=origins_of(billet, alloys=alloys),
        freed=history.freed_cuts(billet),
        blade=shown_blade(
            case,
            mark=billet.mark,
            drawn_length_mm=finish.length_mm if finish else None,
            query=query,
        ),
    )


class HoursPart(TypedDict):
    """The clock at a billet, and the hours in it."""

    hours: list[HoursLine]
    struck: list[tuple[WorkTime, str]]
    hours_total: str
    hours_by_step: list[tuple[str, str]]
    running: Running | None
    runs_here: bool
    clock_ends: bool
    runs_elsewhere: Elsewhere | None
    clock_steps: list[tuple[str, str]]
    likely_step: str
    minutes_form: MinutesForm
    stop_form: StopForm


def hours_context(
    billet: Billet, *, person: Person, next_kind: str, is_failed: bool, answer: Answer
) -> HoursPart:
    """The clock and the lines; the step that comes next is offered first."""
    lines = lines_of([billet])
    running = running_of(person)
    is_here = running is not None and billet.mark in running.marks
    stopped = [line for line in lines if line.time.stopped_at is not None]
    may_start = not (billet.is_withdrawn or is_failed or (running and running.is_forgotten))
    likely = likely_step(next_kind, stopped)
    return HoursPart(
        hours=lines,
        struck=[(time, hours_text(time.seconds(now=clock.now()))) for time in struck_of(billet)],
        hours_total=hours_text(sum(line.share_s for line in stopped)) if stopped else "",
        hours_by_step=by_step(lines),
        running=running,
        runs_here=is_here,
        clock_ends=running is not None and ends_with(running, billet, next_kind=next_kind),
        runs_elsewhere=None if running else elsewhere(person),
        clock_steps=ordered(likely) if may_start else [],
        likely_step=likely,
        minutes_form=answer.get("minutes_form") or MinutesForm(initial={"step": likely}),
        stop_form=answer.get("stop_form") or StopForm(),
    )


def ends_with(running: Running, billet: Billet, *, next_kind: str) -> bool:
    """Whether recording the next stage also stops the clock."""
    if not next_kind or running.is_forgotten or running.marks != (billet.mark,):
        return False
    return running.time.step == CLOCK_ENDS.get(StepKind(next_kind))


def likely_step(next_kind: str, stopped: list[HoursLine]) -> str:
    """The work that leads to the next stage; of a billet that has ended, what was done last."""
    if next_kind and next_kind != StepKind.FAILED:
        return hours.WORK_OF[StepKind(next_kind)]
    return stopped[0].time.step if stopped else WorkStep.FINISH


def ordered(likely: str) -> list[tuple[str, str]]:
    """Steps as a choice, the likely one first."""
    return sorted(WorkStep.choices, key=lambda one: one[0] != likely)
