"""What is short over all classes, by when, and what buying is asked for it.

The rack holds one 36 in bar of cladding: five blanks of 6 in with 1 mm of kerf between
(5 x 152.4 + 4 x 1 = 766 mm; a sixth would need 919.4 of its 914.4 mm).
"""

from __future__ import annotations

from datetime import date

import pytest

from shop.buying.case import deadline_of
from shop.calendar.backward import Preparation
from shop.calendar.opening import Opening
from shop.calendar.reading import metal_by
from shop.demo.classes import solvers
from shop.models import ForgeClass, PlanRun
from shop.planning import writing as planning
from stock.buying.case import BarNeed
from stock.cutting.plans.plan import OnHand, Wanted
from stock.house import House
from stock.ledger import receiving
from stock.models import Material
from tests.kinds import (
    ClassMetal,
    MakeClass,
    MakeLayup,
    MakeMaterial,
    MakePiece,
    Person,
    Saw,
    Supplier,
)
from tests.shop.buying_builders import (
    IN,
    JUNE_13,
    JUNE_24,
    JUNE_27,
    TODAY,
    cladding,
    ends,
    facts,
    make_offer,
    put,
    short_of,
)


def plan(row: ForgeClass, by: Person) -> None:
    run = PlanRun.objects.create(forge_class=row, by=by)
    computed = planning.computed(forge_class=row, house=House(), solvers=solvers())
    planning.finish_run(run=run, plan=computed)
    planning.confirm(run=run, by=by)


def test_classes_that_fit_one_by_one_are_short_together(
    class_metal: ClassMetal, make_class: MakeClass
) -> None:
    layup = make_class(students=2, **ends(JUNE_13)).layup
    assert short_of().groups == ()

    later = make_class(students=1, layup=layup, **ends(JUNE_27))

    (group,) = short_of().groups
    assert (group.first.alloy, len(group.to_cut), len(group.waiting)) == ("1084", 6, 1)
    assert [one.class_id for one in group.waiting] == [later.pk]


def test_the_deadline_is_that_of_the_class_that_goes_short(
    class_metal: ClassMetal, make_class: MakeClass
) -> None:
    layup = make_class(students=2, **ends(JUNE_13)).layup
    make_class(students=1, layup=layup, **ends(JUNE_27))

    (lack,) = put().lacks

    # The class is on a Saturday, Friday stays free, Thursday is for preparing it.
    assert lack.deadline.day == JUNE_24
    assert not lack.deadline.is_tight


def test_a_need_is_bought_for_together_with_the_bars_on_the_rack(
    class_metal: ClassMetal, make_class: MakeClass, supplier: Supplier
) -> None:
    make_class(students=3, **ends(JUNE_27))
    make_offer(supplier, cladding(), cents=900, length_nm=12 * IN)

    asked = put()

    need = asked.case.needs[0]
    assert isinstance(need, BarNeed)
    assert need.pieces == (Wanted(6 * IN, 6),)
    assert need.on_hand == (OnHand(36 * IN, 1),)
    assert need.days_left == 23


@pytest.mark.slow
def test_metal_of_a_confirmed_plan_is_neither_free_nor_asked_for(
    class_metal: ClassMetal, make_class: MakeClass, owner: Person
) -> None:
    # Four blanks with their kerfs leave 300.8 mm: one more, and 146.4 mm of it with a kerf.
    first = make_class(students=2, **ends(JUNE_13))
    plan(first, owner)
    second = make_class(students=1, layup=first.layup, **ends(JUNE_27))

    asked, found = facts(), short_of()

    assert {one.class_id for one in asked.needs} == {second.pk}
    assert len(asked.needs) == 5
    assert [len(group.waiting) for group in found.groups] == [1]


def test_metal_on_order_counts_as_there(
    class_metal: ClassMetal, make_class: MakeClass, supplier: Supplier, owner: Person
) -> None:
    make_class(students=3, **ends(JUNE_27))
    assert len(short_of().groups) == 1

    receiving.order(
        supplier=supplier,
        lines=[receiving.Line(cladding(), count=1, price_cents=900, length_nm=12 * IN)],
        delivery_cents=0,
        on=TODAY,
        due=JUNE_13,
        by=owner,
    )

    assert short_of().groups == ()


def test_past_held_and_cancelled_classes_ask_for_nothing(saw: Saw, make_class: MakeClass) -> None:
    layup = make_class(**ends(date(2026, 5, 30))).layup
    make_class(layup=layup, state="held", **ends(JUNE_13))
    make_class(layup=layup, state="cancelled", **ends(JUNE_13))

    assert facts().needs == ()


def test_what_an_earlier_group_may_saw_is_not_given_to_a_later_one_too(
    make_bar: MakePiece,
    saw: Saw,
    make_layup: MakeLayup,
    make_class: MakeClass,
    make_material: MakeMaterial,
    supplier: Supplier,
) -> None:
    # Blanks 1-1/4 and 1-1/8 in wide: the one bar serves both, but only once.
    make_bar(alloy="1095", thickness_nm=IN // 4, length_nm=12 * IN)
    narrow = make_material(alloy="1095", thickness_nm=IN // 4, width_nm=IN + IN // 8)
    make_offer(supplier, narrow, cents=700, length_nm=6 * IN)
    core = [("1095", IN // 4, "core")]
    wide = make_layup(name="wide", layers=core)
    make_class(students=2, layup=wide, **ends(JUNE_13))
    slim = make_layup(name="slim", layers=core, blank_width_nm=IN + IN // 8)
    make_class(students=1, layup=slim, **ends(JUNE_27))

    found = short_of()

    assert [(len(one.waiting), len(one.bars)) for one in found.groups] == [(1, 1), (1, 0)]


def test_a_deadline_gives_way_to_the_day_before_the_class_when_nobody_is_faster() -> None:
    wanted, starts = date(2026, 6, 6), date(2026, 6, 13)

    in_time = deadline_of(wanted, starts, today=TODAY, fastest_days=5)
    tight = deadline_of(wanted, starts, today=TODAY, fastest_days=6)
    hopeless = deadline_of(wanted, starts, today=TODAY, fastest_days=12)

    assert (in_time.day, in_time.is_tight) == (wanted, False)
    assert (tight.day, tight.is_tight) == (date(2026, 6, 12), True)
    assert (hopeless.day, hopeless.is_tight) == (wanted, False)
    assert hopeless.days_left(date(2026, 6, 8)) == 0


@pytest.mark.parametrize(
    ("class_day", "billets", "wanted"),
    [
        (date(2026, 7, 1), 1, date(2026, 6, 26)),  # work on Monday; parcels come on Friday
        (date(2026, 6, 27), 5, date(2026, 6, 24)),  # 225 of Thursday's 240 minutes
        (date(2026, 6, 27), 6, date(2026, 6, 23)),  # 270 minutes: Wednesday as well
    ],
)
def test_metal_is_wanted_on_the_last_open_day_before_the_work_begins(
    class_day: date, billets: int, wanted: date
) -> None:
    work = Preparation(class_day, billets, minutes_per_billet=45, clear_days=1)
    opening = Opening((240, 240, 240, 240, 240, 0, 0))

    assert metal_by(work, opening=opening, today=TODAY) == wanted


def test_wire_that_runs_out_is_short_by_the_class_that_uses_it(
    make_piece: MakePiece, make_class: MakeClass, class_metal: ClassMetal
) -> None:
    # Two billets of five layers: four beads of 2 x (6 + 1-1/4) in, 8 mm² each, at 95 % and
    # 7850 kg/m³: 368.3 mm x 4 x 8 mm² / 0.95 = 12 406 mm³, 97.4 g a billet.
    wire = {"form": "wire", "alloy": "er70s-6", "diameter_nm": 762_000, "thickness_nm": 0}
    make_piece(**wire, width_nm=0, material=Material.objects.create(**wire), mass_ug=150_000_000)
    make_class(students=2, **ends(JUNE_27))

    (lack,) = put().lacks

    assert lack.deadline.day == JUNE_24
    assert lack.reorder is not None
    assert 44_000_000 < lack.reorder.missing < 46_000_000


def test_a_level_is_held_against_what_classes_without_a_plan_will_take(
    class_metal: ClassMetal, make_class: MakeClass
) -> None:
    # 36 in, of which one billet's two blanks take 12 in and two kerfs: 607.6 mm are left.
    make_class(students=1, **ends(JUNE_27))
    Material.objects.filter(alloy="1084").update(reorder_below=700_000_000)

    (lack,) = put().lacks

    assert lack.reorder is not None
    assert (lack.reorder.day, lack.reorder.left) == (JUNE_24, 607_600_000)
    assert (lack.reorder.missing, lack.reorder.why) == (92_400_000, "Copper blades")
    assert lack.deadline.day is None
