"""Faces and sections: shapes, areas and the sizes that make no blade; figures worked by hand.

The flat blade is 4 mm at the spine, 30 mm high, 0.4 mm at the edge: h = 0.2 + 0.06 y, and
tan 20° = 0.363970. The hollow and convex ones are arcs of 101 mm over a bevel 20 mm high that
gains 2 mm: the smallest circle, on which 99, 100, 101 make whole figures.
"""

import math
from itertools import pairwise
from typing import Any

import pytest

from billets.blade.face import Face
from billets.blade.grind import BevelError, GrindError, face
from billets.blade.section import Section, band, centroid_mm, section, shoulder_mm, whole


def flat() -> Face:
    return face(grind="flat", spine_mm=4.0, height_mm=30.0, edge_mm=0.4)


def hollow() -> Face:
    return face(
        grind="hollow", spine_mm=4.4, height_mm=30.0, edge_mm=0.4, bevel_mm=20.0, wheel_mm=101.0
    )


def convex() -> Face:
    return face(
        grind="convex", spine_mm=4.4, height_mm=30.0, edge_mm=0.4, bevel_mm=20.0, bulge_mm=0.50124
    )


def blade(one: Face | None = None) -> Section:
    return section(right=one or flat(), sharpen_deg=20.0)


def test_a_flat_grind_is_a_straight_line_from_edge_to_spine() -> None:
    one = flat()

    assert one.half_mm(0) == pytest.approx(0.2)
    assert one.half_mm(15) == pytest.approx(1.1)
    assert one.half_mm(30) == pytest.approx(2.0)


def test_a_sabre_grind_is_parallel_above_its_bevel() -> None:
    one = face(grind="sabre", spine_mm=5.0, height_mm=30.0, edge_mm=0.4, bevel_mm=12.0)

    assert one.half_mm(6) == pytest.approx(1.35)
    assert one.half_mm(12) == pytest.approx(2.5)
    assert one.half_mm(29) == pytest.approx(2.5)
    assert one.up_mm(1.0) == pytest.approx(4.173913, abs=1e-6)


def test_a_hollow_grind_follows_the_wheel() -> None:
    one = hollow()

    assert one.half_mm(math.sqrt(201)) == pytest.approx(1.2)
    assert one.up_mm(1.2) == pytest.approx(14.177447, abs=1e-6)
    assert one.up_mm(1.0) == pytest.approx(12.687001, abs=1e-6)
    assert one.slope(0.0) == pytest.approx(0.0, abs=1e-9)


def test_a_convex_grind_bulges_outside_the_straight_bevel() -> None:
    one = convex()

    assert one.up_mm(1.2) == pytest.approx(5.8226, abs=2e-4)
    assert one.half_mm(10.0) == pytest.approx(1.703722, abs=2e-5)
    assert one.half_mm(0.0) == pytest.approx(0.2)
    assert one.half_mm(20.0) == pytest.approx(2.2)


def test_the_sharpened_bevel_begins_where_its_v_meets_the_face() -> None:
    assert shoulder_mm(flat(), sharpen_deg=20.0) == pytest.approx(0.657960, abs=1e-6)
    assert shoulder_mm(flat(), sharpen_deg=20.0, worn_mm=5.0) == pytest.approx(6.644898, abs=1e-6)


def test_an_edge_ground_to_nothing_has_no_sharpened_bevel() -> None:
    one = face(grind="flat", spine_mm=4.0, height_mm=30.0, edge_mm=0.0)

    assert shoulder_mm(one, sharpen_deg=20.0) == pytest.approx(0.0, abs=1e-9)


def test_the_area_of_a_flat_section_is_a_trapezium() -> None:
    total = whole(blade())

    assert total.area_mm2 == pytest.approx(66.0)
    assert centroid_mm(total) == pytest.approx((19.090909, 0.0), abs=1e-6)


def test_the_layers_of_a_section_add_up_to_all_of_it() -> None:
    cuts = [-2.2, -1.0, -0.8, 1.2, 1.4, 2.2]
    one = blade(hollow())
    parts = [band(one, low_mm=low, high_mm=high) for low, high in pairwise(cuts)]

    assert sum(part.area_mm2 for part in parts) == pytest.approx(whole(one).area_mm2, rel=1e-12)
    assert sum(part.up_mm3 for part in parts) == pytest.approx(whole(one).up_mm3, rel=1e-12)


def test_a_layer_outside_the_blade_has_no_centroid() -> None:
    assert centroid_mm(band(blade(), low_mm=2.5, high_mm=3.0)) is None


@pytest.mark.parametrize(
    ("sizes", "said"),
    [
        ({"grind": "chisel"}, "'chisel' is not a grind we know"),
        ({"spine_mm": 0.3}, "A spine of 0.3 mm with an edge of 0.4 mm"),
        ({"height_mm": 0.0}, "A blade 0 mm high has no face"),
        ({"height_mm": math.nan}, "A size of the blade is not a number"),
        ({"edge_mm": -0.1}, "has no bevel"),
        ({"grind": "sabre", "bevel_mm": 31.0}, "A bevel 31 mm high does not fit a blade 30 mm"),
        ({"grind": "hollow", "bevel_mm": 30.0}, "use a radius of 250.9 mm or more"),
        ({"grind": "convex", "bulge_mm": 0.6}, "use up to 0.45 mm"),
        ({"grind": "convex", "bulge_mm": 0.0}, "is not convex"),
    ],
)
def test_sizes_that_are_no_blade_are_refused_with_the_limit(
    sizes: dict[str, Any], said: str
) -> None:
    given: dict[str, Any] = {
        "grind": "flat",
        "spine_mm": 4.0,
        "height_mm": 30.0,
        "edge_mm": 0.4,
    } | sizes

    with pytest.raises(GrindError) as refusal:
        face(**given)

    assert said in str(refusal.value)


def test_an_angle_that_does_not_sharpen_the_grind_is_refused() -> None:
    one = face(grind="sabre", spine_mm=5.0, height_mm=30.0, edge_mm=0.4, bevel_mm=8.0)

    with pytest.raises(BevelError, match=r"15° a side .* more than 17.4° and up to 45°"):
        section(right=one, sharpen_deg=15.0)


def test_a_bevel_steeper_than_any_edge_is_refused_with_what_would_help() -> None:
    one = face(grind="sabre", spine_mm=4.0, height_mm=30.0, edge_mm=0.0, bevel_mm=1.5)

    with pytest.raises(BevelError) as refusal:
        section(right=one, sharpen_deg=20.0)

    assert str(refusal.value) == (
        "This bevel is 53.2° a side by itself, steeper than the 45° that an edge is "  # atan 2/1.5
        "sharpened to at most; make the bevel higher or the spine thinner."
    )
