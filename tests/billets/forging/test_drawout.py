"""Steps of drawing out, and the sizes that a stack can be asked for."""

import math

import pytest

from billets.errors import DrawOutError
from billets.forging.drawout import (
    Block,
    pressed,
    pressed_layers,
    scaled,
    scaled_layers,
    spread_exponent,
    third_size_mm,
)
from billets.forging.schedule import Method
from billets.forging.target import Stack, Wanted, crossing, drawn_to

STACK = Block(152.4, 31.75, 9.906)  # 6 x 1-1/4 x 0.390 in
LAYERS = (2.54, 0.508, 3.81, 0.508, 2.54)


def test_spread_of_half_a_width_is_the_recalled_figure() -> None:
    # 0.14 + 0.36 / 2 - 0.054 / 4 = 0.3065
    assert spread_exponent(20, width_mm=40) == pytest.approx(0.3065)


def test_past_the_top_of_the_parabola_the_spread_stays() -> None:
    # 0.14 + 0.36 x 10/3 - 0.054 x 100/9 = 0.74
    assert spread_exponent(200, width_mm=40) == pytest.approx(0.74)


@pytest.mark.parametrize(("bite_mm", "width_mm"), [(0, 40), (20, 0), (-1, 40), (math.nan, 40)])
def test_a_bite_that_is_none_is_refused(bite_mm: float, width_mm: float) -> None:
    with pytest.raises(DrawOutError, match="give both above 0"):
        spread_exponent(bite_mm, width_mm=width_mm)


def test_pressing_to_half_with_spread_a_half() -> None:
    # width 40 x √2 = 56.569; length 40 000 / (56.569 x 5) = 141.42
    after = pressed(Block(100, 40, 10), thickness_mm=5, spread=0.5)

    assert after.width_mm == pytest.approx(56.569, rel=1e-4)
    assert after.length_mm == pytest.approx(141.42, rel=1e-4)


def test_pressing_thicker_is_refused_with_the_thickness_there_is() -> None:
    with pytest.raises(DrawOutError) as refusal:
        pressed(Block(100, 40, 9.525), thickness_mm=12, spread=0.3)

    assert "is 0.375 in thick" in refusal.value.sentence("inch")
    assert "is 9.52 mm thick" in str(refusal.value)
    assert refusal.value.lengths_mm["wanted"] == 12


def test_a_spread_above_all_is_refused() -> None:
    with pytest.raises(DrawOutError, match="up to 1"):
        pressed(Block(100, 40, 10), thickness_mm=5, spread=1.2)


def test_scale_comes_off_every_side() -> None:
    after = scaled(Block(100, 40, 10), scale_mm=0.05)

    assert (after.length_mm, after.width_mm, after.thickness_mm) == pytest.approx((99.9, 39.9, 9.9))


def test_the_shops_own_loss_comes_off_the_faces() -> None:
    after = scaled(Block(100, 40, 10), scale_mm=0.05, loss_ratio=0.02)

    assert (after.length_mm, after.width_mm, after.thickness_mm) == pytest.approx((100, 40, 9.8))


def test_scale_that_leaves_nothing_is_refused() -> None:
    with pytest.raises(DrawOutError, match="higher stack"):
        scaled(Block(100, 40, 1), scale_mm=0.5)


def test_two_sizes_give_the_third() -> None:
    assert third_size_mm(6000, first_mm=30, second_mm=5) == 40


@pytest.mark.parametrize(("first_mm", "second_mm"), [(0, 5), (30, -5), (math.nan, 5)])
def test_a_third_size_from_nothing_is_refused(first_mm: float, second_mm: float) -> None:
    with pytest.raises(DrawOutError, match="above 0"):
        third_size_mm(6000, first_mm=first_mm, second_mm=second_mm)


def test_only_outer_layers_lose_scale() -> None:
    assert scaled_layers((3.0, 0.5, 3.0), depth_mm=0.25) == (2.75, 0.5, 2.75)


def test_a_single_layer_loses_both_faces() -> None:
    assert scaled_layers((3.0,), depth_mm=0.25) == (2.5,)


def test_an_outer_layer_that_scales_away_is_refused() -> None:
    with pytest.raises(DrawOutError, match="thicker outer layers"):
        scaled_layers((0.2, 3.0, 0.2), depth_mm=0.25)


def test_layers_thin_in_one_ratio() -> None:
    assert pressed_layers((6.0, 1.0, 3.0), thickness_mm=5.0) == (3.0, 0.5, 1.5)


@pytest.mark.parametrize(
    ("length_mm", "width_mm", "thickness_mm", "name"),
    [
        (0, 40, 10, "length"),
        (100, -1, 10, "width"),
        (100, 40, math.nan, "thickness"),
        (math.inf, 40, 10, "length"),
    ],
)
def test_a_block_without_a_size_is_refused(
    length_mm: float, width_mm: float, thickness_mm: float, name: str
) -> None:
    with pytest.raises(DrawOutError, match=f"give a {name} above 0"):
        Block(length_mm, width_mm, thickness_mm)


@pytest.mark.parametrize(("crop_ratio", "length_mm"), [(0, 240), (0.1, 216)])
def test_without_scale_a_stack_comes_out_by_volume_less_what_is_cropped(
    crop_ratio: float, length_mm: float
) -> None:
    # 120 x 30 x 10 = 36 000 mm³ at 30 wide and 5 thick is 240 long.
    method = Method(bonding_heats=0, scale_mm=0, crop_ratio=crop_ratio)

    finish = drawn_to(
        Stack(Block(120, 30, 10), (10.0,), method), wanted=Wanted(thickness_mm=5, width_mm=30)
    ).finish

    assert finish.length_mm == pytest.approx(length_mm, rel=1e-9)


def test_length_and_width_give_the_thickness() -> None:
    drawn = drawn_to(Stack(STACK, LAYERS, Method()), wanted=Wanted(length_mm=254, width_mm=38.1))

    assert drawn.finish.length_mm == pytest.approx(254, rel=1e-9)
    assert drawn.finish.width_mm == pytest.approx(38.1, rel=1e-9)
    # 152.4 x 31.75 x 9.906 = 47 932 mm³, about a tenth lost: 43 100 / (254 x 38.1) = 4.45
    assert drawn.finish.thickness_mm == pytest.approx(4.45, rel=0.02)


def test_a_length_alone_leaves_the_width_to_spread() -> None:
    free = drawn_to(Stack(STACK, LAYERS, Method()), wanted=Wanted(thickness_mm=4.7625))

    found = drawn_to(Stack(STACK, LAYERS, Method()), wanted=Wanted(length_mm=free.finish.length_mm))

    assert found.finish.thickness_mm == pytest.approx(4.7625, rel=1e-9)
    assert found.spread == free.spread


def test_three_sizes_are_taken_when_the_metal_is_enough() -> None:
    wanted = Wanted(thickness_mm=4.7625, width_mm=38.1, length_mm=200)

    drawn = drawn_to(Stack(STACK, LAYERS, Method()), wanted=wanted)

    assert drawn.finish.length_mm > 200


def test_three_sizes_beyond_the_metal_are_refused_with_what_is_possible() -> None:
    wanted = Wanted(thickness_mm=4.7625, width_mm=38.1, length_mm=400)

    with pytest.raises(DrawOutError) as refusal:
        drawn_to(Stack(STACK, LAYERS, Method()), wanted=wanted)

    words = refusal.value.sentence("inch")
    assert "15.748 in needs more metal" in words
    reach = refusal.value.at_most_mm["reach"]
    again = Wanted(thickness_mm=4.7625, width_mm=38.1, length_mm=reach)
    assert drawn_to(Stack(STACK, LAYERS, Method()), wanted=again).finish


def test_a_width_out_of_reach_is_refused_with_the_range() -> None:
    with pytest.raises(DrawOutError, match="in width; 120 mm is not possible"):
        drawn_to(Stack(STACK, LAYERS, Method()), wanted=Wanted(thickness_mm=4.7625, width_mm=120))


def test_a_length_shorter_than_the_stack_is_refused() -> None:
    with pytest.raises(DrawOutError, match="at least"):
        drawn_to(Stack(STACK, LAYERS, Method()), wanted=Wanted(length_mm=100))


def test_a_width_alone_is_refused() -> None:
    with pytest.raises(DrawOutError, match="A width alone"):
        Wanted(width_mm=40)


@pytest.mark.parametrize("thickness_mm", [0.0, -1.0, math.nan, math.inf])
def test_a_finish_that_is_no_thickness_is_refused(thickness_mm: float) -> None:
    with pytest.raises(DrawOutError, match="finished thickness of"):
        Wanted(thickness_mm=thickness_mm)


def test_a_function_with_no_crossing_has_none() -> None:
    assert crossing(lambda x: x * x + 1, low=0.0, high=2.0) is None
    assert crossing(lambda x: x, low=0.0, high=2.0) == 0.0
    assert crossing(lambda x: x - 2, low=0.0, high=2.0) == 2.0
