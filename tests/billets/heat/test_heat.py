"""What a plate loses, the Biot number, and soaking; published checks are elsewhere."""

import math

import pytest

from billets.errors import HeatError
from billets.heat.cooling import (
    Air,
    biot_number,
    convection_w_m2k,
    radiation_only_seconds,
    seconds_between,
)
from billets.heat.soak import middle_lag_c, soak, soak_seconds

RADIATION = Air(emissivity=0.7, surroundings_c=20.0, has_convection=False)


def test_half_the_thickness_has_half_the_seconds() -> None:
    thick = seconds_between(982, end_c=816, thickness_mm=10)
    thin = seconds_between(982, end_c=816, thickness_mm=5)

    assert thin == pytest.approx(thick / 2, rel=1e-12)


def test_a_usual_stack_has_about_three_quarters_of_a_minute() -> None:
    # 3/8 in from 980 to 816 °C at ε 0.75. By hand: q is about 98 kW/m² radiated at 898 °C (1171 K,
    # 0.75 x 5.67e-8 x 1.880e12 = 79.9 kW) + 10 kW of air; 7850 x 0.00476 x ~665 J x 164 / 90 kW.
    seconds = seconds_between(980, end_c=816, thickness_mm=9.525)

    assert 42 < seconds < 52


def test_hotter_edges_that_count_shorten_the_time() -> None:
    # Faces 2/10 per mm, edges 2/20 more: two thirds of the time, the film being the same.
    faces = seconds_between(982, end_c=816, thickness_mm=10, air=RADIATION)
    edges = seconds_between(982, end_c=816, thickness_mm=10, width_mm=20, air=RADIATION)

    assert edges == pytest.approx(faces * 2 / 3, rel=1e-12)


def test_ends_that_count_shorten_it_further() -> None:
    # 2/10 + 2/20 + 2/40 = 0.35 against 0.2 per mm
    faces = seconds_between(982, end_c=816, thickness_mm=10, air=RADIATION)
    whole = seconds_between(
        982, end_c=816, thickness_mm=10, width_mm=20, length_mm=40, air=RADIATION
    )

    assert whole == pytest.approx(faces * 0.2 / 0.35, rel=1e-12)


def test_air_as_well_as_radiation_cools_faster() -> None:
    still = Air(emissivity=0.7, surroundings_c=20.0)

    with_air = seconds_between(982, end_c=816, thickness_mm=10, air=still)

    assert with_air < seconds_between(982, end_c=816, thickness_mm=10, air=RADIATION)


def test_two_stretches_take_as_long_as_the_whole() -> None:
    whole = seconds_between(1100, end_c=650, thickness_mm=10)
    parts = seconds_between(1100, end_c=812, thickness_mm=10)
    parts += seconds_between(812, end_c=650, thickness_mm=10)

    assert parts == pytest.approx(whole, rel=1e-3)


def test_a_window_one_degree_wide_is_its_heat_over_its_flux() -> None:
    # At 1000.5 °C: 0.7 x 5.670374e-8 x (1273.65^4 - 293.15^4) = 104 157 W/m²;
    # 7850 x 0.005 m x 650 J/kgK x 1 K / 104 157 = 0.24494 s
    seconds = seconds_between(1001, end_c=1000, thickness_mm=10, air=RADIATION)

    assert seconds == pytest.approx(0.24494, rel=1e-3)


def test_biot_number_of_an_inch_at_1050_degrees() -> None:
    # 121 366 W/m² / 1030 K = 117.83; 117.83 x 0.0127 / 27.3 = 0.05482
    assert biot_number(1050, thickness_mm=25.4, air=RADIATION) == pytest.approx(0.05482, rel=1e-3)


def test_a_thick_plate_has_a_larger_biot_number() -> None:
    # h stays, so it goes with the thickness: 0.05482 x 60 / 25.4
    assert biot_number(1050, thickness_mm=60, air=RADIATION) == pytest.approx(0.1295, rel=1e-3)


def test_nothing_rises_from_a_face_as_cool_as_the_air() -> None:
    assert convection_w_m2k(20, surroundings_c=20, face_mm=38) == 0
    assert convection_w_m2k(10, surroundings_c=20, face_mm=38) == 0


def test_an_empty_window_is_refused_with_both_ends_in_both_units() -> None:
    with pytest.raises(HeatError) as refusal:
        seconds_between(816, end_c=982, thickness_mm=10)

    assert refusal.value.temperatures_c == {"floor": 982, "ceiling": 816}
    assert "982 °C" in str(refusal.value)
    assert "1800 °F" in refusal.value.sentence("inch")
    assert "wider window" in str(refusal.value)


@pytest.mark.parametrize("thickness_mm", [0.0, -3.0, math.nan, math.inf])
def test_a_thickness_that_is_none_is_refused(thickness_mm: float) -> None:
    with pytest.raises(HeatError, match="give a size above 0"):
        seconds_between(982, end_c=816, thickness_mm=thickness_mm)
    with pytest.raises(HeatError, match="give a size above 0"):
        biot_number(982, thickness_mm=thickness_mm)


@pytest.mark.parametrize("start_c", [1300, math.nan, math.inf])
def test_a_ceiling_past_the_published_figures_is_refused(start_c: float) -> None:
    with pytest.raises(HeatError, match="from 20 °C"):
        seconds_between(start_c, end_c=816, thickness_mm=10)


def test_a_floor_as_cold_as_the_shop_is_refused() -> None:
    with pytest.raises(HeatError, match="Nothing cools to"):
        radiation_only_seconds(
            900, end_c=25, thickness_mm=10, capacity_j_kgk=650, surroundings_c=25
        )


@pytest.mark.parametrize("emissivity", [0.0, -0.1, 1.01, math.nan])
def test_an_impossible_emissivity_is_refused(emissivity: float) -> None:
    with pytest.raises(HeatError, match="emissivity"):
        Air(emissivity=emissivity)


@pytest.mark.parametrize("surroundings_c", [-100.0, 200.0, math.nan])
def test_an_impossible_shop_is_refused(surroundings_c: float) -> None:
    with pytest.raises(HeatError):
        Air(surroundings_c=surroundings_c)


def test_soaking_ten_millimetres_evens_out_in_eight_seconds() -> None:
    # Fo = 4/π² ln(4 / (π 0.02)) = 1.6834; 1.6834 x 25 mm² / 5.350 mm²/s = 7.866 s
    assert soak_seconds(10, temperature_c=1000) == pytest.approx(7.866, rel=1e-3)


@pytest.mark.parametrize("left_ratio", [0.5, 0.1, 0.02])
def test_after_the_soak_the_whole_series_leaves_what_was_promised(left_ratio: float) -> None:
    # Carslaw & Jaeger's series in the middle of a wall, α = 27.3 / (7850 x 650) = 5.350e-6 m²/s.
    seconds = soak_seconds(20, temperature_c=1000, left_ratio=left_ratio)

    fourier = 5.35032 * seconds / 10**2
    left = sum(
        4 * (-1) ** n / ((2 * n + 1) * math.pi) * math.exp(-((n + 0.5) ** 2) * math.pi**2 * fourier)
        for n in range(40)
    )
    assert left == pytest.approx(left_ratio, rel=0.02)


def test_twice_the_height_soaks_four_times_as_long() -> None:
    low, high = soak_seconds(10, temperature_c=980), soak_seconds(20, temperature_c=980)

    assert high == pytest.approx(4 * low, rel=1e-12)


def test_the_middle_lags_a_degree_or_two_in_a_fire_fifty_degrees_hotter() -> None:
    # 0.75 x 5.670374e-8 x (1303.15^4 - 1253.15^4) = 17 767 W/m²; x 0.005 / (2 x 27.3) = 1.627 °C
    assert middle_lag_c(10, face_c=980, fire_c=1030) == pytest.approx(1.627, rel=1e-3)


def test_a_soak_says_seconds_and_lag_together() -> None:
    found = soak(10, temperature_c=980)

    assert found.seconds == pytest.approx(7.866, rel=1e-3)
    assert found.lag_c == pytest.approx(1.627, rel=1e-3)
    assert found.left_ratio == 0.02


def test_a_soak_in_a_colder_fire_is_refused() -> None:
    with pytest.raises(HeatError, match="does not heat faces"):
        middle_lag_c(10, face_c=980, fire_c=900)


@pytest.mark.parametrize("left_ratio", [0.0, 0.8, -1.0, math.nan])
def test_an_impossible_share_left_is_refused(left_ratio: float) -> None:
    with pytest.raises(HeatError, match="left uneven"):
        soak_seconds(10, temperature_c=980, left_ratio=left_ratio)


@pytest.mark.parametrize("height_mm", [0.0, -1.0, math.nan, math.inf])
def test_a_stack_without_height_cannot_soak(height_mm: float) -> None:
    with pytest.raises(HeatError, match="cannot soak"):
        soak_seconds(height_mm, temperature_c=980)
