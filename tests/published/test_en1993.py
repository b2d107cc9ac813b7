"""Hot steel against EN 1993-1-2:2005, 3.4.1 (read).

The conductivity below 800 °C has the last digit of its slope from memory.
"""

import pytest

from billets.errors import HeatError
from billets.heat.steel import (
    STEEL_DENSITY_KG_M3,
    conductivity_w_mk,
    diffusivity_mm2_s,
    heat_capacity_j_kgk,
)


@pytest.mark.parametrize(
    ("temperature_c", "capacity_j_kgk"),
    [
        (20, 439.80),
        (100, 487.62),
        (400, 605.88),
        (600, 760.22),
        (700, 1008.16),
        (800, 803.26),
        (900, 650.0),
        (1000, 650.0),
        (1200, 650.0),
    ],
)
def test_heat_capacity_follows_the_published_rows(
    temperature_c: float, capacity_j_kgk: float
) -> None:
    assert heat_capacity_j_kgk(temperature_c) == pytest.approx(capacity_j_kgk, rel=1e-4)


@pytest.mark.parametrize(
    ("temperature_c", "conductivity"), [(20, 53.334), (400, 40.68), (800, 27.3), (1200, 27.3)]
)
def test_conductivity_follows_the_published_line(temperature_c: float, conductivity: float) -> None:
    assert conductivity_w_mk(temperature_c) == pytest.approx(conductivity, rel=1e-4)


def test_the_density_is_the_standards() -> None:
    assert STEEL_DENSITY_KG_M3.value == 7850
    assert STEEL_DENSITY_KG_M3.mark == "read"


def test_diffusivity_at_forging_heat_is_five_and_a_third() -> None:
    # 27.3 / (7850 x 650) = 5.350 e-6 m²/s
    assert diffusivity_mm2_s(1000) == pytest.approx(5.350, rel=1e-3)


def test_the_heat_capacity_peaks_where_steel_turns_to_austenite() -> None:
    # The standard's formulas meet at 735 °C: 666 + 13002 / 3 = 5000 and 545 + 17820 / 4 = 5000.
    assert heat_capacity_j_kgk(734.999999) == pytest.approx(5000, rel=1e-5)
    assert heat_capacity_j_kgk(735) == pytest.approx(5000, rel=1e-5)


@pytest.mark.parametrize("temperature_c", [19.9, 1200.1, -273.15, float("nan"), float("inf")])
def test_temperatures_outside_the_standard_are_refused(temperature_c: float) -> None:
    with pytest.raises(HeatError, match="choose a temperature from"):
        heat_capacity_j_kgk(temperature_c)
    with pytest.raises(HeatError, match="choose a temperature from"):
        conductivity_w_mk(temperature_c)
