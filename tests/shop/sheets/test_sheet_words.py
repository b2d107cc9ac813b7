"""Figures on paper: rounded to what a hand can follow, once, in each system by itself."""

from __future__ import annotations

import pytest

from billets.panel.figures import LENGTH_STEPS, STOP_STEPS, THIN_STEPS, WIDTH_STEPS, stepped_nm
from shop.sheets.words import Told, about, about_sizes, heat_told, seconds_words, size_told


@pytest.mark.parametrize(
    ("mm", "steps", "style", "inch", "metric"),
    [
        (11.43, STOP_STEPS, "thou", "0.450 in", "11.4 mm"),
        (4.8, STOP_STEPS, "thou", "0.190 in", "4.8 mm"),  # 0.18898 in, next to 0.190
        (39.6, WIDTH_STEPS, "fraction", "1-9/16 in", "39.5 mm"),  # 1.559 in
        (263.6, LENGTH_STEPS, "fraction", "10-3/8 in", "264 mm"),  # 10.378 in
        (0.2251, THIN_STEPS, "thou", "0.009 in", "0.23 mm"),
    ],
)
def test_a_worked_out_size_is_rounded_to_what_measures_it(
    mm: float, steps: dict[str, int], style: str, inch: str, metric: str
) -> None:
    assert about(mm, steps=steps, system="inch", style=style) == Told(inch, metric)


def test_the_shops_system_comes_first() -> None:
    assert about(263.6, steps=LENGTH_STEPS, system="metric") == Told("264 mm", "10-3/8 in")


def test_a_size_too_thin_for_its_step_is_never_told_as_nothing() -> None:
    assert stepped_nm(0.001, step_nm=100_000) == 100_000


def test_sizes_are_said_with_one_unit_at_the_end() -> None:
    sizes = ((263.6, LENGTH_STEPS), (39.6, WIDTH_STEPS))

    assert about_sizes(sizes, system="inch") == Told("10-3/8 × 1-9/16 in", "264 × 39.5 mm")


def test_an_exact_size_stays_exact_in_both_systems() -> None:
    assert size_told(3_175_000, system="inch") == Told("1/8 in", "3.18 mm")


def test_a_temperature_is_told_on_both_scales() -> None:
    assert heat_told(980.0, system="inch") == Told("1796 °F", "980 °C")
    assert heat_told(980.0, system="metric") == Told("980 °C", "1796 °F")


@pytest.mark.parametrize(
    ("seconds", "words"),
    [
        (0.2, "about 1 s"),
        (37.6, "about 38 s"),
        (119.4, "about 119 s"),
        (120, "about 2 min"),
        (250, "about 4 min"),
    ],
)
def test_a_time_is_told_as_about(seconds: float, words: str) -> None:
    assert seconds_words(seconds) == words
