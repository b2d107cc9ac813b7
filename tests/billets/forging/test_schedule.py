"""The press schedule: order, stops, limits and the layers at every heat."""

import math
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from billets.errors import DrawOutError
from billets.forging.drawout import Block
from billets.forging.schedule import Method, stages, stops_mm, thickest_finish_mm

STACK = Block(152.4, 31.75, 9.906)
LAYERS = (2.54, 0.508, 3.81, 0.508, 2.54)
PLAIN = Method(bonding_heats=0, scale_mm=0, crop_ratio=0, largest_reduction=0.5)


def test_stops_by_hand_without_scale() -> None:
    # 2.425 / 0.97 = 2.5 before flattening; 10 to 2.5 in two halvings.
    stops = stops_mm(10, finish_mm=2.425, method=PLAIN)

    assert [work for work, _ in stops] == ["draw", "draw", "flatten"]
    assert [stop for _, stop in stops] == pytest.approx([5, 2.5, 2.425])


def test_bonding_heats_come_first_and_hardly_thin_the_stack() -> None:
    # (10 - 0.1) x 0.99 = 9.801; (9.801 - 0.1) x 0.99 = 9.60399
    method = Method(bonding_heats=2, scale_mm=0.05)

    stops = stops_mm(10, finish_mm=5, method=method)

    assert [work for work, _ in stops[:2]] == ["set", "set"]
    assert [stop for _, stop in stops[:2]] == pytest.approx([9.801, 9.60399])
    assert [work for work, _ in stops[2:-1]] == ["draw"] * (len(stops) - 3)
    assert stops[-1] == ("flatten", 5)


def test_the_fewest_drawing_heats_are_taken() -> None:
    # ln(10 / 5) / -ln(0.85) = 4.27: five heats.
    method = Method(bonding_heats=0, scale_mm=0, largest_reduction=0.15)

    stops = stops_mm(10, finish_mm=4.85, method=method)

    assert sum(work == "draw" for work, _ in stops) == 5


def test_more_drawing_heats_than_needed_may_be_asked_for() -> None:
    stops = stops_mm(10, finish_mm=2.425, method=PLAIN, drawing_heats=4)

    assert sum(work == "draw" for work, _ in stops) == 4
    assert sum(work == "draw" for work, _ in stops_mm(10, finish_mm=2.425, method=PLAIN)) == 2


def test_fewer_drawing_heats_than_the_limit_allows_are_not_taken() -> None:
    stops = stops_mm(10, finish_mm=2.425, method=PLAIN, drawing_heats=1)

    assert sum(work == "draw" for work, _ in stops) == 2


def test_a_finish_just_below_the_stack_is_only_flattened() -> None:
    assert stops_mm(10, finish_mm=9.9, method=PLAIN) == (("flatten", 9.9),)


def test_valleys_deeper_than_usual_are_flattened_out() -> None:
    # Dies that leave 0.3 mm on each face: the last drawing stop stands 0.6 mm over the finish.
    deep = replace(PLAIN, valley_mm=0.3)

    stops = stops_mm(10, finish_mm=2.0, method=deep)

    assert stops[-2][0] == "draw"
    assert stops[-2][1] == pytest.approx(2.6)


def test_a_finish_above_what_bonding_leaves_is_refused_with_what_is_possible() -> None:
    method = Method(bonding_heats=2, scale_mm=0.05)

    with pytest.raises(DrawOutError) as refusal:
        stops_mm(10, finish_mm=9.8, method=method)

    # 9.60399 less the last heat's 0.1
    assert thickest_finish_mm(10, method=method) == pytest.approx(9.50399)
    assert "only 9.5 mm left after 2 bonding heats" in str(refusal.value)
    assert stops_mm(10, finish_mm=9.5, method=method)[-1] == ("flatten", 9.5)


def test_a_schedule_without_end_is_refused() -> None:
    with pytest.raises(DrawOutError, match="larger reduction"):
        stops_mm(10, finish_mm=0.5, method=replace(PLAIN, largest_reduction=0.01))


@pytest.mark.parametrize("finish_mm", [0.0, -2.0, math.nan, math.inf])
def test_a_finish_that_is_none_is_refused(finish_mm: float) -> None:
    with pytest.raises(DrawOutError, match="give one above 0"):
        stops_mm(10, finish_mm=finish_mm, method=PLAIN)


def test_scale_that_outruns_the_press_is_refused() -> None:
    method = Method(bonding_heats=0, scale_mm=0.4, largest_reduction=0.01)

    with pytest.raises(DrawOutError, match="scales away more than the press"):
        stages(
            STACK,
            layers_mm=LAYERS,
            stops=stops_mm(9.906, finish_mm=8, method=method),
            spread=0.3,
            method=method,
        )


def test_an_outer_layer_thinner_than_its_scale_is_refused() -> None:
    with pytest.raises(DrawOutError, match="thicker outer layers"):
        stages(
            STACK,
            layers_mm=(0.02, 9.866, 0.02),
            stops=stops_mm(9.906, finish_mm=5, method=Method()),
            spread=0.3,
            method=Method(),
        )


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"bonding_heats": -1}, "bonding heats of -1"),
        ({"bonding_heats": 11}, "choose 0 to 10"),
        ({"largest_reduction": 0.0}, "largest reduction in one heat of 0"),
        ({"largest_reduction": 0.9}, "choose 0.005 to 0.5"),
        ({"bite_mm": 0.0}, "a width above 0 mm"),
        ({"die_width_mm": -1.0}, "a width above 0 mm"),
        ({"scale_mm": -0.1}, "depth of scale of -0.1"),
        ({"scale_mm": math.nan}, "depth of scale of nan"),
        ({"crop_ratio": 0.6}, "cropped and ground off of 0.6"),
        ({"loss_ratio": 0.3}, "share lost in a heat of 0.3"),
        ({"spread": 1.5}, "spread of 1.5"),
    ],
)
def test_an_impossible_setting_is_refused_by_name(changes: dict[str, Any], words: str) -> None:
    with pytest.raises(DrawOutError, match=words):
        replace(Method(), **changes)


@settings(max_examples=80, deadline=None)
@given(st.floats(6, 30), st.floats(0.2, 0.85), st.floats(0.05, 0.3), st.integers(0, 4))
def test_no_heat_takes_more_than_the_limit_and_the_last_meets_the_finish(
    height_mm: float, share: float, largest: float, bonding: int
) -> None:
    method = Method(bonding_heats=bonding, largest_reduction=largest)
    stops = stops_mm(height_mm, finish_mm=height_mm * share, method=method)

    rows = stages(
        Block(150, 32, height_mm), layers_mm=(height_mm,), stops=stops, spread=0.3, method=method
    )

    assert all(row.reduction <= largest + 1e-9 for row in rows if row.work == "draw")
    assert all(row.reduction <= 0.0101 for row in rows if row.work == "set")
    assert rows[-1].stop_mm == height_mm * share
    assert [row.heat for row in rows] == list(range(1, len(rows) + 1))
    assert all(row.after.length_mm > 0 and row.reduction >= 0 for row in rows)


def test_layers_add_up_to_the_stop_at_every_heat() -> None:
    method = Method()
    rows = stages(
        STACK,
        layers_mm=LAYERS,
        stops=stops_mm(9.906, finish_mm=4.7625, method=method),
        spread=0.3,
        method=method,
    )

    for row in rows:
        assert math.fsum(row.layers_mm) == pytest.approx(row.stop_mm, rel=1e-12)
        assert math.fsum(row.worn_mm) == pytest.approx(row.stop_mm, rel=1e-12)
