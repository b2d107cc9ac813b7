"""Gas burnt: by a measured rate, or through the burner's orifice."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.costing import fuel

PSI = fuel.PA_PER_PSI


def test_double_the_absolute_pressure_doubles_a_choked_flow() -> None:
    low = fuel.jet(orifice_mm=1.0, gauge_pa=200_000 - 101_325)
    high = fuel.jet(orifice_mm=1.0, gauge_pa=400_000 - 101_325)

    assert low.is_choked
    assert high.kg_per_s == pytest.approx(2 * low.kg_per_s, rel=1e-12)


def test_a_low_pressure_is_worked_out_as_subsonic_and_says_so() -> None:
    jet = fuel.jet(orifice_mm=1.0, gauge_pa=5 * PSI)

    assert not jet.is_choked
    assert 0 < jet.kg_per_s < fuel.jet(orifice_mm=1.0, gauge_pa=12 * PSI).kg_per_s


def test_the_two_equations_meet_at_the_choking_pressure() -> None:
    limit_pa = fuel.chokes_above_pa()

    below = fuel.jet(orifice_mm=1.0, gauge_pa=limit_pa * (1 - 1e-9))
    above = fuel.jet(orifice_mm=1.0, gauge_pa=limit_pa * (1 + 1e-9))

    assert (below.is_choked, above.is_choked) == (False, True)
    assert below.kg_per_s == pytest.approx(above.kg_per_s, rel=1e-6)


def test_without_pressure_nothing_flows() -> None:
    assert fuel.jet(orifice_mm=1.0, gauge_pa=0).kg_per_s == 0


def test_thin_air_chokes_the_jet_sooner() -> None:
    assert fuel.chokes_above_pa(ambient_pa=80_000) < fuel.chokes_above_pa()


def test_two_burners_burn_twice_as_much() -> None:
    one = fuel.jet(orifice_mm=1.0, gauge_pa=100_000)
    two = fuel.jet(orifice_mm=1.0, gauge_pa=100_000, orifices=2)

    assert two.kg_per_s == pytest.approx(2 * one.kg_per_s)


def test_gas_is_counted_in_whole_micrograms() -> None:
    jet = fuel.Jet(kg_per_s=0.000_25, is_choked=True, chokes_above_pa=1.0, watts=1.0)

    assert jet.ug_in(60) == 15_000_000
    assert jet.ug_per_hour == 900_000_000


@given(st.floats(0, 1_000_000), st.floats(0, 1_000_000))
def test_more_pressure_never_gives_less_gas(first_pa: float, second_pa: float) -> None:
    low, high = sorted((first_pa, second_pa))

    assert (
        fuel.jet(orifice_mm=1.0, gauge_pa=low).kg_per_s
        <= fuel.jet(orifice_mm=1.0, gauge_pa=high).kg_per_s
    )


def test_a_cylinder_weighed_before_and_after_gives_the_rate() -> None:
    assert fuel.burn_rate_ug_per_hour(burnt_ug=1_500_000_000, seconds=5_400) == 1_000_000_000


def test_an_entered_rate_gives_the_gas_of_twelve_minutes() -> None:
    assert fuel.burnt_ug(ug_per_hour=2_000_000_000, seconds=720) == 400_000_000


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"orifice_mm": 0.0}, "orifice of 0.0 mm"),
        ({"orifice_mm": 30.0}, "under 25 mm"),
        ({"gauge_pa": -1.0}, "0 or more above the air's"),
        ({"orifices": 0}, "light at least 1"),
        ({"discharge": 0.0}, "above 0 and at most 1"),
        ({"discharge": 1.2}, "above 0 and at most 1"),
        ({"temperature_c": -60.0}, "propane is a liquid"),
    ],
)
def test_a_burner_that_cannot_be_is_refused(wrong: dict[str, Any], words: str) -> None:
    usual: dict[str, Any] = {"orifice_mm": 1.0, "gauge_pa": 100_000.0}

    with pytest.raises(fuel.FuelError, match=words):
        fuel.jet(**(usual | wrong))


def test_a_gas_or_air_that_cannot_be_is_refused() -> None:
    with pytest.raises(fuel.FuelError, match="ratio is above 1"):
        fuel.chokes_above_pa(heat_ratio=1.0)


def test_a_cylinder_that_gains_weight_is_refused() -> None:
    with pytest.raises(fuel.FuelError, match="cannot gain weight"):
        fuel.burn_rate_ug_per_hour(burnt_ug=-1, seconds=60)
    with pytest.raises(fuel.FuelError, match="neither can be below 0"):
        fuel.burnt_ug(ug_per_hour=1, seconds=-1)
