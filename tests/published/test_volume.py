"""Laws of volume and spread, swept by hypothesis; they hold whatever the spread's source says.

Tomlinson & Stringer's spread is from memory and no worked example of it is known here, so only
its laws are tested.
"""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from billets.forging.drawout import Block, pressed, pressed_layers, scaled, spread_exponent
from billets.forging.schedule import Method
from billets.forging.target import Stack, Wanted, drawn_to

lengths = st.floats(20, 1000)
widths = st.floats(10, 200)
thicknesses = st.floats(2, 60)
shares = st.floats(0.1, 0.99)
spreads = st.floats(-0.5, 1.0)
blocks = st.builds(Block, lengths, widths, thicknesses)


@given(blocks, shares, spreads)
def test_pressing_keeps_the_volume(block: Block, share: float, spread: float) -> None:
    after = pressed(block, thickness_mm=block.thickness_mm * share, spread=spread)

    assert math.isclose(after.volume_mm3, block.volume_mm3, rel_tol=1e-9)


@pytest.mark.slow
@given(blocks, shares)
def test_no_spread_keeps_the_width(block: Block, share: float) -> None:
    after = pressed(block, thickness_mm=block.thickness_mm * share, spread=0.0)

    assert after.width_mm == block.width_mm


@given(blocks, shares)
def test_full_spread_keeps_the_length(block: Block, share: float) -> None:
    after = pressed(block, thickness_mm=block.thickness_mm * share, spread=1.0)

    assert math.isclose(after.length_mm, block.length_mm, rel_tol=1e-9)


@pytest.mark.slow
@given(blocks, shares, shares, spreads)
def test_two_steps_come_to_the_same_as_one(
    block: Block, first: float, second: float, spread: float
) -> None:
    target_mm = block.thickness_mm * first * second
    halfway = pressed(block, thickness_mm=block.thickness_mm * first, spread=spread)

    twice = pressed(halfway, thickness_mm=target_mm, spread=spread)

    once = pressed(block, thickness_mm=target_mm, spread=spread)
    assert math.isclose(twice.length_mm, once.length_mm, rel_tol=1e-9)
    assert math.isclose(twice.width_mm, once.width_mm, rel_tol=1e-9)


@given(st.floats(0.5, 400), st.floats(0.5, 400), widths)
def test_a_longer_bite_never_spreads_less(one: float, other: float, width_mm: float) -> None:
    short, long = sorted((one, other))

    assert spread_exponent(short, width_mm=width_mm) <= spread_exponent(long, width_mm=width_mm)


@given(st.floats(0.01, 1e4), st.floats(0.01, 1e4))
def test_spread_stays_between_none_and_all(bite_mm: float, width_mm: float) -> None:
    assert 0.14 <= spread_exponent(bite_mm, width_mm=width_mm) <= 0.74 + 1e-12


@given(blocks, st.floats(0, 0.2))
def test_scale_only_ever_takes_metal_away(block: Block, scale_mm: float) -> None:
    after = scaled(block, scale_mm=scale_mm)

    assert after.volume_mm3 <= block.volume_mm3
    assert after.length_mm > 0


@pytest.mark.slow
@given(st.lists(st.floats(0.05, 10), min_size=1, max_size=15), st.floats(0.5, 30))
def test_layers_always_add_up_to_the_thickness(layers: list[float], thickness_mm: float) -> None:
    after = pressed_layers(layers, thickness_mm=thickness_mm)

    assert math.isclose(math.fsum(after), thickness_mm, rel_tol=1e-12)


@settings(max_examples=60, deadline=None)
@given(
    st.floats(100, 300),
    st.floats(20, 60),
    st.floats(8, 20),
    st.floats(0.25, 0.8),
    st.floats(0, 0.05),
)
def test_metal_is_never_made_and_every_loss_is_counted(
    length_mm: float, width_mm: float, height_mm: float, share: float, scale_mm: float
) -> None:
    stack = Block(length_mm, width_mm, height_mm)
    method = Method(scale_mm=scale_mm, crop_ratio=0.05)

    drawn = drawn_to(
        Stack(stack, (height_mm,), method), wanted=Wanted(thickness_mm=height_mm * share)
    )

    now = stack.volume_mm3
    for stage in drawn.stages:
        assert stage.hot.volume_mm3 <= now
        assert math.isclose(stage.after.volume_mm3, stage.hot.volume_mm3, rel_tol=1e-9)
        now = stage.after.volume_mm3
    assert math.isclose(drawn.finish.volume_mm3, now * 0.95, rel_tol=1e-9)


@pytest.mark.slow
@settings(max_examples=40, deadline=None)
@given(st.floats(100, 300), st.floats(20, 60), st.floats(8, 20), st.floats(0.3, 0.8))
def test_any_two_sizes_give_back_the_third(
    length_mm: float, width_mm: float, height_mm: float, share: float
) -> None:
    stack, layers = Block(length_mm, width_mm, height_mm), (height_mm,)
    method = Method()
    first = drawn_to(
        Stack(stack, layers, method),
        wanted=Wanted(thickness_mm=height_mm * share, width_mm=width_mm * 1.1),
    ).finish

    from_length = drawn_to(
        Stack(stack, layers, method),
        wanted=Wanted(thickness_mm=first.thickness_mm, length_mm=first.length_mm),
    ).finish

    assert math.isclose(from_length.width_mm, first.width_mm, rel_tol=1e-9)


@settings(max_examples=40, deadline=None)
@given(st.floats(100, 300), st.floats(20, 60), st.floats(8, 20), st.floats(1.2, 2.0))
def test_a_length_that_is_asked_for_is_met(
    length_mm: float, width_mm: float, height_mm: float, times: float
) -> None:
    stack, wanted = Block(length_mm, width_mm, height_mm), Wanted(length_mm=length_mm * times)

    finish = drawn_to(Stack(stack, (height_mm,), Method()), wanted=wanted).finish

    assert math.isclose(finish.length_mm, length_mm * times, rel_tol=1e-9)
