"""The blade of a layup: as long as it was entered, or a share of the billet and said so."""

from dataclasses import replace

import pytest

from billets.layup.design import Blade, Design, Layer, OtherFace
from billets.panel.blade import ShownBlade, blade_length_mm, shown_blade, too_long
from stock.house import House
from tests.billets.stacks import MM, cased, clad, core, five, lay, line

HOUSE = House()


def with_blade(blade: Blade) -> Design:
    return five(blade=blade)


def test_a_blade_is_two_thirds_of_the_drawn_billet_unless_its_length_was_entered() -> None:
    free, entered = with_blade(Blade()), with_blade(Blade(length_nm=228_600_000))

    assert blade_length_mm(free, drawn_length_mm=240.0) == pytest.approx(160.0)
    assert blade_length_mm(entered, drawn_length_mm=240.0) == 228.6


def test_a_blade_longer_than_its_billet_is_questioned() -> None:
    design = with_blade(Blade(length_nm=228_600_000))

    said = too_long(design, 203.0, system="inch")

    assert said == (
        "The blade is to be 9 in long, but the billet draws out to about 8 in. "
        "Make the blank longer or the blade shorter."
    )
    assert too_long(design, 228.6, system="inch") == ""
    assert too_long(design, None, system="inch") == ""
    assert too_long(with_blade(Blade()), 10.0, system="inch") == ""


def test_only_a_length_that_was_worked_out_is_an_estimate() -> None:
    for length_nm, is_estimate in ((None, True), (177_800_000, False)):
        shown = shown_blade(
            cased(with_blade(Blade(length_nm=length_nm)), HOUSE),
            mark="K7M4",
            drawn_length_mm=240.0,
        )

        assert shown.page is not None
        assert shown.page.right is not None
        assert shown.page.right.is_estimate is is_estimate


def test_the_sliders_begin_at_the_sizes_of_the_layup_s_own_grind() -> None:
    blade = Blade(grind="hollow", bevel_height_nm=20_000_000, wheel_radius_nm=150_000_000)

    shown = shown_blade(cased(with_blade(blade), HOUSE), mark="K7M4", drawn_length_mm=240.0)

    assert shown.page is not None
    stand = {slider.name: slider.text for slider in shown.page.sliders if not slider.is_hidden}
    assert (stand["bevel"], stand["wheel"]) == ("0.787 in", "5.906 in")


@pytest.mark.parametrize("typed", ["0", "-3", "nan", "9**9**9 mm", "three smoots"])
def test_a_slider_s_size_that_cannot_be_read_is_said_and_the_layup_s_own_is_drawn(
    typed: str,
) -> None:
    shown = shown_blade(
        cased(five(), HOUSE),
        mark="K7M4",
        drawn_length_mm=240.0,
        query={"spine": typed},
    )

    assert shown.remark.startswith(f"'{typed}'")
    assert shown.remark.endswith("Drawn is the layup's own blade.")
    assert shown.page is not None
    assert shown.page.sizes.spine_nm == 4_000_000


def test_a_stack_for_a_bar_is_told_from_one_that_is_wrong() -> None:
    steel, nickel = Layer("1084", 3_175_000, "core"), Layer("15n20", 1_500_000, "jacket")
    copper = Layer("c11000", 500_000, "line")

    said = [
        shown_blade(
            cased(five().with_layers(layers), HOUSE), mark="K", drawn_length_mm=None
        ).refused
        for layers in ((steel, nickel, steel), (steel, copper, steel))
    ]

    assert said[0].startswith("This stack makes a bar, not a blade")
    assert said[1] == "A section is drawn about its core; give the stack exactly one core."


def shown_of(design: Design, **query: str) -> ShownBlade:
    """The blade of a design in a metric shop, its sliders as they were sent."""
    return shown_blade(
        cased(design, House(system="metric")),
        mark="K7M4",
        drawn_length_mm=240.0,
        query=query,
    )


def test_an_uneven_stack_is_drawn_with_its_core_where_the_stack_puts_it() -> None:
    # 3, 0.5, 4, 0.5, 5 = 13 forged to 6.5: the core's middle lies at 2.75 of 6.5, 0.5 off.
    uneven = lay(clad(mm=3.0), line(), core(), line(), clad(mm=5.0))

    shown = shown_of(uneven)

    assert shown.page is not None
    assert shown.page.sizes.drift_nm == -500_000
    assert shown.page.section is not None
    assert shown.page.section.reading.drift_mm == pytest.approx(-0.5)


def test_a_chisel_grind_is_drawn_from_the_layup_and_from_its_sliders() -> None:
    # 2 of core, 0.5 of copper, 2.5 of iron in 5 mm, ground to 4 from the right: the core's
    # middle is 1 mm from the edge's plane, the blade's 2 mm.
    at_face = lay(core(mm=4.0), line(mm=1.0), clad(mm=5.0), finish_mm=5.0)
    chisel = replace(at_face, blade=Blade(4 * MM, 30 * MM, left=OtherFace()))

    kept, moved = shown_of(chisel), shown_of(chisel, left="none", drift="-1", spine="4 mm")

    for shown in (kept, moved):
        assert shown.page is not None
        assert shown.page.section is not None
        assert shown.page.sizes.left == "none"
        assert shown.page.section.reading.drift_mm == pytest.approx(1.0)
        assert shown.page.section.reading.near_mm == pytest.approx(2.0)
    alike = shown_of(chisel, left="", drift="0").page
    assert alike is not None
    assert alike.sizes.left == ""
