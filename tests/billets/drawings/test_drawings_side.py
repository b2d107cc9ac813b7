"""The blade from the side: lines along the edge, waves from the mark. Figures by hand.

The blade is flat, 4 mm at the spine, 30 mm high, 0.4 mm at the edge: h = 0.2 + 0.06 y.
"""

import itertools
import re

import pytest

from billets.blade.grind import face
from billets.blade.outline import STATIONS, along_edge, drop_mm, outline, places_mm, ripple, rise_mm
from billets.blade.section import section
from billets.drawings.side import SideView, side_view, zone_heights_mm
from stock.drawings.shapes import DrawingError
from tests.billets.laminates import blade, five


def viewed(side: str = "right", drift_mm: float = 0.0, valley_mm: float = 0.0) -> SideView:
    right, left = five()
    return side_view(
        blade(),
        half=right if side == "right" else left,
        side=side,
        length_mm=140.0,
        drift_mm=drift_mm,
        valley_mm=valley_mm,
        waves=ripple("K7M4", side=side, length_mm=140.0, pitch_mm=20.0),
    )


def points(d: str) -> list[tuple[float, float]]:
    """The points of a path of straight lines."""
    found = re.findall(r"(-?[\d.]+) (-?[\d.]+)", d)
    return [(float(x), float(y)) for x, y in found]


def test_waves_are_the_same_for_the_same_mark_and_differ_between_marks_and_faces() -> None:
    first = ripple("K7M4", side="right", length_mm=140, pitch_mm=20)

    assert first == ripple("K7M4", side="right", length_mm=140, pitch_mm=20)
    assert first != ripple("K7M5", side="right", length_mm=140, pitch_mm=20)
    assert first != ripple("K7M4", side="left", length_mm=140, pitch_mm=20)


def test_waves_turn_as_often_as_there_are_valleys() -> None:
    waves = ripple("K7M4", side="right", length_mm=200, pitch_mm=20, stations=401)

    crossings = sum(one * other < 0 for one, other in itertools.pairwise(waves))
    assert 18 <= crossings <= 21  # twice a valley, and there is room for ten
    assert max(abs(wave) for wave in waves) <= 1
    assert max(waves) > 0.5 > -0.5 > min(waves)


def test_waves_are_smooth() -> None:
    waves = ripple("K7M4", side="right", length_mm=200, pitch_mm=20, stations=2001)

    assert max(abs(b - a) for a, b in itertools.pairwise(waves)) < 0.05


@pytest.mark.parametrize(("length_mm", "pitch_mm"), [(0, 20), (140, 1.9), (140, 0)])
def test_waves_that_cannot_be_drawn_are_refused(length_mm: float, pitch_mm: float) -> None:
    with pytest.raises(DrawingError, match="cannot be drawn"):
        ripple("K7M4", side="right", length_mm=length_mm, pitch_mm=pitch_mm)


def test_edge_and_spine_meet_in_the_tip() -> None:
    edge_mm = 30 - rise_mm(140, length_mm=140, height_mm=30)

    assert edge_mm == pytest.approx(drop_mm(140, length_mm=140, height_mm=30))
    assert edge_mm == pytest.approx(4.2)
    assert rise_mm(50, length_mm=140, height_mm=30) == 0
    assert outline(length_mm=140, height_mm=30)[STATIONS - 1] == pytest.approx((140, 4.2))


def test_a_line_keeps_its_distance_from_the_edge_up_into_the_tip() -> None:
    edge = along_edge([0.0] * STATIONS, length_mm=140, height_mm=30)
    line = along_edge([10.0] * STATIONS, length_mm=140, height_mm=30)

    for x, y in line:
        nearest = min(((x - a) ** 2 + (y - b) ** 2) ** 0.5 for a, b in edge)
        assert nearest == pytest.approx(10.0, abs=0.06)  # the edge is drawn every 1.5 mm


def test_a_straight_line_stands_at_the_height_that_was_worked_out() -> None:
    core = points(viewed().zones[-1].d)

    assert core[0] == pytest.approx((0.0, 16.6667), abs=1e-4)
    assert len(core) == 2 * STATIONS


def test_drift_shows_on_both_sides() -> None:
    right = points(viewed("right", drift_mm=0.2).zones[-1].d)
    left = points(viewed("left", drift_mm=0.2).zones[-1].d)

    assert right[0][1] == pytest.approx(30 - 16.6667, abs=1e-4)
    assert left[0][1] == pytest.approx(20.0)


def test_a_wavy_line_moves_half_up_and_half_down() -> None:
    sharp = blade().sharp["right"]

    up = zone_heights_mm(sharp, depth_mm=1.0, valley_mm=0.09, waves=[1.0, -1.0, 0.0])

    assert up == [
        pytest.approx(14.0833, abs=1e-4),
        pytest.approx(12.5833, abs=1e-4),
        pytest.approx(13.3333, abs=1e-4),
    ]


def test_zones_are_painted_from_the_cladding_to_the_core() -> None:
    assert [zone.kind for zone in viewed().zones] == [
        "metal-carbon-steel",
        "metal-copper",
        "metal-core",
    ]


def test_an_edge_that_left_the_core_shows_no_core_there() -> None:
    sharp = blade().sharp["left"]

    assert set(zone_heights_mm(sharp, depth_mm=-0.1, valley_mm=0, waves=[])) == {0.0}
    assert set(zone_heights_mm(sharp, depth_mm=2.1, valley_mm=0, waves=[])) == {90.0}


def test_the_left_face_is_drawn_with_its_tip_to_the_left() -> None:
    right, left = viewed("right"), viewed("left")

    assert (right.mirror, left.mirror) == ("", "matrix(-1 0 0 1 140 0)")
    assert right.measures[0].label_x + left.measures[0].label_x == pytest.approx(100)


def test_a_flat_grind_has_no_line_where_it_ends() -> None:
    right, _ = five()
    sabre = section(
        right=face(grind="sabre", spine_mm=4.0, height_mm=30.0, edge_mm=0.4, bevel_mm=18.0),
        sharpen_deg=20.0,
    )

    assert viewed().grind_line == ""
    line = side_view(sabre, half=right, side="right", length_mm=140.0).grind_line
    assert points(line)[0] == (0.0, 12.0)


def test_a_blade_without_length_cannot_be_drawn() -> None:
    with pytest.raises(DrawingError, match="0 mm long"):
        places_mm(0)
