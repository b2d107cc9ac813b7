"""Where lines come out on a blade; figures worked by hand from the geometry.

The flat blade is 4 mm at the spine, 30 mm high, 0.4 mm at the edge: h = 0.2 + 0.06 y, and
tan 20° = 0.363970. The hollow one is an arc of 101 mm over a bevel 20 mm high that gains 2 mm.
"""

import pytest

from billets.blade.bevel import (
    BevelReading,
    edge_sentence,
    line_sentences,
    read,
)
from billets.blade.face import Face
from billets.blade.grind import BevelError, face
from billets.blade.section import Line, Section, section, shoulder_mm
from billets.blade.two_faces import built_in_drift_mm, section_of
from billets.layup.design import Blade

COPPER = (Line(1.0, 1.2, "copper"),)


def flat() -> Face:
    return face(grind="flat", spine_mm=4.0, height_mm=30.0, edge_mm=0.4)


def hollow() -> Face:
    return face(
        grind="hollow", spine_mm=4.4, height_mm=30.0, edge_mm=0.4, bevel_mm=20.0, wheel_mm=101.0
    )


def blade(one: Face | None = None) -> Section:
    return section(right=one or flat(), sharpen_deg=20.0)


def reading(drift_mm: float = 0.0, valley_mm: float = 0.0) -> BevelReading:
    return read(blade(), right=COPPER, left=COPPER, drift_mm=drift_mm, valley_mm=valley_mm)


def test_the_line_of_a_flat_grind_comes_out_where_the_face_reaches_it() -> None:
    line = reading().right.lines[0]

    assert line.state == "shows"
    assert line.start_mm == pytest.approx(13.333333, abs=1e-6)
    assert line.end_mm == pytest.approx(16.666667, abs=1e-6)


def test_the_visible_width_is_the_thickness_over_the_sine_of_the_half_angle() -> None:
    assert reading().right.lines[0].width_mm == pytest.approx(3.339328, abs=1e-6)


def test_the_visible_width_on_a_hollow_grind_is_an_arc() -> None:
    line = read(blade(hollow()), right=COPPER, left=COPPER).right.lines[0]

    assert line.start_mm == pytest.approx(12.687001, abs=1e-6)
    assert line.end_mm == pytest.approx(14.177447, abs=1e-6)
    assert line.width_mm == pytest.approx(1.503818, abs=1e-6)


def test_drift_raises_the_line_on_one_face_and_lowers_it_on_the_other() -> None:
    drifted = reading(drift_mm=0.2)

    assert drifted.right.lines[0].start_mm == pytest.approx(16.666667, abs=1e-6)
    assert drifted.left.lines[0].start_mm == pytest.approx(10.0)
    assert drifted.left.lines[0].end_mm == pytest.approx(13.333333, abs=1e-6)


def test_the_edge_may_wear_until_the_sharpened_bevel_meets_the_line() -> None:
    wear_mm = reading().right.lines[0].wear_mm

    assert wear_mm == pytest.approx(10.585856, abs=1e-5)
    assert shoulder_mm(flat(), sharpen_deg=20.0, worn_mm=10.585856) == pytest.approx(
        13.333333, abs=1e-5
    )


def test_the_edge_leaves_the_core_when_the_drift_reaches_half_the_core() -> None:
    assert reading().drift_out_mm == pytest.approx(1.0)
    assert reading(drift_mm=-0.999).is_edge_in_core
    assert not reading(drift_mm=-1.001).is_edge_in_core
    assert reading(drift_mm=-1.001).right.lines[0].state == "edge-out"


def test_the_room_for_drift_ends_at_the_sharpened_bevel() -> None:
    one = reading(drift_mm=0.3).left

    assert one.core_mm == pytest.approx(0.7)
    assert one.room_mm == pytest.approx(0.460522, abs=1e-6)


def test_a_valley_moves_the_line_by_its_depth_over_the_tangent() -> None:
    assert reading(valley_mm=0.09).right.lines[0].wave_mm == pytest.approx(1.5)
    assert reading().right.lines[0].wave_mm == 0


def test_a_wave_is_never_higher_than_the_blade() -> None:
    assert blade(hollow()).sharp["right"].wave_mm(25.0, valley_mm=0.1) == 30.0


def test_a_face_ground_deeper_than_the_line_does_not_show_it() -> None:
    thin = section(
        right=face(grind="flat", spine_mm=1.9, height_mm=30.0, edge_mm=0.4), sharpen_deg=20
    )
    line = read(thin, right=COPPER, left=COPPER).right.lines[0]

    assert line.state == "not-reached"
    assert line.wear_mm is None
    assert line.spine_mm == pytest.approx(2.4)
    assert "Does not come out on this face" in line_sentences(line, system="metric")[0]


def test_a_spine_inside_the_copper_lets_the_line_run_to_the_spine() -> None:
    thin = section(
        right=face(grind="flat", spine_mm=2.2, height_mm=30.0, edge_mm=0.4), sharpen_deg=20
    )
    line = read(thin, right=COPPER, left=COPPER).right.lines[0]

    assert line.state == "to-spine"
    assert line.start_mm == pytest.approx(26.666667, abs=1e-6)
    assert line.end_mm == 30.0


def test_a_core_as_thin_as_the_edge_shows_copper_in_the_sharpened_bevel() -> None:
    thin_core = (Line(0.1, 0.15), Line(0.2, 0.5))
    first, second = read(blade(), right=thin_core, left=thin_core).right.lines

    assert first.state == "in-edge"
    assert first.start_mm == pytest.approx(0.274748, abs=1e-6)
    assert first.wear_mm == 0
    assert second.state == "at-edge"
    assert second.end_mm == pytest.approx(5.0)


def test_a_seven_layer_stack_shows_two_lines_on_each_face() -> None:
    right = left = (Line(0.8, 1.0, "line"), Line(1.4, 1.6, "line"))
    found = read(blade(), right=right, left=left)

    assert [round(one.start_mm, 3) for one in found.right.lines] == [10.0, 20.0]
    assert [round(one.end_mm, 3) for one in found.left.lines] == [13.333, 23.333]


def test_a_core_welded_to_its_cladding_comes_out_as_a_boundary() -> None:
    right = left = (Line(1.0, 1.0, "core"),)
    line = read(blade(), right=right, left=left).right.lines[0]

    assert line.start_mm == line.end_mm == pytest.approx(13.333333, abs=1e-6)
    assert line_sentences(line, system="metric")[0] == (
        "The core comes out below 13.3 mm above the edge."
    )


def test_an_uneven_stack_has_its_drift_built_in() -> None:
    assert built_in_drift_mm([1.0, 0.2, 2.0, 0.2, 1.4], core=2) == pytest.approx(-0.2)
    assert built_in_drift_mm([1.0, 2.0, 1.0], core=1) == 0


def test_two_faces_may_be_ground_differently() -> None:
    mixed = section(right=hollow(), left=thicker_flat(), sharpen_deg=20.0)
    found = read(mixed, right=COPPER, left=COPPER)

    assert found.right.lines[0].start_mm == pytest.approx(12.687001, abs=1e-6)
    assert found.left.lines[0].start_mm == pytest.approx(12.0)


def thicker_flat() -> Face:
    return face(grind="flat", spine_mm=4.4, height_mm=30.0, edge_mm=0.4)


def test_a_layup_s_blade_becomes_a_section() -> None:
    made = section_of(Blade(spine_nm=4_000_000, height_nm=30_000_000), edge_nm=400_000)

    assert made == section(right=flat(), sharpen_deg=20.0)


def test_a_hollow_without_a_height_is_as_high_as_the_wheel_allows() -> None:
    one = section_of(
        Blade(spine_nm=4_000_000, height_nm=30_000_000, grind="hollow"), edge_nm=400_000
    ).right

    assert one.radius_mm == 127.0
    assert one.bevel_mm == pytest.approx(20.2413, abs=1e-3)


def test_sentences_are_in_the_shop_s_own_unit() -> None:
    line = reading(valley_mm=0.09).right.lines[0]

    assert line_sentences(line, system="metric") == (
        "Comes out 13.3 mm above the edge and ends at 16.7 mm, 3.34 mm wide on the bevel.",
        "Die valleys move it up and down by 1.5 mm.",
        "10.6 mm of edge may wear away before the line meets the sharpened bevel; "
        "an edge in the core stays in the core.",
    )
    assert line_sentences(line, system="inch")[0] == (
        "Comes out 0.525 in above the edge and ends at 0.656 in, 0.131 in wide on the bevel."
    )


def test_the_edge_is_said_to_stay_in_the_core_or_to_have_left_it() -> None:
    assert "stays in it however far it wears" in edge_sentence(reading(), system="metric")
    assert "drifted 1.2 mm, and 1 mm is as far" in edge_sentence(
        reading(drift_mm=1.2), system="metric"
    )


def test_lines_out_of_order_are_refused() -> None:
    with pytest.raises(BevelError, match="from the core outwards"):
        read(blade(), right=(Line(1.4, 1.6), Line(1.0, 1.2)), left=())


def test_a_negative_valley_is_refused() -> None:
    with pytest.raises(BevelError, match="enter a depth of 0 or more"):
        reading(valley_mm=-0.1)
