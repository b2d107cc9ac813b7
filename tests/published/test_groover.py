"""Press force against Groover's Example 18.2 (read); plane strain and Shida as recalled.

Groover, Fundamentals of Modern Manufacturing: a cylinder 50 mm across and 75 mm high,
K = 350 MPa, n = 0.17, μ = 0.1.
"""

import math

import pytest

from billets.errors import DrawOutError
from billets.forging.press import (
    hot_flow_stress_mpa,
    largest_bite_mm,
    plane_strain_force_n,
    upsetting_force_n,
)

VOLUME_MM3 = math.pi * 50**2 / 4 * 75  # 147 262 mm³


@pytest.mark.parametrize(("height_mm", "force_n"), [(62, 649_303), (49, 955_642), (36, 1_467_422)])
def test_upsetting_a_cylinder_takes_the_published_force(height_mm: float, force_n: float) -> None:
    flow_stress_mpa = 350 * math.log(75 / height_mm) ** 0.17
    area_mm2 = VOLUME_MM3 / height_mm

    found = upsetting_force_n(
        flow_stress_mpa,
        area_mm2=area_mm2,
        contact_mm=math.sqrt(4 * area_mm2 / math.pi),
        height_mm=height_mm,
        friction=0.1,
    )

    assert found == pytest.approx(force_n, rel=2e-4)


def test_plane_strain_force_is_the_recalled_formula() -> None:
    # From memory: 1.155 x 100 MPa x (1 + 0.4 x 10 / 10) x 20 mm x 30 mm = 97 020 N
    force = plane_strain_force_n(100, bite_mm=20, width_mm=30, height_mm=10, friction=0.4)

    assert force == pytest.approx(97_020)


@pytest.mark.parametrize(("temperature_c", "stress_mpa"), [(1000, 96), (900, 137)])
def test_hot_flow_stress_is_near_the_recalled_figures(
    temperature_c: float, stress_mpa: float
) -> None:
    # Shida (1969), from memory, strain 0.2 at 1/s: no check against the source.
    assert hot_flow_stress_mpa(temperature_c, strain=0.2) == pytest.approx(stress_mpa, rel=0.30)


def test_the_two_branches_of_the_flow_stress_meet() -> None:
    # 0.95 % C: austenite starts to turn at 0.95 x 1.36 / 1.27 x 1000 K = 744.3 °C
    below = hot_flow_stress_mpa(744.2, strain=0.2, carbon_percent=0.95)
    above = hot_flow_stress_mpa(744.4, strain=0.2, carbon_percent=0.95)

    assert below == pytest.approx(above, rel=0.02)


def test_hotter_steel_is_softer_from_the_floor_up() -> None:
    stresses = [hot_flow_stress_mpa(celsius, strain=0.15) for celsius in range(800, 1201, 20)]

    assert stresses == sorted(stresses, reverse=True)


def test_faster_and_further_is_harder() -> None:
    usual = hot_flow_stress_mpa(950, strain=0.15)

    assert hot_flow_stress_mpa(950, strain=0.15, strain_rate_per_s=10) > usual
    assert hot_flow_stress_mpa(950, strain=0.25) > usual


@pytest.mark.parametrize("is_plane_strain", [True, False])
@pytest.mark.parametrize("friction", [0.0, 0.1, 0.4])
def test_the_largest_bite_asks_for_exactly_the_force_of_the_press(
    is_plane_strain: bool, friction: float
) -> None:
    bite = largest_bite_mm(
        222_411,
        flow_stress_mpa=150,
        width_mm=35,
        height_mm=8,
        friction=friction,
        is_plane_strain=is_plane_strain,
    )

    if is_plane_strain:
        force = plane_strain_force_n(150, bite_mm=bite, width_mm=35, height_mm=8, friction=friction)
    else:
        force = upsetting_force_n(
            150, area_mm2=bite * 35, contact_mm=bite, height_mm=8, friction=friction
        )
    assert force == pytest.approx(222_411, rel=1e-12)


def test_no_force_takes_no_bite() -> None:
    assert largest_bite_mm(0, flow_stress_mpa=150, width_mm=35, height_mm=8) == 0


@pytest.mark.parametrize(
    ("temperature_c", "strain", "rate", "carbon", "words"),
    [
        (699, 0.2, 1.0, 0.9, "699 °C is not known"),
        (1201, 0.2, 1.0, 0.9, "1201 °C is not known"),
        (float("nan"), 0.2, 1.0, 0.9, "nan °C is not known"),
        (900, 0.0, 1.0, 0.9, "A strain of 0 "),
        (900, 0.8, 1.0, 0.9, "choose from 1e-06 to 0.7"),
        (900, 0.2, 1000.0, 0.9, "strain rate a second of 1000"),
        (900, 0.2, 1.0, 2.0, "percentage of carbon of 2"),
    ],
)
def test_flow_stress_outside_its_tests_is_refused(
    temperature_c: float, strain: float, rate: float, carbon: float, words: str
) -> None:
    with pytest.raises(DrawOutError, match=words):
        hot_flow_stress_mpa(
            temperature_c, strain=strain, strain_rate_per_s=rate, carbon_percent=carbon
        )
