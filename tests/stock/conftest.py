"""Builders for the metal's pages: wire, a roll, a sheet, and metal set aside."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import pytest

from stock.ledger import set_asides
from stock.ledger.set_asides import Promise
from stock.models import Piece, SetAside

if TYPE_CHECKING:
    from tests.kinds import MakeMaterial, MakePiece, Person

IN = 25_400_000
MM = 1_000_000


@pytest.fixture
def roll(make_piece: MakePiece, make_material: MakeMaterial) -> Piece:
    """10 ft of 0.020 x 6 in copper for 90.00."""
    copper = make_material(form="roll", alloy="c11000", thickness_nm=508_000, width_nm=6 * IN)
    return make_piece(material=copper, length_nm=120 * IN, price_cents=9000)


@pytest.fixture
def sheet(make_piece: MakePiece, make_material: MakeMaterial) -> Piece:
    """A 6 x 12 in offcut of the same copper for 9.00."""
    copper = make_material(form="sheet", alloy="c11000", thickness_nm=508_000, width_nm=0)
    return make_piece(material=copper, width_nm=6 * IN, length_nm=12 * IN, price_cents=900)


@pytest.fixture
def spool(make_piece: MakePiece, make_material: MakeMaterial) -> Piece:
    """Ten pounds of filler wire for 60.00."""
    wire = make_material(
        form="wire", alloy="er70s-6", thickness_nm=0, width_nm=0, diameter_nm=889_000
    )
    return make_piece(material=wire, mass_ug=4_535_923_700, price_cents=6000)


@pytest.fixture
def box(make_piece: MakePiece, make_material: MakeMaterial) -> Piece:
    """Twenty belts for 50.00."""
    belts = make_material(
        form="counted", alloy="", name="belts 36 grit", thickness_nm=0, width_nm=0
    )
    return make_piece(material=belts, count=20, price_cents=5000)


@pytest.fixture
def promise(owner: Person) -> Callable[..., SetAside]:
    """Metal of a bar set aside for a job."""

    def build(piece: Piece, *, length_nm: int, label: str = "K27-1", **about: Any) -> SetAside:
        given: dict[str, Any] = {"job": "a hook", "position": 1} | about
        row = Promise(
            piece_id=piece.pk,
            kind="blank",
            amount=length_nm,
            length_nm=length_nm,
            label=label,
            **given,
        )
        return set_asides.set_aside(plan="a plan", promises=[row], by=owner)[0]

    return build
