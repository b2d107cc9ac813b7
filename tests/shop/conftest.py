"""Builders for the pages of classes: metal for two billets, and plans without a worker process."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from stock.cutting.plans.plan import Plan

IN = 25_400_000


@pytest.fixture
def class_metal(
    make_bar: Callable[..., Any],
    make_piece: Callable[..., Any],
    make_material: Callable[..., Any],
    saw: Any,
) -> dict[str, Any]:
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
    from stock.cutting.plans.plan import BarCase
    from stock.cutting.sheets import best as sheets

    def solved(case: Any, **how: Any) -> Plan:
        if isinstance(case, BarCase):
            return best.solve(case, limit_s=5)
        return sheets.solve(case, limit_s=5)

    monkeypatch.setattr(worker, "solved", solved)


@pytest.fixture
def planned_class(
    class_metal: Any, solved_here: None, make_class: Callable[..., Any], owner: Any
) -> Callable[..., Any]:
    """A class with its plan confirmed."""

    def build(**about: Any) -> Any:
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

    def answered(case: Any, *, progress: Any = None, **how: Any) -> Any:
        return worker_process.answer(case, limit_s=5, tell=progress or (lambda _: None))

    monkeypatch.setattr(buying_worker, "answered", answered)


@pytest.fixture
def knife(owner: Any) -> Any:
    """A knife of bar, begun."""
    from shop.knives import writing as knives

    return knives.make_knife(pattern="paring, 3-1/2 in", by=owner)


@pytest.fixture
def pins(make_piece: Callable[..., Any], make_material: Callable[..., Any]) -> Any:
    """A box of 24 pins for 48.00."""
    material = make_material(form="counted", alloy="", name="brass pin", thickness_nm=0, width_nm=0)
    return make_piece(material=material, count=24, price_cents=4800)


@pytest.fixture
def worked_class(make_class: Callable[..., Any], owner: Any) -> Any:
    """A class of three with a spare; the billets are cut."""
    from billets.history import writing as history

    row = make_class(students=3, spares=1)
    for seat in row.seats.all():
        seat.billet = history.make_billet(layup=row.layup, by=owner)
        seat.save()
        history.record_step(billet=seat.billet, kind="cut", by=owner)
    return row
