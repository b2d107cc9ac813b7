"""Stops along a bar are summed exactly and rounded once."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.planning.cut_steps import on_tape_nm, running_stops

IN = 25_400_000
SIXTY_FOURTH = 396_875


def test_the_first_stop_is_the_blanks_own_length() -> None:
    stops = running_stops([(6 * IN, 6 * IN + 1_000_000)], system="inch")

    assert stops[0].stop_nm == 6 * IN
    assert stops[0].from_nm == 0


def test_the_second_stop_has_the_kerf_before_it() -> None:
    # 6 in + 1 mm + 6 in = 305.8 mm exactly; 12-3/64 in is 305.990625 mm, 12-2/64 in 305.59375 mm:
    # 305.8 mm lies 0.190625 below the one and 0.20625 above the other.
    stops = running_stops([(6 * IN, 6 * IN + 1_000_000)] * 2, system="inch")

    assert stops[1].exact_nm == 305_800_000
    assert stops[1].stop_nm == 12 * IN + 3 * SIXTY_FOURTH


def test_metric_stops_stand_on_tenths_of_a_millimetre() -> None:
    stops = running_stops([(50_040_000, 51_080_000)] * 3, system="metric")

    assert [stop.stop_nm for stop in stops] == [50_000_000, 101_100_000, 152_200_000]


def test_a_bar_that_is_cut_already_starts_further_in() -> None:
    stops = running_stops([(IN, IN)], system="inch", start_nm=2 * IN)

    assert stops[0].from_nm == 2 * IN
    assert stops[0].stop_nm == 3 * IN


def test_half_a_mark_goes_up() -> None:
    assert on_tape_nm(50_000, system="metric") == 100_000
    assert on_tape_nm(49_999, system="metric") == 0


def test_an_unknown_tape_is_refused() -> None:
    with pytest.raises(ValueError, match="use inch or metric"):
        on_tape_nm(1, system="cubit")


def test_a_cut_longer_than_with_its_kerf_is_refused() -> None:
    with pytest.raises(ValueError, match="cannot be"):
        running_stops([(IN, IN - 1)], system="inch")


@given(
    cuts=st.lists(
        st.tuples(st.integers(1, 10**9), st.integers(0, 5_000_000)), min_size=1, max_size=60
    ),
    system=st.sampled_from(["inch", "metric"]),
)
def test_rounding_never_accumulates(cuts: list[tuple[int, int]], system: str) -> None:
    stops = running_stops([(length, length + kerf) for length, kerf in cuts], system=system)

    half_mark = 198_438 if system == "inch" else 50_000
    assert all(abs(stop.off_nm) <= half_mark for stop in stops)
    whole = sum(length + kerf for length, kerf in cuts) - cuts[-1][1]
    assert stops[-1].exact_nm == whole
