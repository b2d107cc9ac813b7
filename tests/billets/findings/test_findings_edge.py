"""Where the edge of faces that are not ground alike comes out; figures worked by hand.

The shop's edge is 0.25 mm thick before sharpening, its drift allowance 0.2 mm.
"""

import pytest

from billets.layup.design import Blade, Design, OtherFace
from billets.layup.stack import finished_layers
from tests.billets.stacks import MM, around, clad, codes, core, five, judged, lay, line, only

CHISEL = Blade(4 * MM, 32 * MM, left=OtherFace())


def at_face(core_mm: float = 4.0, clad_mm: float = 5.0, blade: Blade = CHISEL) -> Design:
    """Core at the bottom, 1 mm of copper, iron over it, forged from 10 mm to 5."""
    layers = (core(mm=core_mm), line(mm=1.0), clad(mm=clad_mm))
    return lay(*layers, finish_mm=5.0, blade=blade)


def off(mm: float) -> Blade:
    """A blade of 4 mm with both faces flat, its edge towards the left one."""
    return Blade(4 * MM, 32 * MM, left=OtherFace("flat", edge_off_nm=round(mm * MM)))


def test_a_core_at_the_face_that_is_not_ground_holds_the_edge() -> None:
    found = judged(at_face())

    assert codes(found, "stop") == set()
    assert "asymmetric" not in codes(found, "care")
    assert only(found, "one-sided").sentence("metric") == (
        "The core lies at one face, as a chisel grind wants it. Core and cladding shrink by "
        "different amounts, so the blade bends in the quench. Leave it a little thick, and be "
        "ready to straighten it."
    )


def test_a_core_in_the_middle_of_a_chisel_grind_is_a_stop() -> None:
    # 4 and 0.5 of 13 mm forged to 6.5: the core begins at 2.25 mm.
    one = only(judged(five(blade=CHISEL)), "edge-off-core")

    assert one.level == "stop"
    assert one.layers == (2,)
    assert one.sentence("metric") == (
        "The left face is not ground, so the edge comes out on it, in layer 1 (1018 mild steel); "
        "the core begins 2.25 mm further in. An edge outside the core does not harden. Make the "
        "core the bottom layer, or grind both faces."
    )


def test_the_same_stack_ground_alike_on_both_faces_is_sound() -> None:
    assert codes(judged(five()), "stop") == set()


def test_a_core_at_the_other_face_than_the_edge_s_is_a_stop() -> None:
    turned = lay(clad(mm=5.0), line(mm=1.0), core(), finish_mm=5.0, blade=CHISEL)

    one = only(judged(turned), "edge-off-core")

    assert "the core begins 3 mm further in" in one.sentence("metric")


def test_the_core_of_a_chisel_grind_need_only_hold_the_edge_and_one_drift() -> None:
    # 0.25 + 0.2 = 0.45 mm: 0.9 of 10 mm forged to 5 is just enough, 0.88 is 0.44.
    enough = at_face(core_mm=0.9, clad_mm=8.1)
    thin = at_face(core_mm=0.88, clad_mm=8.12)

    assert "core-too-thin" not in codes(judged(enough), "stop")
    one = only(judged(thin), "core-too-thin")
    assert one.limit is not None
    assert one.limit.value == 450_000
    assert "a core that may lie 0.2 mm off need 0.45 mm" in one.sentence("metric")


@pytest.mark.parametrize(("off_mm", "is_stop"), [(0.67, False), (0.68, True)])
def test_an_edge_off_the_middle_needs_core_beyond_it(off_mm: float, is_stop: bool) -> None:
    # The core is 2 of 6.5 mm: 1 to either side. 1 - 0.125 - 0.2 = 0.675.
    assert ("edge-off-core" in codes(judged(five(blade=off(off_mm))), "stop")) is is_stop


def test_an_edge_that_has_left_the_core_says_on_which_side() -> None:
    near, out = (only(judged(five(blade=off(mm))), "edge-off-core") for mm in (0.8, 1.3))

    assert near.sentence("metric") == (
        "The edge comes out in the core, 0.2 mm from its left side. The edge (0.25 mm) and a core "
        "that may lie 0.2 mm off need 0.32 mm of core on that side. Put the edge nearer the "
        "middle of the core, or start with a thicker core."
    )
    assert near.figure is not None
    assert near.figure.value == pytest.approx(200_000)
    assert out.words("metric").what == (
        "The edge comes out 0.3 mm outside the core, on its left side."
    )


def test_an_uneven_stack_may_be_put_right_by_moving_the_edge() -> None:
    # 3, 0.5, 4, 0.5, 5 = 13 forged to 6.5: the core lies from 1.75 to 3.75, its middle at 2.75,
    # 0.5 left of the billet's.
    layers = (clad(mm=3.0), line(), core(), line(), clad(mm=5.0))

    assert "edge-off-core" not in codes(judged(lay(*layers, blade=off(0.5))), "stop")
    assert "edge-off-core" in codes(judged(lay(*layers, blade=off(1.2))), "stop")


def test_an_edge_further_off_than_the_spine_allows_is_a_stop() -> None:
    # (4 - 0.25) / 2 = 1.875
    one = only(judged(around(core(mm=9.0), clad(), line(), blade=off(1.875))), "edge-off-blade")

    assert one.level == "stop"
    assert one.sentence("metric").startswith(
        "The edge is to lie 1.88 mm off the middle of a spine of 4 mm."
    )


@pytest.mark.parametrize(
    ("blade", "said"),
    [
        (Blade(200_000, 32 * MM), "A spine of 0.2 mm with an edge of 0.25 mm"),
        (Blade(4 * MM, 32 * MM, "hollow", 30 * MM, 20 * MM), "A wheel of radius 20 mm"),
        (Blade(4 * MM, 32 * MM, grind="convex", bulge_nm=90_000 * MM), "A bulge of 90000 mm"),
        (Blade(4 * MM, 32 * MM, left=OtherFace("sabre", 40 * MM)), "A bevel 40 mm high does not"),
    ],
)
def test_a_blade_that_cannot_be_ground_is_not_called_sound(blade: Blade, said: str) -> None:
    one = only(judged(five(blade=blade)), "blade-not-ground")

    assert one.level == "care"
    assert one.sentence("metric").startswith(said)


def test_a_face_that_is_not_ground_loses_nothing_at_the_spine() -> None:
    # 2, 0.5, 2.5 in 5 mm, ground to 4: all of it from the top.
    assert finished_layers(at_face()) == (2_000_000, 500_000, 1_500_000)
    alike = at_face(blade=Blade(4 * MM, 32 * MM))
    assert finished_layers(alike) == (1_500_000, 500_000, 2_000_000)


def test_cladding_that_a_chisel_grind_takes_off_is_said() -> None:
    # 3, 1, 1 of 5 mm: a spine of 4 takes all of the iron; 4 / (1 - 0.2) = 5 mm leaves just none.
    bare = lay(core(mm=6.0), line(mm=2.0), clad(mm=2.0), finish_mm=5.0, blade=CHISEL)
    one = only(judged(bare), "ground-through")

    assert one.words("metric").why == "The ground face loses 1 mm."
    assert one.layers == (2,)


def test_a_thick_line_on_a_chisel_grind_is_half_as_wide_as_on_two_faces() -> None:
    # 0.6 mm on a face that gains 3.75 mm over 32: 0.6 / sin 6.684 deg = 5.15504 mm.
    thick = lay(core(mm=4.0), line(mm=1.2), clad(mm=4.8), finish_mm=5.0, blade=CHISEL)

    assert "about 5.16 mm wide on this flat grind" in only(judged(thick), "line-thick").sentence(
        "metric"
    )
