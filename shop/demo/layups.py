"""The demo shop's layups, and the pattern-welded bar that one of them has for a core."""

from __future__ import annotations

from typing import Any

from billets.history import bar_writing
from billets.history import writing as history
from billets.models import Bar, Grind, Layer, Layup, LeftGrind, StepKind
from shop.demo.metal import IN, MM, flat, jacket, simple
from shop.demo.people import Days
from stock import clock
from stock.ledger import by_hand
from stock.models import Piece
from stock.who import Person

COPPER_NM = 548_640  # 16 oz
TWO_TONE_NM = 508_000
FOLDS = 4

FIVE = "Five layers, one line"
SEVEN = "Seven layers, copper and cupronickel"
NINE = "Nine layers, two lines a side"
CHISEL = "Three layers, ground on one side"
FOLDED_BAR = "Folded bar, 1084 and 15N20"
FOLDED = "Folded core, one line"
BAR_NAME = "Folded 1084/15N20"

Stack = list[tuple[str, int, str]]


def both_sides(outside_in: Stack, core: tuple[str, int, str]) -> Stack:
    """A stack that is the same on both faces."""
    return [*outside_in, core, *reversed(outside_in)]


def make(name: str, layers: Stack, **about: Any) -> Layup:
    """A layup with its layers from the bottom up."""
    usual = {
        "blank_length_nm": 6 * IN,
        "blank_width_nm": IN + IN // 4,
        "cut_allowance_nm": IN // 16,
        "cleaning_loss_nm": 100_000,
        "finish_thickness_nm": IN * 3 // 16,
        "spine_nm": IN * 5 // 32,
        "blade_height_nm": IN + IN // 8,
        "grind": Grind.FLAT,
    }
    layup = Layup.objects.create(name=name, **(usual | about))
    Layer.objects.bulk_create(
        Layer(layup=layup, position=place, alloy=alloy, thickness_nm=thickness, role=role)
        for place, (alloy, thickness, role) in enumerate(layers)
    )
    return layup


def make_layups() -> None:
    """The copper ones whose metal is bought."""
    line = ("c11000", COPPER_NM, "line")
    clad = ("1018", IN // 8, "cladding")
    core = ("1095", IN * 3 // 16, "core")
    make(FIVE, both_sides([clad, line], core), note="The class billet. Bright line on grey.")
    make(
        SEVEN,
        both_sides([clad, line, ("c71500", TWO_TONE_NM, "line")], core),
        note="Red beside silver: the two copper alloys lie on each other.",
    )
    make(
        NINE,
        both_sides([clad, line, ("15n20", 1_500_000, "jacket"), line], core),
        finish_thickness_nm=IN * 7 // 32,
        spine_nm=IN * 3 // 16,
    )
    make(
        CHISEL,
        [("1095", IN // 4, "core"), line, ("1018", IN // 4, "cladding")],
        note="For a kitchen blade ground on one side. The core is the face that is not ground.",
        left_grind=LeftGrind.NOT_GROUND,
    )
    steels = [
        ("15n20", 1_500_000, "jacket") if i % 2 else ("1084", IN // 8, "core") for i in range(7)
    ]
    make(
        FOLDED_BAR,
        steels,
        note="All steel, forge-welded, folded four times; goes back on the rack as bar.",
        bar_folds=FOLDS,
        cleaning_loss_nm=0,
        finish_thickness_nm=IN * 3 // 16,
        finish_width_nm=IN + IN // 4,
    )


def forge_bar(*, by: Person, days: Days) -> Bar:
    """One folded bar, from the saw to the rack."""
    layup = Layup.objects.get(name=FOLDED_BAR)
    with clock.as_of(days.at(-90)):
        billet = history.make_billet(layup=layup, by=by, note="for a folded core")
        cut = layup.blank_length_nm + layup.cut_allowance_nm
        for material, count in ((simple(), 4), (jacket(), 3)):
            cut_some(material_id=material.pk, count=count, length_nm=cut, job=billet.job, by=by)
    for days_ago, kind in zip(
        (-90, -89, -89, -88, -87, -87),
        (
            StepKind.CUT,
            StepKind.CLEANED,
            StepKind.WELDED,
            StepKind.BONDED,
            StepKind.DRAWN,
            StepKind.FINISHED,
        ),
        strict=True,
    ):
        with clock.as_of(days.at(days_ago, hour=15)):
            history.record_step(billet=billet, kind=kind, by=by)
    with clock.as_of(days.at(-87, hour=17)):
        return bar_writing.make_bar(
            billet=billet,
            name=BAR_NAME,
            thickness_nm=IN * 3 // 16,
            width_nm=IN + IN // 4,
            length_nm=330 * MM,
            by=by,
            place="rack 2",
        )


def cut_some(*, material_id: int, count: int, length_nm: int, job: str, by: Person) -> None:
    """Blanks cut by hand from whatever bar of a material is long enough."""
    for _ in range(count):
        piece = (
            Piece.objects.filter(material_id=material_id, on_hand__gte=length_nm)
            .order_by("on_hand", "id")
            .first()
        )
        assert piece is not None, "the demo's own rack is too small"
        by_hand.cut_by_hand(
            piece=piece, length_nm=length_nm, kerf_nm=1_100_000, job=job, by=by, why="blank"
        )


def make_folded_layup(bar: Bar) -> Layup:
    """Copper between 1018 and the bar that was made here."""
    material = bar.piece.material
    line = ("c11000", COPPER_NM, "line")
    core = (material.alloy, material.thickness_nm, "core")
    return make(
        FOLDED,
        both_sides([("1018", IN // 8, "cladding"), line], core),
        note="The pattern shows in the core below the line.",
    )


__all__ = [
    "CHISEL",
    "FIVE",
    "FOLDED",
    "NINE",
    "SEVEN",
    "flat",
    "forge_bar",
    "make_folded_layup",
    "make_layups",
]
