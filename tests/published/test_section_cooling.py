"""A section's corner and mean against the series of Carslaw & Jaeger and of Heisler's charts.

Above 900 °C the published steel has one conductivity and one heat capacity (27.3 W/mK and
7850 x 650 J/m³K), so with a fixed film the series are exact; from memory, as are the figures of
Heisler's charts that are not computed here.
"""

import math

import numpy as np
import pytest
from scipy import optimize

from billets.heat.section_cooling import cooled_section

CONDUCTIVITY_W_MK, STORES_J_M3K = 27.3, 7850 * 650
ROOM_C = 20.0
CELSIUS = np.arange(20.0, 1201.0)
START_C = 1200.0


def roots(biot: float, count: int = 30) -> list[float]:
    """The first roots of ζ tan ζ = Bi."""
    return [
        optimize.brentq(
            lambda zeta: zeta * math.sin(zeta) - biot * math.cos(zeta),
            place * math.pi + 1e-12,
            place * math.pi + math.pi / 2,
        )
        for place in range(count)
    ]


def plate(seconds: float, *, half_m: float, film_w_m2k: float, is_mean: bool) -> float:
    """Share of the first difference left at the face of a plate, or in its mean."""
    fourier = CONDUCTIVITY_W_MK / STORES_J_M3K * seconds / half_m**2
    left = 0.0
    for zeta in roots(film_w_m2k * half_m / CONDUCTIVITY_W_MK):
        share = 4 * math.sin(zeta) / (2 * zeta + math.sin(2 * zeta))
        shape = math.sin(zeta) / zeta if is_mean else math.cos(zeta)
        left += share * shape * math.exp(-(zeta**2) * fourier)
    return left


def bar_seconds(
    width_mm: float, thickness_mm: float, *, film: float, end_c: float, is_mean: bool
) -> float:
    """Seconds by the product of two plates' series."""

    def over(seconds: float) -> float:
        sides = (
            plate(seconds, half_m=size / 2000, film_w_m2k=film, is_mean=is_mean)
            for size in (width_mm, thickness_mm)
        )
        return math.prod(sides) - (end_c - ROOM_C) / (START_C - ROOM_C)

    return float(optimize.brentq(over, 1e-3, 1e5))


BARS = [(25.0, 32.0), (11.6, 32.0), (4.8, 45.0), (60.0, 60.0)]


@pytest.mark.parametrize("film", [100.0, 300.0])
@pytest.mark.parametrize(("thickness_mm", "width_mm"), BARS)
def test_a_corner_with_a_fixed_film_cools_as_the_product_of_two_series(
    thickness_mm: float, width_mm: float, film: float
) -> None:
    found = cooled_section(
        START_C,
        end_c=905.0,
        thickness_mm=thickness_mm,
        width_mm=width_mm,
        flux_w_m2=film * (CELSIUS - ROOM_C),
    )

    expected_s = bar_seconds(width_mm, thickness_mm, film=film, end_c=905.0, is_mean=False)
    assert found.corner_s == pytest.approx(expected_s, rel=0.01)


@pytest.mark.parametrize("film", [100.0, 300.0])
@pytest.mark.parametrize(("thickness_mm", "width_mm"), BARS)
def test_a_mean_with_a_fixed_film_does_too(
    thickness_mm: float, width_mm: float, film: float
) -> None:
    # To 1100 °C only: the corner is then still where steel has one heat capacity.
    found = cooled_section(
        START_C,
        end_c=1100.0,
        thickness_mm=thickness_mm,
        width_mm=width_mm,
        flux_w_m2=film * (CELSIUS - ROOM_C),
    )

    expected_s = bar_seconds(width_mm, thickness_mm, film=film, end_c=1100.0, is_mean=True)
    assert found.mean_s == pytest.approx(expected_s, rel=0.01)


def test_a_film_ten_times_that_of_a_forge_wants_a_finer_grid() -> None:
    # Within two and a half seconds the cold goes 4 mm deep, little more than a usual cell here.
    found = cooled_section(
        START_C,
        end_c=905.0,
        thickness_mm=60.0,
        width_mm=60.0,
        flux_w_m2=1000 * (CELSIUS - ROOM_C),
        cells=40,
        steps=160,
    )

    expected_s = bar_seconds(60.0, 60.0, film=1000, end_c=905.0, is_mean=False)
    assert found.corner_s == pytest.approx(expected_s, rel=0.01)


def test_a_very_wide_bar_is_the_plate_of_heislers_charts() -> None:
    # Bi = 273 x 0.05 / 27.3 = 0.5, for which ζ = 0.6533; the mean's first share is
    # 2 Bi² / (ζ² (ζ² + Bi² + Bi)) = 0.5 / (0.4268 x 1.1768) = 0.9955. To 1060 °C, 1040 of 1180:
    # Fo = ln(0.9955 / 0.88136) / 0.4268 = 0.2854; x 2500 mm² / 5.3503 mm²/s = 133.4 s
    found = cooled_section(
        START_C,
        end_c=1060.0,
        thickness_mm=100.0,
        width_mm=200_000.0,
        flux_w_m2=273.0 * (CELSIUS - ROOM_C),
    )

    assert found.mean_s == pytest.approx(133.4, rel=0.01)
