"""Our unit constants against those that scipy publishes (CODATA and the 1959 agreement)."""

from fractions import Fraction

import pytest
from scipy import constants

from stock.quantities import amount_text, length_text
from stock.quantities.units import length_nm, mass_ug, temperature_mdegc


@pytest.mark.parametrize(
    ("text", "metres"),
    [
        ("1 in", constants.inch),
        ("1 ft", constants.foot),
        ("1 thou", constants.mil),
        ("1 mm", constants.milli),
        ("1 cm", constants.centi),
        ("1 m", 1.0),
        ("1 um", constants.micron),
    ],
)
def test_a_unit_of_length_is_what_scipy_says(text: str, metres: float) -> None:
    assert length_nm(text, unit="mm") == round(metres * 1e9)


@pytest.mark.parametrize(
    ("text", "kilograms"),
    [
        ("1 lb", constants.pound),
        ("16 oz", 16 * constants.ounce),
        ("1 kg", 1.0),
        ("1 g", constants.gram),
        ("1 mg", constants.milli * constants.gram),
    ],
)
def test_a_unit_of_mass_is_what_scipy_says(text: str, kilograms: float) -> None:
    assert mass_ug(text, unit="g") == round(kilograms * 1e9)


@pytest.mark.parametrize("fahrenheit", [-300, -40, 0, 32, 212, 907, 1500, 1800, 1984.316, 2300])
def test_fahrenheit_converts_as_scipy_does(fahrenheit: float) -> None:
    celsius = constants.convert_temperature(fahrenheit, "Fahrenheit", "Celsius")

    read = temperature_mdegc(f"{fahrenheit} F", unit="C")

    assert read == pytest.approx(celsius * 1000, abs=0.51)


def test_the_copper_point_of_the_temperature_scale_is_the_same_on_both_scales() -> None:
    # ITS-90: copper freezes at 1084.62 °C, which is 1984.316 °F.
    assert temperature_mdegc("1984.316 F", unit="C") == 1_084_620
    assert temperature_mdegc("1084.62 °C", unit="F") == 1_084_620


def test_the_constants_that_we_show_with_are_those_of_scipy() -> None:
    assert pytest.approx(constants.inch * 1e9, rel=1e-15) == length_text.NM_PER_IN
    assert pytest.approx(constants.inch * 1e9 / 64, rel=1e-15) == length_text.NM_PER_64TH
    assert pytest.approx(constants.pound * 1e9, rel=1e-15) == amount_text.UG_PER_LB
    assert pytest.approx(constants.inch**2 * 1e18, rel=1e-15) == amount_text.NM2_PER_IN2


def test_a_foot_of_a_trade_fraction_is_exact_where_a_float_is_not() -> None:
    exact_mm = Fraction(3, 16) * Fraction("25.4")

    assert length_nm("3/16 in", unit="mm") == exact_mm * 1_000_000
