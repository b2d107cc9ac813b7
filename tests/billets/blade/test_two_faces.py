"""Blades whose faces are ground differently; figures worked by hand from the geometry.

The chisel blade is 4 mm at the spine, 30 mm high, 0.25 mm at the edge before sharpening, its left
face not ground: the right face rises from 0.25 to 4 mm over 30 mm, h = 0.25 + 0.125 y, and the
edge lies on the left face. Its billet is 5 mm thick, from the left: core 2, copper 0.5, iron 2.5.
"""

from typing import Any

import pytest

from billets.blade.bevel import BevelReading, edge_sentence, face_sentences, read
from billets.blade.face import Face, Moments
from billets.blade.grind import GrindError
from billets.blade.section import Line, Section, section, whole
from billets.blade.two_faces import (
    Ground,
    built_in_mm,
    edge_place_nm,
    grind_words,
    section_of,
    two_faces,
)
from billets.layup.design import Blade, Design, DesignError, OtherFace
from tests.billets.stacks import MM, cased, clad, core, five, lay, line

CHISEL = Blade(4 * MM, 30 * MM, left=OtherFace())
FLAT = Ground("flat")


def off(mm: float, grind: str = "flat") -> Blade:
    """A blade of 4 mm ground on both faces, its edge off the middle."""
    return Blade(4 * MM, 30 * MM, left=OtherFace(grind, edge_off_nm=round(mm * MM)))


def at_face(**changes: Any) -> Design:
    """The core at the bottom face: 2 of core, 0.5 of copper and 2.5 of iron in 5 mm."""
    layers = (core(mm=4.0), line(mm=1.0), clad(mm=5.0))
    return lay(*layers, finish_mm=5.0, **{"blade": CHISEL, **changes})


def sectioned(blade: Blade) -> Section:
    return section_of(blade, edge_nm=250_000)


def reading(design: Design, right: tuple[Line, ...], left: tuple[Line, ...] = ()) -> BevelReading:
    """The blade of a design with these lines, the core where the stack puts it."""
    blade = sectioned(design.blade)
    drift_mm = (built_in_mm(cased(design)) or 0.0) + blade.middle_mm
    return read(blade, right=right, left=left, drift_mm=drift_mm)


def test_a_face_that_is_not_ground_lies_in_the_plane_of_the_edge() -> None:
    blade = sectioned(CHISEL)

    assert [blade.right.half_mm(up) for up in (0, 10, 30)] == pytest.approx([0.25, 1.5, 4.0])
    assert [blade.left.half_mm(up) for up in (0, 10, 30)] == [0, 0, 0]
    assert blade.middle_mm == pytest.approx(2.0)


def test_a_chisel_grind_is_sharpened_from_its_ground_side_alone() -> None:
    blade = sectioned(CHISEL)

    # y tan 20 deg = 0.25 + 0.125 y: y = 0.25 / (0.363970 - 0.125)
    assert blade.sharp["right"].shoulder_mm == pytest.approx(1.046155, abs=1e-6)
    assert blade.sharp["left"].shoulder_mm == 0


def test_the_area_of_a_chisel_ground_section_is_a_trapezium() -> None:
    found = whole(sectioned(CHISEL))

    assert found.area_mm2 == pytest.approx((0.25 + 4.0) / 2 * 30)
    assert sectioned(CHISEL).left.under(1.0) == Moments()


def test_an_edge_off_the_middle_gives_each_face_its_own_share_of_the_spine() -> None:
    blade = sectioned(off(0.5))

    assert (blade.right.spine_half_mm, blade.left.spine_half_mm) == pytest.approx((2.5, 1.5))
    assert (blade.right.edge_half_mm, blade.left.edge_half_mm) == pytest.approx((0.125, 0.125))
    assert blade.middle_mm == pytest.approx(0.5)


def test_an_edge_may_be_as_far_off_as_the_left_face_has_something_to_grind() -> None:
    # (4 - 0.25) / 2 = 1.875
    assert sectioned(off(1.874)).left.spine_half_mm == pytest.approx(0.126)
    with pytest.raises(GrindError, match=r"An edge 1.88 mm off .* spine of 4 mm; .* 1.88 mm"):
        sectioned(off(1.875))


@pytest.mark.parametrize("left", [None, Ground("none"), FLAT])
def test_a_spine_no_thicker_than_the_edge_is_refused_in_the_blade_s_own_sizes(
    left: Ground | None,
) -> None:
    with pytest.raises(GrindError, match=r"A spine of 0\.2 mm with an edge of 0\.25 mm"):
        two_faces(spine_mm=0.2, height_mm=30, edge_mm=0.25, right=FLAT, left=left)


def test_a_left_face_of_its_own_grind_keeps_its_own_sizes() -> None:
    right, left = two_faces(
        spine_mm=4.4,
        height_mm=30.0,
        edge_mm=0.4,
        right=FLAT,
        left=Ground("hollow", bevel_mm=20.0, wheel_mm=101.0),
    )

    assert (right.grind, right.bevel_mm) == ("flat", 30.0)
    assert (left.grind, left.bevel_mm, left.radius_mm) == ("hollow", 20.0, 101.0)
    assert right.half_mm(20.0) == pytest.approx(1.533333, abs=1e-6)
    assert left.half_mm(20.0) == pytest.approx(2.2)


def test_all_that_a_chisel_grind_takes_off_the_billet_comes_off_the_right_face() -> None:
    # Core from 0 to 2 of 5 mm, its middle at 1; the blade keeps 0 to 4, its middle at 2.
    assert built_in_mm(cased(at_face())) == pytest.approx(-1.0)
    # Ground alike on both faces it keeps 0.5 to 4.5: its middle is the billet's, at 2.5.
    assert built_in_mm(cased(at_face(blade=Blade(4 * MM, 30 * MM)))) == pytest.approx(-1.5)


def test_the_line_of_a_chisel_blade_comes_out_where_its_one_face_reaches_it() -> None:
    found = reading(at_face(), (Line(1.0, 1.5, "copper"),))
    one = found.right.lines[0]

    # 0.25 + 0.125 y = 2 and = 2.5; 0.5 / sin 7.125016 deg
    assert (one.start_mm, one.end_mm) == pytest.approx((14.0, 18.0))
    assert one.width_mm == pytest.approx(4.031129, abs=1e-6)
    assert found.left.lines == ()


def test_the_edge_of_a_chisel_blade_lies_in_a_core_at_its_face() -> None:
    found = reading(at_face(), (Line(1.0, 1.5, "copper"),))

    assert found.is_edge_in_core
    assert found.near_mm == pytest.approx(2.0)
    assert edge_sentence(found, system="metric") == (
        "The edge lies in the core, 2 mm from the nearest side of it, and stays in it however far "
        "it wears."
    )
    assert face_sentences(found.left, system="metric") == (
        ("Is not ground, and is core from edge to spine.",),
    )


def test_the_edge_of_a_chisel_blade_lies_outside_a_core_in_the_middle() -> None:
    # 4, 0.5, 4, 0.5, 4 = 13 forged to 6.5: the core lies from 2.25 to 4.25, the edge at 0.
    lines = (Line(1.0, 1.25, "copper"),)
    found = reading(five(blade=CHISEL), lines, lines)

    assert not found.is_edge_in_core
    assert found.near_mm == pytest.approx(-2.25)
    assert edge_sentence(found, system="metric").startswith(
        "The edge lies outside the core, which ends 2.25 mm short of it."
    )
    assert "the edge lies outside the core" in face_sentences(found.left, system="metric")[0][0]


def test_an_edge_off_the_middle_raises_the_line_on_its_own_side() -> None:
    lines = (Line(1.0, 1.25, "copper"),)
    found = reading(five(blade=off(0.5)), lines, lines)

    # right: core to 1.5 on 0.125 + 2.375 y / 30; left: core to 0.5 on 0.125 + 1.375 y / 30
    assert found.right.lines[0].start_mm == pytest.approx(17.368421, abs=1e-6)
    assert found.left.lines[0].start_mm == pytest.approx(8.181818, abs=1e-6)
    assert found.near_mm == pytest.approx(0.5)
    assert not found.is_centred


def test_a_valley_moves_nothing_on_a_face_that_is_not_ground() -> None:
    blade = sectioned(CHISEL)
    lines = (Line(1.0, 1.25),)

    found = read(blade, right=lines, left=lines, drift_mm=0.5, valley_mm=0.1)

    assert found.left.lines[0].state == "not-ground"
    assert found.left.lines[0].wave_mm == 0
    assert found.left.lines[0].wear_mm is None
    assert found.right.lines[0].wave_mm == pytest.approx(0.8)


@pytest.mark.parametrize(
    ("blade", "place_mm"), [(Blade(), 2.5), (off(0.5), 2.0), (off(0.0), 2.5), (CHISEL, 0.0)]
)
def test_the_edge_has_its_place_in_the_billet(blade: Blade, place_mm: float) -> None:
    assert edge_place_nm(blade, finish_nm=5 * MM) == place_mm * MM


def test_the_grind_of_both_faces_is_said() -> None:
    assert grind_words(Blade(grind="sabre")) == "A sabre grind"
    assert grind_words(CHISEL) == "Right face flat, left face not ground"
    assert grind_words(off(0.2, "hollow")) == "Right face flat, left face hollow"


def test_a_stack_without_one_core_has_no_drift() -> None:
    assert built_in_mm(cased(lay(clad(), clad()))) is None


def test_equal_faces_have_the_edge_in_the_middle() -> None:
    one = Face("flat", 30.0, 30.0, 0.2, 2.0)

    assert section(right=one, sharpen_deg=20.0).middle_mm == 0


def test_the_other_face_is_kept_and_read_back() -> None:
    other = OtherFace("hollow", bevel_height_nm=20 * MM, wheel_radius_nm=101 * MM, edge_off_nm=7)

    for blade in (CHISEL, Blade(left=other)):
        assert Design.from_json(five(blade=blade).to_json()).blade == blade


def test_a_layup_written_down_before_there_were_two_faces_reads_as_alike() -> None:
    stored = five().to_json()

    assert "left" not in stored["blade"]
    assert Design.from_json(stored).blade.left is None


@pytest.mark.parametrize(
    ("left", "said"),
    [
        ("flat", "'left' of this layup is 'flat'; it has to be a group of named values."),
        ({"grind": "scalloped"}, "it has to be one of none, flat, sabre, hollow, convex."),
        ({"edge_off_nm": "1"}, "'edge_off_nm' of this layup is '1'"),
    ],
)
def test_a_left_face_that_is_none_is_refused(left: object, said: str) -> None:
    stored = five().to_json()
    stored["blade"]["left"] = left

    with pytest.raises(DesignError) as refusal:
        Design.from_json(stored)

    assert said in str(refusal.value)
