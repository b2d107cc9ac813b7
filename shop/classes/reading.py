"""Reads what the pages of classes show: the list, and one class with its seats."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, TypedDict

from babel.numbers import get_currency_precision
from django.db.models import Sum

from billets.models import Billet, Step, StepKind
from shop.classes import seat_writing as seating
from shop.models import ForgeClass, PlanRun, Seat
from shop.planning import metal
from shop.planning import writing as planning
from stock.house import House
from stock.models import Entry, SetAside
from stock.output.csv_tables import Cell, Column, Table, length_cell, money_cell

HELD_SHOWN = 40
STATE_KINDS = {"planned": "done", "held": "done", "cancelled": "stop"}


@dataclass(frozen=True)
class Cuts:
    """Blanks of a class: cut, set aside and not cut, without metal."""

    cut: int = 0
    standing: int = 0
    unplanned: int = 0

    @property
    def planned(self) -> int:
        """Blanks that have metal."""
        return self.cut + self.standing

    @property
    def all(self) -> int:
        """Every blank of every seat."""
        return self.planned + self.unplanned


@dataclass(frozen=True)
class ClassLine:
    """One class in the list."""

    row: ForgeClass
    taken: int
    cuts: Cuts
    days: int

    @property
    def is_off(self) -> bool:
        """Whether it was cancelled."""
        return self.row.state == ForgeClass.State.CANCELLED


@dataclass(frozen=True)
class SeatLine:
    """One seat in the table of a class."""

    seat: Seat
    billet: Billet | None
    layup_name: str
    length_nm: int
    width_nm: int
    stage: str
    cuts: Cuts
    is_behind: bool

    @property
    def kind(self) -> str:
        """How its tag is coloured."""
        return "stop" if self.stage == StepKind.FAILED.label else "done"


class ClassLists(TypedDict):
    """The list of classes."""

    coming: list[ClassLine]
    past: list[ClassLine]
    today: date


def class_lists(*, today: date) -> ClassLists:
    """Classes to come, and those that were."""
    rows = ForgeClass.objects.select_related("layup").with_taken()
    coming = list(
        rows.filter(ends_on__gte=today).exclude(state="cancelled").order_by("starts_on", "id")
    )
    past = list(rows.exclude(pk__in=[row.pk for row in coming]).order_by("-starts_on")[:HELD_SHOWN])
    cuts = cuts_of([*coming, *past])
    return ClassLists(
        coming=[class_line(row, cuts[row.pk], today=today) for row in coming],
        past=[class_line(row, cuts[row.pk], today=today) for row in past],
        today=today,
    )


def class_line(row: Any, cuts: Cuts, *, today: date) -> ClassLine:
    """One class of the list; `row.taken` comes with the query."""
    return ClassLine(row=row, taken=row.taken, cuts=cuts, days=(row.starts_on - today).days)


def cuts_of(classes: Sequence[ForgeClass]) -> dict[int, Cuts]:
    """Blanks of each class by where they stand, in a fixed number of queries."""
    return cuts_in(Seat.objects.active().with_metal().by_class(classes))


def cuts_in(seats: Mapping[int, Sequence[Seat]]) -> dict[int, Cuts]:
    """Blanks of each class by where they stand, of seats that were read already."""
    return {pk: added_up(seat_cuts(seat) for seat in found) for pk, found in seats.items()}


def added_up(parts: Iterable[Cuts]) -> Cuts:
    """Several seats together."""
    cut = standing = unplanned = 0
    for part in parts:
        cut, standing = cut + part.cut, standing + part.standing
        unplanned += part.unplanned
    return Cuts(cut, standing, unplanned)


def seat_cuts(seat: Seat) -> Cuts:
    """The blanks of one seat by where they stand."""
    blanks = seat.blanks_by_position().values()
    cut = sum(1 for blank in blanks if blank.is_cut)
    tied = sum(1 for blank in blanks if blank.has_metal)
    return Cuts(cut, tied - cut, planning.unplanned_of(seat))


def stages_of(billets: Sequence[Billet]) -> dict[int, StepKind]:
    """The stage that each billet has reached, in one query."""
    steps: dict[int, list[Step]] = defaultdict(list)
    for step in Step.objects.filter(billet__in=billets).order_by("id"):
        steps[step.billet_id].append(step)
    return {billet.pk: last_standing(steps[billet.pk]) for billet in billets}


def last_standing(steps: Sequence[Step]) -> StepKind:
    """The last step that was not undone."""
    undone = {step.undoes_id for step in steps if step.undoes_id}
    standing = [step for step in steps if not step.undoes_id and step.pk not in undone]
    return StepKind(standing[-1].kind) if standing else StepKind.PLANNED


def seat_lines(seats: Sequence[Seat]) -> list[SeatLine]:
    """The seats of a class as its table shows them."""
    stages = stages_of([seat.billet for seat in seats if seat.billet])
    return [seat_line(seat, stages) for seat in seats]


def seat_line(seat: Seat, stages: dict[int, StepKind]) -> SeatLine:
    """One seat: its billet's own design once there is one."""
    billet, design = seat.billet, seat.design()
    return SeatLine(
        seat=seat,
        billet=billet,
        layup_name=billet.layup_name if billet else seat.layup_used.name,
        length_nm=design.blank_length_nm,
        width_nm=design.blank_width_nm,
        stage=stages[billet.pk].label if billet else "",
        cuts=seat_cuts(seat),
        is_behind=seat.is_behind and seat.is_uncut,
    )


class ClassPage(TypedDict):
    """One class with its seats."""

    row: ForgeClass
    is_open: bool
    is_on: bool
    state_kind: str
    days: int
    students: list[SeatLine]
    spares: list[SeatLine]
    taken: int
    open_seats: int
    cuts: Cuts
    behind: int
    failed: list[SeatLine]
    value_cents: int | None
    last_run: PlanRun | None
    metal_came: bool
    confirmed: PlanRun | None
    has_standing: bool


def class_page(row: ForgeClass, *, house: House, today: date) -> ClassPage:
    """Everything that the page of one class shows."""
    seats = list(row.seats.active().with_metal())
    lines = seat_lines(seats)
    students = [line for line in lines if not line.seat.is_spare]
    standing = SetAside.objects.filter(plan=row.plan_key, state=SetAside.State.STANDING)
    return ClassPage(
        row=row,
        is_open=row.state != ForgeClass.State.CANCELLED,
        is_on=row.is_standing,
        state_kind=STATE_KINDS.get(row.state, ""),
        days=(row.starts_on - today).days,
        students=students,
        spares=[line for line in lines if line.seat.is_spare],
        taken=sum(1 for line in students if line.seat.student),
        open_seats=seating.seats_open(row),
        cuts=added_up(line.cuts for line in lines),
        behind=sum(1 for line in lines if line.is_behind),
        failed=[line for line in students if line.seat.has_failed],
        value_cents=metal.set_aside_value_cents(row.plan_key) if house.sees_money else None,
        last_run=(last_run := row.runs.select_related("by").first()),
        metal_came=has_metal_come(last_run),
        confirmed=row.runs.filter(state="confirmed").select_related("by").first(),
        has_standing=standing.exists(),
    )


def has_metal_come(run: PlanRun | None) -> bool:
    """Whether metal was received since a plan that came out short."""
    if run is None or not run.result.get("short"):
        return False
    came = Entry.objects.filter(kind=Entry.Kind.RECEIVED, at__gte=run.started_at)
    return came.filter(corrected_by=None, corrects=None).exists()


def metal_cents(jobs: Iterable[str]) -> dict[str, int]:
    """What each job's metal was worth in the books, undone cuts taken off."""
    rows = Entry.objects.filter(job__in=set(jobs)).values("job").annotate(sum=Sum("value_cents"))
    return {row["job"]: -row["sum"] for row in rows}


def billets_table(forge_class: ForgeClass, *, house: House) -> Table:
    """One row a seat; the metal's cost only for those who see money."""
    lines = seat_lines(list(forge_class.seats.active().with_metal()))
    columns = [
        Column("Seat"),
        Column("Student"),
        Column("E-mail"),
        Column("Billet"),
        Column("Layup"),
        Column("Knife"),
        Column("Blank length", house.unit),
        Column("Blank width", house.unit),
        Column("Layers"),
        Column("Stage"),
        Column("Blanks cut"),
        Column("Blanks without metal"),
    ]
    rows = [cells(line, house=house) for line in lines]
    if house.sees_money:
        columns.append(Column("Metal cost", house.currency))
        digits = get_currency_precision(house.currency)
        worth = metal_cents(line.billet.job for line in lines if line.billet)
        rows = [
            (*row, money_cell(worth.get(line.billet.job if line.billet else ""), digits=digits))
            for row, line in zip(rows, lines, strict=True)
        ]
    return Table(tuple(columns), tuple(rows))


def cells(line: SeatLine, *, house: House) -> tuple[Cell, ...]:
    """One row, without money."""
    seat = line.seat
    return (
        "spare" if seat.is_spare else seat.number,
        seat.student,
        seat.email,
        line.billet.mark if line.billet else "",
        line.layup_name,
        seat.knife,
        length_cell(line.length_nm, system=house.system),
        length_cell(line.width_nm, system=house.system),
        len(seat.design().layers),
        line.stage,
        line.cuts.cut,
        line.cuts.unplanned,
    )
