"""A class becomes billets and metal set aside, or nothing at all."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.db.models import F

from billets.models import Billet, Blank
from shop.classes import seat_writing as seating
from shop.classes import writing as classes
from shop.cut_list import writing as cut_list
from shop.models import ForgeClass, PlanRun, Seat
from shop.planning import metal as rack
from shop.planning import writing as planning
from shop.planning.cut_plan import CutPlan
from shop.planning.laying_out import Solvers
from stock.cutting.bars import best
from stock.cutting.plans.plan import BarCase, BarPlan, SheetCase, SheetPlan
from stock.cutting.sheets import best as sheets
from stock.house import House
from stock.ledger import set_asides
from stock.models import Piece, SetAside
from tests.kinds import ClassMetal, MakeClass, MakeMaterial, MakePiece, Person, Saw, sure

IN = 25_400_000


def solve_bars(case: BarCase) -> BarPlan:
    return best.solve(case, limit_s=5)


def solve_sheets(case: SheetCase) -> SheetPlan:
    return sheets.solve(case, limit_s=5)


SOLVERS = Solvers(bars=solve_bars, sheets=solve_sheets)


@pytest.fixture
def metal(
    make_bar: MakePiece,
    make_piece: MakePiece,
    make_material: MakeMaterial,
    saw: Saw,
) -> dict[str, Piece]:
    """Enough for two five-layer billets of 6 x 1-1/4 in, and some over."""
    strip = make_material(form="roll", alloy="c10200", thickness_nm=IN // 50, width_nm=6 * IN)
    return {
        "cladding": make_bar(alloy="1084"),
        "core": make_bar(alloy="1095", thickness_nm=IN * 3 // 16, price_cents=3000),
        "roll": make_piece(material=strip, length_nm=60 * IN, price_cents=9000),
    }


@pytest.fixture
def run_of(owner: Person) -> Callable[..., PlanRun]:
    """A computed run of a class."""

    def build(forge_class: ForgeClass, **how: Any) -> PlanRun:
        run = PlanRun.objects.create(forge_class=forge_class, by=owner)
        plan = planning.computed(forge_class=forge_class, house=House(), solvers=SOLVERS, **how)
        planning.finish_run(run=run, plan=plan)
        return run

    return build


def test_a_confirmed_plan_sets_all_metal_aside_piece_by_piece(
    make_class: MakeClass, metal: ClassMetal, run_of: Any, owner: Person
) -> None:
    forge_class = make_class(students=2)

    billets = planning.confirm(run=run_of(forge_class), by=owner)

    assert len(billets) == 2
    assert planning.unplanned_count(forge_class) == 0
    cladding = Piece.objects.get(pk=metal["cladding"].pk)
    assert cladding.set_aside == 4 * (6 * IN + 1_000_000)
    core = Piece.objects.get(pk=metal["core"].pk)
    assert core.set_aside == 2 * (6 * IN + 1_000_000)
    strip = SetAside.objects.get(kind="strip")
    assert strip.amount == 5 * IN  # four 1-1/4 in blanks lengthwise across 6 in: 4 x 1-1/4
    assert ForgeClass.objects.get().state == "planned"


def test_a_plan_that_is_short_sets_nothing_aside_and_says_by_how_much(
    make_class: MakeClass, metal: ClassMetal, run_of: Any, owner: Person
) -> None:
    forge_class = make_class(students=4)
    run = run_of(forge_class)

    with pytest.raises(planning.PlanningError):
        planning.confirm(run=run, by=owner)

    plan = CutPlan.from_json(run.result)
    assert [(one.alloy, one.count) for one in plan.short] == [("1084", 3)]
    assert len(plan.fits) == 2
    assert not SetAside.objects.exists()


def test_the_billets_that_fit_can_be_planned_alone(
    make_class: MakeClass, metal: ClassMetal, run_of: Any, owner: Person
) -> None:
    forge_class = make_class(students=4)

    billets = planning.confirm(run=run_of(forge_class, only_fitting=True), by=owner)

    assert len(billets) == 2
    assert planning.unplanned_count(forge_class) == 10


def test_a_plan_is_refused_when_the_rack_has_changed_since(
    make_class: MakeClass, metal: ClassMetal, run_of: Any, owner: Person
) -> None:
    from stock.ledger import by_hand

    forge_class = make_class(students=1)
    run = run_of(forge_class)
    by_hand.scrap(piece=metal["core"], amount=IN, why="bent", by=owner)

    with pytest.raises(planning.RackChanged):
        planning.confirm(run=run, by=owner)

    assert not SetAside.objects.exists()


def test_cancelling_a_class_frees_all_its_metal(
    make_class: MakeClass, metal: ClassMetal, run_of: Any, owner: Person
) -> None:
    forge_class = make_class(students=2)
    planning.confirm(run=run_of(forge_class), by=owner)

    classes.cancel_class(forge_class=forge_class)

    assert [piece.set_aside for piece in Piece.objects.all()] == [0, 0, 0]
    assert all(billet.is_withdrawn for billet in Billet.objects.all())


@pytest.mark.slow
def test_changing_a_seat_frees_only_its_own_metal(
    make_class: MakeClass, metal: ClassMetal, run_of: Any, owner: Person
) -> None:
    forge_class = make_class(students=2)
    planning.confirm(run=run_of(forge_class), by=owner)
    seat = forge_class.seats.get(number=2)

    seating.change_seat(seat=seat, changes={"blank_length_nm": 7 * IN})

    assert planning.unplanned_count(forge_class) == 5
    planning.confirm(run=run_of(forge_class), by=owner)
    assert planning.unplanned_count(forge_class) == 0
    lengths = {blank.length_nm for blank in Blank.objects.filter(billet__seat=seat)}
    assert lengths == {7 * IN}


def test_a_seat_with_a_cut_blank_is_not_changed(
    make_class: MakeClass, metal: ClassMetal, run_of: Any, owner: Person
) -> None:
    forge_class = make_class(students=1)
    planning.confirm(run=run_of(forge_class), by=owner)
    row = SetAside.objects.filter(piece=metal["core"]).get()
    set_asides.tick(set_aside=row, by=owner)

    with pytest.raises(planning.PlanningError, match="cut already"):
        seating.change_seat(seat=forge_class.seats.get(), changes={"blank_length_nm": 7 * IN})

    assert Seat.objects.get().blank_length_nm is None


def test_the_whole_cut_list_can_be_ticked_and_the_books_stay_true(
    make_class: MakeClass, metal: ClassMetal, run_of: Any, owner: Person, make_bar: MakePiece
) -> None:
    from stock.ledger.proof import proved

    make_bar(alloy="1084", length_nm=10 * IN)
    forge_class = make_class(students=2, spares=1)
    planning.confirm(run=run_of(forge_class), by=owner)

    strips_first = (F("parent").asc(nulls_first=True), "position")
    while row := SetAside.objects.filter(state="standing").order_by(*strips_first).first():
        set_asides.tick(set_aside=row, by=owner)

    assert proved().faults == ()
    assert all(
        blank.is_cut for seat in forge_class.seats.all() for blank in sure(seat.billet).blanks.all()
    )


def test_a_tick_can_be_taken_back(
    make_class: MakeClass, metal: ClassMetal, run_of: Any, owner: Person
) -> None:
    forge_class = make_class(students=1)
    planning.confirm(run=run_of(forge_class), by=owner)
    before = Piece.objects.get(pk=metal["roll"].pk)
    strip = SetAside.objects.get(kind="strip")
    set_asides.tick(set_aside=strip, by=owner)

    cut_list.undo_tick(set_aside=strip, by=owner)

    after = Piece.objects.get(pk=metal["roll"].pk)
    assert (after.on_hand, after.value_cents, after.set_aside) == (
        before.on_hand,
        before.value_cents,
        before.set_aside,
    )


def test_planning_again_leaves_cut_blanks_alone(
    make_class: MakeClass, metal: ClassMetal, run_of: Any, owner: Person
) -> None:
    forge_class = make_class(students=2)
    planning.confirm(run=run_of(forge_class), by=owner)
    row = SetAside.objects.filter(piece=metal["core"]).first()
    assert row is not None
    set_asides.tick(set_aside=row, by=owner)

    planning.confirm(run=run_of(forge_class), by=owner)

    row.refresh_from_db()
    assert row.state == "cut"
    assert planning.unplanned_count(forge_class) == 0
    assert len(rack.needs_of(forge_class.seats.active().with_metal())) == 9
