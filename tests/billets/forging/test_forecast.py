"""The whole forecast of a layup's billet: size, losses, layers, seconds, forces, refusals."""

from dataclasses import replace
from typing import Any

import pytest

from billets.errors import DrawOutError, HeatError
from billets.forging.drawout import Block
from billets.forging.forecast import (
    drawn_size,
    forecast,
    method_of,
    outlook_of,
    soak_of,
    stack_block,
)
from billets.forging.outcome import DrawOut, HeatRange, draw_out
from billets.forging.press import Press
from billets.forging.schedule import Method
from billets.forging.target import Stack, Wanted, drawn_to
from billets.layup import design as layup_design
from billets.layup.case import case_of
from stock.house import House
from tests.billets.stacks import cased, heat, own

IN = 25_400_000
SHORT_TON_N = 8896.443  # short ton-force, scipy.constants
LAYERS = (2.54, 0.508, 3.81, 0.508, 2.54)


def usual_design(**changes: Any) -> layup_design.Design:
    """A five-layer stack of 6 x 1-1/4 in, 0.390 in high, to be drawn to 3/16 in."""
    design = layup_design.Design(
        layers=(
            layup_design.Layer("1018", 2_540_000),
            layup_design.Layer("c11000", 508_000, "line"),
            layup_design.Layer("1084", 3_810_000, "core"),
            layup_design.Layer("c11000", 508_000, "line"),
            layup_design.Layer("1018", 2_540_000),
        ),
        blank_length_nm=6 * IN,
        blank_width_nm=IN * 5 // 4,
        finish_thickness_nm=IN * 3 // 16,
    )
    return replace(design, **changes)


def usual_forecast(house: House) -> DrawOut:
    """The usual stack drawn out in a shop."""
    design = usual_design()
    return forecast(cased(design, house))


def test_layers_at_the_end_are_the_stacks_in_ratio() -> None:
    # 3.81 x 4.7625 / 9.906 = 1.8317; copper 0.508 x 0.48077 = 0.24423
    found = usual_forecast(House())

    assert found.layers_mm[2] == pytest.approx(1.8317, rel=1e-4)
    assert found.layers_mm[1] == pytest.approx(0.24423, rel=1e-4)
    assert found.lines[-1].layers_mm == found.layers_mm


def test_layers_that_lose_the_scale_alone_leave_the_inner_ones_thicker() -> None:
    found = usual_forecast(House())

    assert 0.03 < found.inner_gain_ratio < 0.08
    assert "inner ones end about 6 % thicker" in found.notes[0]


def test_six_inches_three_eighths_high_draw_to_about_ten() -> None:
    # Common practice: "about ten"; within 15 % with every setting at its default.
    found = usual_forecast(House())

    assert 8.5 < found.finish.length_mm / 25.4 < 11.5
    assert found.finish.thickness_mm == pytest.approx(4.7625)


def test_every_loss_is_named_and_they_add_up_to_what_is_gone() -> None:
    found = usual_forecast(House())

    gone = found.start.volume_mm3 - found.finish.volume_mm3
    assert sum(loss.volume_mm3 for loss in found.losses) == pytest.approx(gone, rel=1e-9)
    assert found.loss_ratio == pytest.approx(gone / found.start.volume_mm3, rel=1e-9)
    assert [loss.name for loss in found.losses] == ["scale", "ends cropped and seam ground off"]


def test_a_shop_without_a_press_works_by_hand_hammer() -> None:
    found = usual_forecast(House(press_n=0))

    assert found.tool == "hand hammer"
    assert {line.largest_bite_mm for line in found.lines} == {None}
    assert {line.fits for line in found.lines} == {None}
    assert {line.largest_bite_hot_mm for line in found.lines} == {None}


def test_a_small_press_takes_the_bite_only_while_it_is_hot() -> None:
    found = usual_forecast(House(press_n=round(10 * SHORT_TON_N)))

    drawing = [line for line in found.lines if line.work == "draw"]
    assert found.tool == "press"
    assert all((line.largest_bite_hot_mm or 0) >= line.bite_mm for line in drawing)
    assert not any(line.fits for line in drawing)
    assert all(0 < (line.largest_bite_mm or 0) < line.bite_mm for line in drawing)


def test_a_large_press_takes_every_drawing_bite_to_the_end() -> None:
    found = usual_forecast(House(press_n=round(40 * SHORT_TON_N)))

    assert all(line.fits for line in found.lines if line.work == "draw")


def test_a_bite_of_the_largest_size_takes_all_of_the_press() -> None:
    press_n = 20 * SHORT_TON_N
    wide = usual_forecast(House(press_n=round(press_n)))
    bite_mm = wide.lines[4].largest_bite_mm
    assert bite_mm is not None

    # A nearly equal spread: the bite changes the width by a little, and so the force.
    again = usual_forecast(House(press_n=round(press_n), bite_nm=round(bite_mm * 1e6)))

    assert again.lines[4].force_n == pytest.approx(press_n, rel=0.05)


def test_force_is_larger_at_the_floor_than_at_the_ceiling() -> None:
    for line in usual_forecast(House()).lines:
        assert line.force_n > line.force_hot_n > 0


def test_every_line_has_its_seconds_and_they_get_fewer() -> None:
    seconds = [line.seconds for line in usual_forecast(House()).lines]

    assert seconds == sorted(seconds, reverse=True)
    assert 15 < seconds[-1] < seconds[0] < 60


def test_the_seconds_of_a_line_end_with_its_corner_before_its_mean() -> None:
    # 9.9 x 31.75 mm set twice: 11.6 x 32 mm has 36 s at the corner and 43 s in the mean, from
    # 980 to 816 °C; by its thickness that is 9.4 / 11.6 of it, a little more for the width.
    first = usual_forecast(House()).lines[0]

    assert first.seconds == pytest.approx(36 * 0.84, rel=0.06)
    assert first.mean_s == pytest.approx(43 * 0.84, rel=0.06)
    assert all(line.seconds < line.mean_s for line in usual_forecast(House()).lines)


def test_what_the_seconds_rest_on_is_said_beside_them() -> None:
    notes = " ".join(usual_forecast(House()).notes)

    for words in ("corner of the section", "Near an end", "cold dies", "about a sixth"):
        assert words in notes


def test_dies_wider_than_the_billet_is_long_touch_no_more_than_it() -> None:
    stack = Stack(Block(30, 31.75, 9.906), LAYERS, Method(die_width_mm=50.8))
    wanted = Wanted(thickness_mm=6)

    found = draw_out(
        stack,
        drawn=drawn_to(stack, wanted=wanted),
        wanted=wanted,
        heat=HeatRange(980, 816),
        press=Press(),
    )

    assert found.lines[0].bite_mm == found.lines[0].length_mm


def test_where_the_spread_comes_from_is_said() -> None:
    free = usual_forecast(House())
    set_width = usual_design(finish_width_nm=IN * 3 // 2)
    asked = forecast(cased(set_width))

    assert free.spread_from == "Tomlinson & Stringer (1959), from memory"
    assert asked.spread_from == "the sizes asked for"
    assert asked.finish.width_mm == pytest.approx(38.1, rel=1e-9)


def test_a_length_asked_for_gives_the_width_and_a_width_the_length() -> None:
    to_width = usual_design(finish_width_nm=IN * 3 // 2)
    reach_mm = drawn_size(cased(to_width)).finish.length_mm

    to_length = usual_design(finish_length_nm=round(reach_mm * 1_000_000))
    found = forecast(cased(to_length))

    assert found.finish.length_mm == pytest.approx(reach_mm, rel=1e-6)
    assert found.finish.width_mm == pytest.approx(38.1, rel=1e-6)
    assert found.finish.thickness_mm == pytest.approx(4.7625, rel=1e-9)
    assert found.spread_from == "the sizes asked for"


def test_a_length_that_the_metal_does_not_have_is_refused() -> None:
    design = usual_design(finish_length_nm=60 * IN)

    with pytest.raises(DrawOutError) as caught:
        drawn_size(cased(design))

    assert "60.000 in is not possible. Choose a length between those" in caught.value.sentence(
        "inch"
    )


def test_other_sizes_than_the_layups_can_be_tried() -> None:
    design = usual_design()

    found = forecast(cased(design), wanted=Wanted(length_mm=254))

    assert found.finish.length_mm == pytest.approx(254, rel=1e-9)


def test_the_settings_of_the_shop_become_plain_numbers() -> None:
    method = method_of(House(reduction_percent=12, crop_percent=5, scale_per_heat_nm=30_000))

    assert method.largest_reduction == 0.12
    assert method.crop_ratio == 0.05
    assert method.scale_mm == 0.03
    assert method.spread is None


def test_cleaning_makes_the_stack_lower_and_cut_allowance_makes_it_no_longer() -> None:
    # Three steel layers lose 2 x 0.1 mm each: 9.906 - 0.6
    block = stack_block(usual_design(cleaning_loss_nm=100_000, cut_allowance_nm=3_000_000))

    assert block.thickness_mm == pytest.approx(9.306)
    assert block.length_mm == pytest.approx(152.4)


def test_the_size_is_known_without_a_window() -> None:
    size = drawn_size(cased(usual_design()))

    assert size.finish.length_mm == usual_forecast(House()).finish.length_mm


def test_a_stack_without_a_window_is_refused_towards_its_findings() -> None:
    design = usual_design(layers=(layup_design.Layer("no-such-steel", 3_000_000),))

    with pytest.raises(HeatError, match="put right first what the findings say"):
        forecast(cased(design))
    with pytest.raises(HeatError, match="no working window"):
        soak_of(cased(design))


def test_an_outlook_holds_all_that_can_be_said_and_what_stood_in_the_way() -> None:
    whole = outlook_of(cased(usual_design()))
    no_window = outlook_of(cased(usual_design(layers=(layup_design.Layer("none", 9_000_000),))))
    too_long = outlook_of(cased(usual_design(finish_length_nm=60 * IN)))

    assert whole.size
    assert whole.outcome
    assert whole.soak
    assert whole.outcome.finish == whole.size.finish
    assert (whole.refused, whole.unsoaked) == (None, None)
    assert no_window.size
    assert no_window.outcome is None
    assert no_window.soak is None
    assert isinstance(no_window.refused, HeatError)
    assert isinstance(no_window.unsoaked, HeatError)
    assert too_long.size is None
    assert too_long.outcome is None
    assert too_long.soak
    assert isinstance(too_long.refused, DrawOutError)


def test_a_layup_without_layers_is_refused() -> None:
    with pytest.raises(DrawOutError, match="give a thickness above 0"):
        drawn_size(cased(usual_design(layers=())))


def test_a_stack_of_steel_alone_is_reckoned_as_far_as_the_figures_go() -> None:
    steel = own("steel", solidus_c=heat(1450), forge_max_c=heat(1260), forge_min_c=heat(800))
    design = usual_design(layers=(layup_design.Layer("steel", 10_000_000, "core"),))

    found = forecast(case_of(design, alloys={"steel": steel}, house=House()))

    assert "from 700 to 1200 °C" in found.notes[-1]


def test_the_usual_stack_soaks_for_seconds_not_minutes() -> None:
    design = usual_design()

    found = soak_of(cased(design))

    # 1.6834 x (9.906 / 2)² / 5.350 = 7.719 s
    assert found.seconds == pytest.approx(7.719, rel=1e-3)
