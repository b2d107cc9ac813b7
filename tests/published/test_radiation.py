"""Cooling against scipy's integration, the `ht` library and the closed form of the textbook."""

import ht
import pytest
from scipy import constants, integrate

from billets.heat.cooling import (
    STEFAN_BOLTZMANN_W_M2K4,
    Air,
    convection_w_m2k,
    heat_flux_w_m2,
    radiation_only_seconds,
    seconds_between,
)
from billets.heat.steel import heat_capacity_j_kgk

RADIATION = Air(emissivity=0.7, surroundings_c=20.0, has_convection=False)


def test_the_radiation_constant_is_the_one_scipy_has() -> None:
    assert STEFAN_BOLTZMANN_W_M2K4.value == pytest.approx(
        constants.physical_constants["Stefan-Boltzmann constant"][0], rel=1e-9
    )


def test_radiated_heat_agrees_with_the_ht_library() -> None:
    # ht 1.2.0 gives 121 366 W/m²
    expected = ht.q_rad(0.7, 1323.15, 293.15)  # type: ignore[arg-type]  # its hints say int

    assert expected == pytest.approx(121_366, rel=1e-5)
    assert heat_flux_w_m2(1050, air=RADIATION) == pytest.approx(expected, rel=1e-5)


def test_the_closed_form_gives_the_worked_figure() -> None:
    # Incropera & DeWitt eq. 5.18, from memory; worked figure 206.21 s
    seconds = radiation_only_seconds(
        1050, end_c=800, thickness_mm=25.4, capacity_j_kgk=650, emissivity=0.7, surroundings_c=20
    )

    assert seconds == pytest.approx(206.21, rel=1e-3)


@pytest.mark.parametrize(("start_c", "end_c"), [(1050, 800), (980, 816), (1150, 400), (700, 100)])
def test_the_closed_form_agrees_with_integrating_the_radiation_law(
    start_c: float, end_c: float
) -> None:
    def seconds_per_kelvin(kelvin: float) -> float:
        flux = 0.7 * constants.Stefan_Boltzmann * (kelvin**4 - 293.15**4)
        return 7850 * 650 * 0.0127 / flux

    expected, _ = integrate.quad(seconds_per_kelvin, end_c + 273.15, start_c + 273.15, epsrel=1e-12)

    assert radiation_only_seconds(
        start_c,
        end_c=end_c,
        thickness_mm=25.4,
        capacity_j_kgk=650,
        emissivity=0.7,
        surroundings_c=20,
    ) == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize(
    ("start_c", "end_c"), [(980, 816), (1050, 800), (1200, 500), (1150, 871), (740, 725)]
)
def test_the_stepwise_sum_agrees_with_scipys_integration(start_c: float, end_c: float) -> None:
    # Through the peak of the heat capacity the sum is good to 0.1 %.
    air = Air(emissivity=0.75)

    def seconds_per_degree(celsius: float) -> float:
        return 7850 * 0.005 * heat_capacity_j_kgk(celsius) / heat_flux_w_m2(celsius, air=air)

    knots = [knot for knot in (600.0, 735.0, 900.0) if end_c < knot < start_c]
    expected, _ = integrate.quad(
        seconds_per_degree, end_c, start_c, points=knots or None, limit=500, epsrel=1e-10
    )

    seconds = seconds_between(start_c, end_c=end_c, thickness_mm=10, air=air)

    assert seconds == pytest.approx(expected, rel=1e-3)


def test_above_900_degrees_the_stepwise_sum_is_the_closed_form() -> None:
    # There the published heat capacity is one number, so the two must meet.
    stepwise = seconds_between(1150, end_c=900, thickness_mm=12, air=RADIATION)
    closed = radiation_only_seconds(
        1150, end_c=900, thickness_mm=12, capacity_j_kgk=650, emissivity=0.7, surroundings_c=20
    )

    assert stepwise == pytest.approx(closed, rel=1e-9)


@pytest.mark.parametrize("temperature_c", [815, 980])
def test_the_airs_share_is_near_what_the_ht_library_gives(temperature_c: float) -> None:
    # Air at the film temperature, about 500 °C, from memory: k 0.056 W/mK, ν 8.0e-5 m²/s, Pr 0.70.
    width_m, difference = 0.038, temperature_c - 20
    grashof = 9.81 * difference / 773 * width_m**3 / 8.0e-5**2
    faces = [
        ht.Nu_free_horizontal_plate(0.70, grashof, buoyancy=up, L=width_m) * 0.056 / width_m
        for up in (True, False)
    ]

    ours = convection_w_m2k(temperature_c, surroundings_c=20, face_mm=38)

    assert ours == pytest.approx(sum(faces) / 2, rel=0.30)


def test_the_air_takes_about_a_tenth_of_what_radiation_takes() -> None:
    still = Air(emissivity=0.7, surroundings_c=20)
    whole, radiated = heat_flux_w_m2(980, air=still), heat_flux_w_m2(980, air=RADIATION)

    assert 0.05 < (whole - radiated) / radiated < 0.15
