"""Andrews' formulas against the figure read for them.

Source: K. W. Andrews, J. Iron and Steel Institute 203 (1965) 721-727, linear formulas, read as
quoted; the figures of Ac1 are worked by hand from the formula as read.
"""

import pytest

from stock.alloys.andrews import (
    CompositionError,
    ac1_figure,
    andrews_ac1_c,
    andrews_ms_c,
    ms_figure,
    outside_fitted_range,
)
from stock.alloys.book import Figure, find


def test_ms_of_the_published_steel() -> None:
    # read: 0.40 C, 0.80 Mn, 0.85 Cr gives 335.195
    assert andrews_ms_c({"C": 0.40, "Mn": 0.80, "Cr": 0.85}) == pytest.approx(335.195, abs=1e-9)


def test_ms_with_every_element_of_the_formula() -> None:
    # 539 - 211.5 - 15.2 - 35.4 - 12.1 - 1.5 = 263.3
    composition = {"C": 0.5, "Mn": 0.5, "Ni": 2.0, "Cr": 1.0, "Mo": 0.2}

    assert andrews_ms_c(composition) == pytest.approx(263.3, abs=1e-9)


def test_ac1_of_plain_carbon_steel() -> None:
    # 723 - 10.7 x 0.75 + 29.1 x 0.25 = 723 - 8.025 + 7.275
    assert andrews_ac1_c({"C": 0.84, "Mn": 0.75, "Si": 0.25}) == pytest.approx(722.25, abs=1e-9)


def test_ac1_with_every_element_of_the_formula() -> None:
    # 723 - 5.35 - 33.8 + 14.55 + 16.9 + 2.9 + 3.19 = 721.39
    composition = {"Mn": 0.5, "Ni": 2.0, "Si": 0.5, "Cr": 1.0, "As": 0.01, "W": 0.5}

    assert andrews_ac1_c(composition) == pytest.approx(721.39, abs=1e-9)


def test_silicon_raises_ac1_and_leaves_ms_alone() -> None:
    plain, silicon = {"C": 0.5}, {"C": 0.5, "Si": 1.0}

    assert andrews_ac1_c(silicon) - andrews_ac1_c(plain) == pytest.approx(29.1)
    assert andrews_ms_c(silicon) == andrews_ms_c(plain)


def test_elements_that_the_formula_does_not_know_are_passed_over() -> None:
    assert andrews_ms_c({"C": 0.5, "V": 0.2, "P": 0.01}) == andrews_ms_c({"C": 0.5})


@pytest.mark.parametrize("percent", [-0.1, 100.1, float("nan")])
def test_a_percentage_that_no_steel_has_is_refused(percent: float) -> None:
    with pytest.raises(CompositionError, match="it has to lie between 0 and 100") as refused:
        andrews_ms_c({"C": percent})

    assert refused.value.element == "C"


def test_more_than_six_tenths_of_carbon_is_outside_the_fitted_range() -> None:
    assert outside_fitted_range({"C": 0.6, "Mn": 0.9}) == ()
    assert outside_fitted_range({"C": 0.84}) == (
        "0.84 % carbon is above the 0.6 % that Andrews' steels went up to: take the figure as a "
        "guide.",
    )


def test_ms_of_5160_is_inside_the_range_and_carries_no_warning() -> None:
    # 539 - 423 x 0.6 - 30.4 x 0.875 - 12.1 x 0.8 = 248.92
    figure = find("5160").ms_c

    assert figure is not None
    assert figure.value == pytest.approx(248.92, abs=1e-9)
    assert "guide" not in figure.source


def test_ms_of_1084_carries_the_warning() -> None:
    # 539 - 423 x 0.865 - 30.4 x 0.75 = 150.305
    figure = find("1084").ms_c

    assert figure is not None
    assert figure.value == pytest.approx(150.305, abs=1e-9)
    assert "take the figure as a guide" in figure.source


def test_a_figure_is_marked_no_better_than_the_composition_it_rests_on() -> None:
    recalled = {"C": Figure(0.5, "recalled", "memory")}
    figures = (ms_figure(recalled), ac1_figure(recalled))

    assert [figure.mark for figure in figures if figure] == ["memory", "memory"]


@pytest.mark.parametrize("key", ["52100", "26c3"])
def test_above_one_percent_of_carbon_no_ms_is_shown(key: str) -> None:
    assert find(key).ms_c is None
    assert find(key).ac1_c is not None


def test_stainless_steels_and_coppers_get_no_ms() -> None:
    assert find("420").ms_c is None
    assert find("c11000").ac1_c is None
