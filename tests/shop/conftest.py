"""Builders for the pages of classes: metal for two billets, and plans without a worker process."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import pytest

from stock.cutting.plans.plan import Plan

if TYPE_CHECKING:
    from tests.kinds import (
        ClassMetal,
        ForgeClass,
        Knife,
        MakeClass,
        MakeMaterial,
        MakePiece,
        Person,
        Piece,
        Saw,
    )

IN = 25_400_000


@pytest.fixture
def class_metal(
    make_bar: MakePiece,
    make_piece: MakePiece,
    make_material: MakeMaterial,
    saw: Saw,
) -> ClassMetal:
    """Enough for two five-layer billets of 6 x 1-1/4 in, and some over."""
    strip = make_material(form="roll", alloy="c10200", thickness_nm=IN // 50, width_nm=6 * IN)
    return {
        "cladding": make_bar(alloy="1084", place="rack 2"),
        "core": make_bar(alloy="1095", thickness_nm=IN * 3 // 16, price_cents=3000, place="rack 1"),
        "roll": make_piece(
            material=strip, length_nm=60 * IN, price_cents=9000, place="copper shelf"
        ),
    }


@pytest.fixture
def solved_here(monkeypatch: pytest.MonkeyPatch) -> None:
    """Solve in this process; the worker has tests of its own."""
    from stock.cutting import worker
    from stock.cutting.bars import best
    from stock.cutting.plans.plan import BarCase, Case
    from stock.cutting.sheets import best as sheets

    def solved(case: Case, **how: Any) -> Plan:
        if isinstance(case, BarCase):
            return best.solve(case, limit_s=5)
        return sheets.solve(case, limit_s=5)

    monkeypatch.setattr(worker, "solved", solved)


@pytest.fixture
def planned_class(
    class_metal: ClassMetal, solved_here: None, make_class: MakeClass, owner: Person
) -> MakeClass:
    """A class with its plan confirmed."""

    def build(**about: Any) -> ForgeClass:
        from shop.planning import runs
        from shop.planning import writing as planning
        from stock.house import House

        row = make_class(**about)
        run = runs.start(forge_class=row, house=House(), by=owner)
        planning.confirm(run=run, by=owner)
        row.refresh_from_db()
        return row

    return build


@pytest.fixture
def weighed_here(monkeypatch: pytest.MonkeyPatch, solved_here: None) -> None:
    """Weigh offers in this process; the process of its own has tests of its own."""
    from stock.buying import worker as buying_worker
    from stock.buying import worker_process
    from stock.buying.case import BuyingCase
    from stock.buying.worker import Answer

    def answered(
        case: BuyingCase, *, progress: Callable[[Answer], None] | None = None, **how: Any
    ) -> Answer:
        return worker_process.answer(case, limit_s=5, tell=progress or (lambda _: None))

    monkeypatch.setattr(buying_worker, "answered", answered)


@pytest.fixture
def knife(owner: Person) -> Knife:
    """A knife of bar, begun."""
    from shop.knives import writing as knives

    return knives.make_knife(pattern="paring, 3-1/2 in", by=owner)


@pytest.fixture
def pins(make_piece: MakePiece, make_material: MakeMaterial) -> Piece:
    """A box of 24 pins for 48.00."""
    material = make_material(form="counted", alloy="", name="brass pin", thickness_nm=0, width_nm=0)
    return make_piece(material=material, count=24, price_cents=4800)


@pytest.fixture
def worked_class(make_class: MakeClass, owner: Person) -> ForgeClass:
    """A class of three with a spare; the billets are cut."""
    from billets.history import writing as history

    row = make_class(students=3, spares=1)
    for seat in row.seats.all():
        seat.billet = history.make_billet(layup=row.layup, by=owner)
        seat.save()
        history.record_step(billet=seat.billet, kind="cut", by=owner)
    return row
