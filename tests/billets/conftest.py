"""Builders for the metalwork's pages: a rack to cut from, billets on their way."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from tests.kinds import (
        Billet,
        ClassMetal,
        MakeBillet,
        MakeLayup,
        MakeMaterial,
        MakePiece,
        Person,
        Saw,
    )

IN = 25_400_000


@pytest.fixture
def stocked(make_piece: MakePiece, make_material: MakeMaterial, saw: Saw) -> ClassMetal:
    """What the five-layer layup of the tests is cut from: bars, a roll of copper, a spool."""
    core = make_material(alloy="1095", thickness_nm=IN * 3 // 16)
    copper = make_material(form="roll", alloy="c10200", thickness_nm=IN // 50, width_nm=12 * IN)
    wire = make_material(
        form="wire", alloy="er70s-6", thickness_nm=0, width_nm=0, diameter_nm=889_000
    )
    return {
        "clad": make_piece(length_nm=36 * IN, price_cents=2400, heat_lot="H4471"),
        "core": make_piece(
            material=core, length_nm=24 * IN, price_cents=3000, heat_lot="B2210", place="rack 2"
        ),
        "roll": make_piece(material=copper, length_nm=60 * IN, price_cents=9000, heat_lot="K88"),
        "spool": make_piece(material=wire, mass_ug=5_000_000_000, price_cents=4500),
    }


@pytest.fixture
def make_billet(make_layup: MakeLayup, owner: Person) -> MakeBillet:
    """A billet from the five-layer layup, planned, taken on to a stage if told so."""
    from billets.history import writing as history
    from billets.models import Layup, StepKind

    def build(*, stage: str = "planned", layup: Layup | None = None, **about: Any) -> Billet:
        used = layup or Layup.objects.first() or make_layup(cleaning_loss_nm=0)
        billet = history.make_billet(layup=used, by=owner, **about)
        for kind in history.ORDER[1 : history.ORDER.index(StepKind(stage)) + 1]:
            history.record_step(billet=billet, kind=kind, by=owner)
        return billet

    return build


@pytest.fixture
def cut_billet(make_billet: MakeBillet, stocked: ClassMetal, owner: Person) -> MakeBillet:
    """A billet whose blanks are cut by hand from the stocked rack."""
    from billets.blanks import writing as cutting
    from stock.house import House

    def build(**about: Any) -> Billet:
        billet = make_billet(**about)
        pieces = {
            0: stocked["clad"],
            1: stocked["roll"],
            2: stocked["core"],
            3: stocked["roll"],
            4: stocked["clad"],
        }
        fresh = {place: type(one).objects.get(pk=one.pk) for place, one in pieces.items()}
        cutting.cut_blanks(billet=billet, pieces=fresh, kerf_nm=1_000_000, house=House(), by=owner)
        return billet

    return build
