"""Sections and lines against shapely: polygons and cuts by another hand than the formulas.

Blades come from a fixed seed. Arcs are drawn here by turning the end points about a centre found
on the perpendicular bisector, never through the module's own half-thickness; areas, centroids
and cuts are shapely's (GEOS). Source: shapely, read (called here).
"""

import math
import random
from dataclasses import dataclass
from functools import cache
from itertools import pairwise

import numpy
import pytest
from shapely import LineString, Polygon, box

from billets.blade.bevel import read
from billets.blade.face import Face
from billets.blade.grind import face, tightest_radius_mm
from billets.blade.section import Line, Section, band, centroid_mm, section, whole

BLADES = 240
ARC_POINTS = 6_001
RELATIVE = 1e-6
Outline = tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class Case:
    """One random blade: what was drawn, and the outline of each face by turning about a centre."""

    blade: Section
    right: Outline
    left: Outline
    core_mm: float
    copper_mm: float
    drift_mm: float

    @property
    def polygon(self) -> Polygon:
        """The whole section: up the right face, down the left one."""
        return Polygon([*self.right, *((up, -across) for up, across in reversed(self.left))])


def turned(start: complex, end: complex, radius_mm: float, bend: int) -> list[complex]:
    """Points of the shorter arc from start to end; bend +1 bulges outwards, -1 inwards."""
    chord = end - start
    away = 1j * chord / abs(chord)
    centre = (start + end) / 2 - bend * away * math.sqrt(radius_mm**2 - abs(chord) ** 2 / 4)
    turn = numpy.angle((end - centre) / (start - centre))
    steps = numpy.exp(1j * numpy.linspace(0.0, turn, ARC_POINTS))
    return [complex(point) for point in centre + (start - centre) * steps]


def drawn_face(
    dice: random.Random, spine_mm: float, height_mm: float, edge_mm: float
) -> tuple[Face, Outline]:
    """A face as the module makes it, and its outline as it is drawn here."""
    grind = dice.choice(["flat", "sabre", "hollow", "convex"])
    rise_mm = (spine_mm - edge_mm) / 2
    bevel_mm = height_mm if grind == "flat" else height_mm * dice.uniform(0.4, 1.0)
    foot, top = complex(0, edge_mm / 2), complex(bevel_mm, spine_mm / 2)
    radius_mm = tightest_radius_mm(bevel_mm=bevel_mm, rise_mm=rise_mm) * dice.uniform(1.02, 6.0)
    sagitta_mm = radius_mm - math.sqrt(radius_mm**2 - abs(top - foot) ** 2 / 4)
    bend = {"hollow": -1, "convex": 1}.get(grind, 0)
    arc = turned(foot, top, radius_mm, bend) if bend else [foot, top]
    points = [*arc, complex(height_mm, spine_mm / 2)]
    made = face(
        grind=grind,
        spine_mm=spine_mm,
        height_mm=height_mm,
        edge_mm=edge_mm,
        bevel_mm=None if grind == "flat" else bevel_mm,
        wheel_mm=radius_mm if grind == "hollow" else None,
        bulge_mm=sagitta_mm if grind == "convex" else None,
    )
    return made, tuple((point.real, point.imag) for point in points)


@cache
def cases() -> tuple[Case, ...]:
    """The random blades, the same from run to run."""
    dice = random.Random(20_260_314)
    made = []
    for _ in range(BLADES):
        spine_mm, height_mm = dice.uniform(2.5, 7.0), dice.uniform(18.0, 60.0)
        edge_mm = dice.uniform(0.1, 0.8)
        right, right_points = drawn_face(dice, spine_mm, height_mm, edge_mm)
        left, left_points = drawn_face(dice, spine_mm, height_mm, edge_mm)
        core_mm = dice.uniform(0.35, 0.6) * spine_mm
        made.append(
            Case(
                blade=section(right=right, left=left, sharpen_deg=dice.uniform(25.0, 40.0)),
                right=right_points,
                left=left_points,
                core_mm=core_mm,
                copper_mm=dice.uniform(0.03, 0.12) * spine_mm,
                drift_mm=dice.uniform(-0.2, 0.2) * core_mm,
            )
        )
    return tuple(made)


def ground_polygon(case: Case) -> Polygon:
    """The section after sharpening: what lies inside the V of the edge."""
    slope = math.tan(math.radians(case.blade.sharpen_deg))
    wedge = Polygon([(0, 0), (100, 100 * slope), (100, -100 * slope)])
    ground = case.polygon.intersection(wedge)
    assert isinstance(ground, Polygon)
    return ground


def layers_mm(case: Case) -> list[tuple[float, float]]:
    """Depths of every layer from the left face to the right one, with the core off centre."""
    half_mm, copper_mm, out_mm = case.core_mm / 2, case.copper_mm, 10.0
    cuts = [-out_mm, -half_mm - copper_mm, -half_mm, half_mm, half_mm + copper_mm, out_mm]
    moved = [cut + case.drift_mm for cut in cuts]
    return list(pairwise(moved))


@pytest.mark.slow
def test_every_grind_is_among_the_blades() -> None:
    grinds = [one.grind for case in cases() for one in (case.blade.right, case.blade.left)]

    assert len(cases()) >= 200
    assert min(grinds.count(grind) for grind in ("flat", "sabre", "hollow", "convex")) >= 50


@pytest.mark.parametrize("number", range(BLADES))
def test_area_and_centroid_of_a_section_agree_with_a_polygon(number: int) -> None:
    case = cases()[number]

    total = whole(case.blade)

    polygon = case.polygon
    assert total.area_mm2 == pytest.approx(polygon.area, rel=RELATIVE)
    centre = centroid_mm(total)
    assert centre is not None
    assert centre[0] == pytest.approx(polygon.centroid.x, rel=RELATIVE)
    assert centre[1] == pytest.approx(polygon.centroid.y, abs=RELATIVE * case.core_mm)


@pytest.mark.slow
@pytest.mark.parametrize("number", range(BLADES))
def test_every_layer_of_a_section_agrees_with_a_clipped_polygon(number: int) -> None:
    case = cases()[number]
    polygon = case.polygon

    for low_mm, high_mm in layers_mm(case):
        layer = band(case.blade, low_mm=low_mm, high_mm=high_mm)
        clipped = polygon.intersection(box(-1.0, low_mm, 100.0, high_mm))
        assert layer.area_mm2 == pytest.approx(clipped.area, rel=RELATIVE, abs=1e-7)
        centre = centroid_mm(layer)
        if clipped.area > 1e-3:
            assert centre is not None
            assert centre[0] == pytest.approx(clipped.centroid.x, rel=RELATIVE)
            assert centre[1] == pytest.approx(clipped.centroid.y, abs=RELATIVE * case.core_mm)


@pytest.mark.slow
@pytest.mark.parametrize("number", range(BLADES))
def test_every_line_comes_out_where_a_cut_through_the_sharpened_polygon_does(number: int) -> None:
    case = cases()[number]
    half_mm = case.core_mm / 2
    lines = (Line(half_mm, half_mm + case.copper_mm),)

    found = read(case.blade, right=lines, left=lines, drift_mm=case.drift_mm)

    ground = ground_polygon(case)
    checked = 0
    for side, sign in ((found.right, 1), (found.left, -1)):
        depth_mm = half_mm + sign * case.drift_mm
        line = side.lines[0]
        for up_mm, at_mm in ((line.start_mm, depth_mm), (line.end_mm, depth_mm + case.copper_mm)):
            cut = ground.intersection(LineString([(-1, sign * at_mm), (100, sign * at_mm)]))
            if not cut.is_empty and cut.length > 1e-6:
                assert up_mm == pytest.approx(cut.bounds[0], rel=RELATIVE)
                checked += 1
    assert checked >= 2


@pytest.mark.parametrize("number", range(BLADES))
def test_the_visible_width_is_the_length_of_the_face_between_two_cuts(number: int) -> None:
    case = cases()[number]
    half_mm = case.core_mm / 2
    lines = (Line(half_mm, half_mm + case.copper_mm),)

    line = read(case.blade, right=lines, left=lines, drift_mm=case.drift_mm).right.lines[0]

    below_spine_mm = min(line.end_mm, case.blade.height_mm - 1e-9)
    between = box(line.start_mm, 1e-9, below_spine_mm, 10.0)
    surface = ground_polygon(case).exterior.intersection(between)
    assert line.state in ("shows", "at-edge", "to-spine")
    assert line.width_mm == pytest.approx(surface.length, rel=RELATIVE)
