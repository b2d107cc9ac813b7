"""Figures of a layup in words."""

import pytest

from billets.findings.lines import flat_width_nm
from billets.layup import words as saying
from stock.alloys.book import book
from tests.billets.stacks import five


@pytest.mark.parametrize(
    ("places", "words"),
    [
        ([], "no layer"),
        ([2], "layer 3"),
        ([1, 3], "layers 2 and 4"),
        ([0, 1], "layers 1 and 2"),
        ([0, 2, 4], "layers 1, 3 and 5"),
        ([0, 1, 2, 3], "layers 1 to 4"),
        ([0, 1, 2, 5, 6], "layers 1 to 3, 6 and 7"),
        (list(range(0, 20, 2)), "10 layers from 1 to 19"),
    ],
)
def test_layers_are_listed_the_short_way(places: list[int], words: str) -> None:
    assert saying.listed(places) == words


def test_a_layer_is_named_with_its_alloy() -> None:
    assert saying.named(five(), 1, book()) == "layer 2 (C11000 tough-pitch copper)"
    assert saying.named(five(), 1, {}) == "layer 2 (c11000)"


@pytest.mark.parametrize(
    ("system", "words"), [("inch", "1800 °F (982 °C)"), ("metric", "982 °C (1800 °F)")]
)
def test_a_temperature_is_told_in_both_scales_the_readers_first(system: str, words: str) -> None:
    assert saying.degrees(982.2222, system) == words


@pytest.mark.parametrize(
    ("system", "words"), [("inch", "117 °F (65 °C)"), ("metric", "65 °C (117 °F)")]
)
def test_a_difference_of_temperatures_is_not_turned_like_a_temperature(
    system: str, words: str
) -> None:
    assert saying.warmth(65.0, system) == words


@pytest.mark.parametrize(
    ("nm", "system", "up", "down"),
    [
        (3_175_000, "inch", 3_175_000, 3_175_000),
        (3_200_000, "inch", 3_571_875, 3_175_000),
        (3_200_000, "metric", 3_200_000, 3_200_000),
        (3_210_000, "metric", 3_300_000, 3_200_000),
    ],
)
def test_bar_is_bought_in_steps(nm: int, system: str, up: int, down: int) -> None:
    assert saying.thick_up_nm(nm, system) == up
    assert saying.thick_down_nm(nm, system) == down


@pytest.mark.parametrize(
    ("nm", "system", "up", "down"),
    [
        (500_000, "inch", 508_000, 482_600),
        (505_000, "metric", 510_000, 500_000),
        (1, "metric", 10_000, 10_000),
    ],
)
def test_strip_is_bought_in_finer_steps_and_never_as_nothing(
    nm: int, system: str, up: int, down: int
) -> None:
    assert saying.thin_up_nm(nm, system) == up
    assert saying.thin_down_nm(nm, system) == down


def test_a_line_on_a_three_four_five_grind_is_five_thirds_of_its_thickness() -> None:
    # half the spine less half the edge is 3, the height 4, the bevel 5: sin = 3/5
    width = flat_width_nm(300_000, spine_nm=6_250_000, edge_nm=250_000, height_nm=4_000_000)

    assert width == 500_000


@pytest.mark.parametrize(("spine", "height"), [(250_000, 1_000_000), (3_000_000, 0)])
def test_a_blade_without_a_bevel_has_no_width_of_line(spine: int, height: int) -> None:
    width = flat_width_nm(300_000, spine_nm=spine, edge_nm=250_000, height_nm=height)

    assert width is None
