"""The blade's cross-section as drawn: to scale, with insets. Figures by hand.

The blade is flat, 4 mm at the spine, 30 mm high, 0.4 mm at the edge: h = 0.2 + 0.06 y.
"""

import itertools
import re

import pytest

from billets.blade.grind import face
from billets.blade.section import Line, section
from billets.drawings.blade import SectionDrawing, section_drawing, surface
from billets.drawings.halves import halves, lines_of
from stock.drawings.shapes import DrawingError
from tests.billets.laminates import KINDS, ROLES, blade, five


def drawn(drift_mm: float = 0.0) -> SectionDrawing:
    right, left = five()
    return section_drawing(blade(), right=right, left=left, drift_mm=drift_mm)


def points(d: str) -> list[tuple[float, float]]:
    """The points of a path of straight lines."""
    found = re.findall(r"(-?[\d.]+) (-?[\d.]+)", d)
    return [(float(x), float(y)) for x, y in found]


def test_a_stack_is_cut_in_two_halves_from_the_core_outwards() -> None:
    right, left = halves(
        [1.4, 0.2, 2.0, 0.3, 1.5], kinds=KINDS, roles=ROLES, names=["a", "b", "c", "d", "e"]
    )

    assert [skin.name for skin in right] == ["c", "d", "e"]
    assert [skin.outer_mm for skin in right] == pytest.approx([1.0, 1.3, 2.8])
    assert [skin.name for skin in left] == ["c", "b", "a"]
    (line,) = lines_of(right)
    assert (line.name, line.inner_mm) == ("d", 1.0)
    assert line.outer_mm == pytest.approx(1.3)


def test_a_core_without_lines_has_its_boundary_as_a_line() -> None:
    right, _ = halves(
        [1.5, 2.0, 1.5],
        kinds=["metal-carbon-steel", "metal-core", "metal-carbon-steel"],
        roles=["cladding", "core", "cladding"],
    )

    assert lines_of(right) == (Line(1.0, 1.0, "core"),)


def test_a_stack_without_one_core_cannot_be_drawn_about_it() -> None:
    with pytest.raises(DrawingError, match="exactly one core"):
        halves([1.0, 1.0], kinds=["metal-core"] * 2, roles=["core", "core"])


def test_the_section_lies_edge_left_with_the_right_face_up() -> None:
    corners = points(drawn().outline)

    assert corners[0] == (0.0, 0.0)
    assert corners[1] == (0.658, -0.2395)
    assert (30.0, -2.0) in corners
    assert (30.0, 2.0) in corners
    assert min(y for _, y in corners) == -2.0


def test_bands_stand_where_the_layers_are_with_the_drift() -> None:
    layers = drawn(drift_mm=0.1).layers

    core = layers[2]
    assert (core.kind, core.y, core.height) == ("metal-core", -1.1, 2.0)
    copper = layers[1]
    assert (copper.kind, copper.y, copper.height) == ("metal-copper", -1.3, 0.2)
    assert layers[0].y < -2.0
    assert layers[4].y + layers[4].height > 2.0


def test_bands_lie_side_by_side_without_a_gap() -> None:
    layers = drawn(drift_mm=-0.37).layers

    for upper, lower in itertools.pairwise(layers):
        assert upper.y + upper.height == pytest.approx(lower.y, abs=1e-4)


def test_a_dimension_line_on_each_face_ends_where_the_core_does() -> None:
    right, left = drawn(drift_mm=0.1).measures

    assert (right.side, right.size_nm) == ("right", 15_000_000)
    assert (left.side, left.size_nm) == ("left", 11_666_667)
    assert points(right.d)[1][0] == 15.0
    assert right.label_y < 50 > left.label_y > right.label_y


def test_a_face_that_shows_no_line_has_no_dimension_line() -> None:
    right, left = five()
    thin = section(
        right=face(grind="flat", spine_mm=1.9, height_mm=30.0, edge_mm=0.4), sharpen_deg=20
    )

    measures = section_drawing(thin, right=right, left=left).measures

    assert [measure.d for measure in measures] == ["", ""]


def test_an_inset_is_as_much_larger_as_it_says() -> None:
    for inset in drawn().insets:
        across, down = re.findall(r"matrix\(([\d.]+) 0 0 ([\d.]+) ", inset.matrix)[0]
        assert across == down == inset.factor
        assert float(inset.factor) >= 1.5


def test_the_insets_show_the_edge_and_the_line_s_foot() -> None:
    edge, line = drawn().insets
    for inset, shown_mm in ((edge, 0.0), (edge, 0.658), (line, 13.333), (line, 16.667)):
        factor, _, _, _, shift, _ = map(float, re.findall(r"-?[\d.]+", inset.matrix))
        x = shown_mm * factor + shift
        assert inset.frame.x <= x <= inset.frame.x + inset.frame.width


def test_the_drawing_s_box_holds_everything() -> None:
    drawing = drawn()
    x, y, width, height = map(float, drawing.view_box.split())

    for frame in (inset.frame for inset in drawing.insets):
        assert x <= frame.x
        assert frame.x + frame.width <= x + width + 1e-3
        assert frame.y + frame.height <= y + height + 1e-3
    assert y < -2.0


def test_an_arc_is_drawn_in_steps_along_the_face() -> None:
    one = face(grind="hollow", spine_mm=4.4, height_mm=30.0, edge_mm=0.4, bevel_mm=20.0)
    hollow = section(right=one, sharpen_deg=20.0)

    steps = surface(hollow.sharp["right"])

    assert len(steps) == 19
    assert steps[-1] == (30.0, 2.2)
    for up, half in steps[1:-1]:
        assert half == pytest.approx(one.half_mm(up))
