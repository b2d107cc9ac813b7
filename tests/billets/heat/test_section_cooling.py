"""How long until a corner is cold: the sections of the bench, laws, limits and refusals."""

import math
import time

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from billets.errors import HeatError
from billets.heat.cooling import ROOM, Air, heat_flux_w_m2, seconds_between
from billets.heat.section_cooling import cooled_section, section_cooling
from tests.billets.heat.explicit_section import Quarter, corner_and_mean_s

CELSIUS = np.arange(20.0, 1201.0)
SECTIONS = [(25.0, 32.0, 58, 72), (20.0, 38.0, 54, 67), (11.6, 32.0, 36, 43), (4.8, 45.0, 18, 22)]


def flux(width_mm: float) -> np.ndarray:
    """What a bar of this width loses, by the degree."""
    return np.array([heat_flux_w_m2(c, air=ROOM, face_mm=width_mm) for c in CELSIUS])


@pytest.mark.parametrize(("thickness_mm", "width_mm", "corner_s", "mean_s"), SECTIONS)
def test_the_four_sections_have_the_seconds_that_were_worked_out_elsewhere(
    thickness_mm: float, width_mm: float, corner_s: int, mean_s: int
) -> None:
    # Two-dimensional finite differences by another hand, 980 to 816 °C, in whole seconds.
    found = section_cooling(980, end_c=816, thickness_mm=thickness_mm, width_mm=width_mm)

    assert found.corner_s == pytest.approx(corner_s, rel=0.05)
    assert found.mean_s == pytest.approx(mean_s, rel=0.05)


@pytest.mark.parametrize(("thickness_mm", "width_mm"), [one[:2] for one in SECTIONS])
def test_cells_with_their_own_temperatures_say_the_same(
    thickness_mm: float, width_mm: float
) -> None:
    quarter = Quarter(width_mm / 2000, thickness_mm / 2000, [False] * 8, columns=12)
    step_s = 0.2 * min(quarter.wide_m, quarter.high_m) ** 2 / 5.4e-6

    corner_s, mean_s = corner_and_mean_s(quarter, start_c=980, end_c=816, air=ROOM, step_s=step_s)

    found = section_cooling(980, end_c=816, thickness_mm=thickness_mm, width_mm=width_mm)
    assert found.corner_s == pytest.approx(corner_s, rel=0.015)
    assert found.mean_s == pytest.approx(mean_s, rel=0.015)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("thickness_mm", "width_mm", "rows", "lines"),
    [(11.6, 32.0, 10, {2}), (11.6, 32.0, 10, {6}), (6.0, 38.0, 6, {2}), (25.0, 32.0, 12, {3})],
)
def test_copper_lines_let_the_corner_last_a_little_longer_and_never_shorter(
    thickness_mm: float, width_mm: float, rows: int, lines: set[int]
) -> None:
    # Two lines of 0.5 to 1 mm, mirrored: a twelfth to a sixth of the height in copper.
    half_m = (width_mm / 2000, thickness_mm / 2000)
    step_s = 0.08 * (thickness_mm / 2000 / rows) ** 2 / 8e-6
    steel, lined = (
        corner_and_mean_s(
            Quarter(*half_m, [row in copper for row in range(rows)], columns=8),
            start_c=980,
            end_c=816,
            air=ROOM,
            step_s=step_s,
        )
        for copper in (set[int](), lines)
    )

    assert 1.0 <= lined[0] / steel[0] < 1.05


@pytest.mark.parametrize(("thickness_mm", "width_mm"), [one[:2] for one in SECTIONS])
def test_twice_as_fine_a_grid_changes_less_than_a_hundredth(
    thickness_mm: float, width_mm: float
) -> None:
    usual, fine = (
        cooled_section(
            980,
            end_c=816,
            thickness_mm=thickness_mm,
            width_mm=width_mm,
            flux_w_m2=flux(width_mm),
            cells=cells,
            steps=steps,
        )
        for cells, steps in ((10, 40), (20, 80))
    )

    assert usual.corner_s == pytest.approx(fine.corner_s, rel=0.01)
    assert usual.mean_s == pytest.approx(fine.mean_s, rel=0.01)


@given(
    thickness_mm=st.floats(0.5, 120),
    width_mm=st.floats(0.5, 300),
    start_c=st.floats(760, 1200),
    down_c=st.floats(5, 600),
)
@settings(max_examples=40, deadline=None)
def test_what_the_steel_gave_up_is_what_left_its_sides(
    thickness_mm: float, width_mm: float, start_c: float, down_c: float
) -> None:
    found = section_cooling(
        start_c, end_c=start_c - down_c, thickness_mm=thickness_mm, width_mm=width_mm
    )

    assert found.left_j_m == pytest.approx(found.stored_j_m, rel=1e-6)
    assert 0 < found.corner_s <= found.mean_s * (1 + 1e-9)


def test_the_heat_that_left_is_what_the_steel_held() -> None:
    # 10 x 20 mm from 1100 to 1000 °C: 2e-4 m² x 7850 kg/m³ x 650 J/kgK x 100 K = 102 050 J/m; the
    # last step goes a little past the end.
    found = section_cooling(1100, end_c=1000, thickness_mm=10, width_mm=20)

    assert found.stored_j_m == pytest.approx(102_050, rel=0.03)
    assert found.stored_j_m >= 102_050


@pytest.mark.parametrize(("start_c", "end_c"), [(980, 816), (1150, 871), (900, 700)])
def test_a_small_bar_is_even_and_cools_as_one_lump(start_c: float, end_c: float) -> None:
    # Biot number about 0.001
    found = section_cooling(start_c, end_c=end_c, thickness_mm=0.5, width_mm=1.0)

    lump_s = seconds_between(start_c, end_c=end_c, thickness_mm=0.5, width_mm=1.0)
    assert found.corner_s == pytest.approx(lump_s, rel=0.01)
    assert found.mean_s == pytest.approx(lump_s, rel=0.005)


def test_a_bar_stood_on_its_edge_cools_alike() -> None:
    lying = section_cooling(980, end_c=816, thickness_mm=12, width_mm=40)
    standing = section_cooling(980, end_c=816, thickness_mm=40, width_mm=12)

    assert standing.corner_s == pytest.approx(lying.corner_s, rel=1e-9)


def test_a_narrower_bar_and_a_thinner_one_are_cold_sooner() -> None:
    def corner_s(thickness_mm: float, width_mm: float) -> float:
        return section_cooling(
            980, end_c=816, thickness_mm=thickness_mm, width_mm=width_mm
        ).corner_s

    by_width = [corner_s(10, width) for width in (12, 20, 32, 50, 80)]
    by_thickness = [corner_s(thickness, 38) for thickness in (3, 5, 8, 12, 20, 30)]
    assert by_width == sorted(by_width)
    assert by_thickness == sorted(by_thickness)


def test_what_is_not_known_of_scale_moves_the_seconds_by_a_sixth() -> None:
    # Emissivity 0.7 (EN 1993-1-2) and 0.89 (oxidised) about the usual 0.75.
    dull, usual, dark = (
        section_cooling(
            980, end_c=816, thickness_mm=10, width_mm=32, air=Air(emissivity=one)
        ).corner_s
        for one in (0.70, 0.75, 0.89)
    )

    assert 1 < dull / usual < 1.08
    assert 5 / 6 <= dark / usual < 0.87


def test_it_runs_through_the_peak_where_steel_turns() -> None:
    # Between 745 and 720 °C the heat capacity rises to 5000 J/kgK: the lump takes as long.
    found = section_cooling(745, end_c=720, thickness_mm=2, width_mm=30)

    lump_s = seconds_between(745, end_c=720, thickness_mm=2, width_mm=30)
    assert found.mean_s == pytest.approx(lump_s, rel=0.02)


def test_a_new_section_takes_less_than_a_tenth_of_a_second() -> None:
    section_cooling(980, end_c=816, thickness_mm=9, width_mm=31)

    began = time.process_time()
    for step in range(10):
        section_cooling(980, end_c=816, thickness_mm=9 - step / 2, width_mm=31.5 + step)
    assert (time.process_time() - began) / 10 < 0.1


def test_an_empty_window_is_refused() -> None:
    with pytest.raises(HeatError, match="wider window"):
        section_cooling(816, end_c=980, thickness_mm=10, width_mm=30)


@pytest.mark.parametrize("start_c", [1300, math.nan])
def test_a_ceiling_past_the_published_figures_is_refused(start_c: float) -> None:
    with pytest.raises(HeatError, match="from 20 °C"):
        section_cooling(start_c, end_c=816, thickness_mm=10, width_mm=30)


@pytest.mark.parametrize("size_mm", [0.0, -1.0, math.nan, math.inf])
def test_a_section_without_a_size_is_refused(size_mm: float) -> None:
    with pytest.raises(HeatError, match="give a size above 0"):
        section_cooling(980, end_c=816, thickness_mm=size_mm, width_mm=30)
    with pytest.raises(HeatError, match="give a size above 0"):
        section_cooling(980, end_c=816, thickness_mm=10, width_mm=size_mm)
