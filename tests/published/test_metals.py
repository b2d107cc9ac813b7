"""The book of alloys and the constants of the window against libraries of the elements.

Sources, called here and not copied: mendeleev (melting and boiling points, densities), chemicals
(`Tm`, `Tb`), periodictable (densities). Copper's freezing point is also the ITS-90 fixed point.
Commercial coppers are held to 1 % in density, the pure elements to 0.5 %.
"""

import chemicals
import periodictable
import pytest
from mendeleev import element

from billets.findings.joins import ZINC_BOILS_C
from billets.layup.window import PURE_COPPER_C, SILVER_COPPER_C, TOUGH_PITCH_C
from stock.alloys.book import book, find

KELVIN = 273.15
CAS = {"Cu": "7440-50-8", "Ni": "7440-02-0", "Ag": "7440-22-4", "Fe": "7439-89-6"}


def solidus_c(key: str) -> float:
    figure = find(key).solidus_c
    assert figure is not None
    return figure.value


@pytest.mark.slow
@pytest.mark.parametrize("symbol", ["Cu", "Ni", "Ag", "Fe"])
def test_two_libraries_agree_on_the_melting_points(symbol: str) -> None:
    assert chemicals.Tm(CAS[symbol]) == pytest.approx(element(symbol).melting_point, abs=0.01)


@pytest.mark.slow
def test_pure_copper_melts_at_its_fixed_point() -> None:
    assert PURE_COPPER_C.value == pytest.approx(element("Cu").melting_point - KELVIN, abs=0.005)
    assert chemicals.Tm(CAS["Cu"]) - KELVIN == pytest.approx(PURE_COPPER_C.value, abs=0.005)


def test_fine_silver_and_pure_iron_melt_as_the_elements_do() -> None:
    assert solidus_c("fine-silver") == pytest.approx(chemicals.Tm(CAS["Ag"]) - KELVIN, abs=0.01)
    assert solidus_c("pure-iron") == pytest.approx(chemicals.Tm(CAS["Fe"]) - KELVIN, abs=0.01)


@pytest.mark.slow
def test_zinc_boils_where_the_libraries_say() -> None:
    assert ZINC_BOILS_C.value == pytest.approx(element("Zn").boiling_point - KELVIN, abs=0.01)
    assert ZINC_BOILS_C.value == pytest.approx(chemicals.Tb("7440-66-6") - KELVIN, abs=0.01)


@pytest.mark.slow
@pytest.mark.parametrize("key", ["c11000", "c10100", "c10200", "c12200"])
def test_no_commercial_copper_melts_above_the_pure_element(key: str) -> None:
    pure_c = element("Cu").melting_point - KELVIN

    assert pure_c - 20 < solidus_c(key) < pure_c


@pytest.mark.slow
def test_ordinary_copper_starts_to_melt_well_below_pure_copper() -> None:
    # data sheet as read: solidus 1949 °F, liquidus 1981 °F
    assert solidus_c("c11000") == TOUGH_PITCH_C.value == 1065.0
    assert element("Cu").melting_point - KELVIN - solidus_c("c11000") == pytest.approx(
        19.62, abs=0.01
    )


@pytest.mark.slow
def test_nickel_200_melts_a_little_below_pure_nickel() -> None:
    pure_c = element("Ni").melting_point - KELVIN

    assert pure_c - 25 < solidus_c("nickel-200") < pure_c


@pytest.mark.slow
def test_cupronickel_melts_between_copper_and_nickel() -> None:
    copper_c, nickel_c = (element(one).melting_point - KELVIN for one in ("Cu", "Ni"))

    assert copper_c < solidus_c("c71500") < nickel_c


def test_silver_and_copper_together_melt_below_either() -> None:
    # eutectic, NIST: 779.1 °C
    assert SILVER_COPPER_C.value == 779.1
    assert SILVER_COPPER_C.value < chemicals.Tm(CAS["Ag"]) - KELVIN


@pytest.mark.parametrize(
    ("key", "fahrenheit"),
    [
        ("c26000", 1680),  # published alloy page, read
        ("c52100", 1620),  # published alloy page, read
        ("c22000", 1870),  # published alloy page, read
        ("c71500", 2140),  # mill data sheet, read
        ("c10200", 1981),  # wire maker's data sheet, read: 1981 °F and 1083 °C
    ],
)
def test_solidi_are_those_of_the_published_pages(key: str, fahrenheit: float) -> None:
    assert solidus_c(key) == pytest.approx((fahrenheit - 32) * 5 / 9, abs=0.3)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("key", "symbol", "share"),
    [
        ("pure-iron", "Fe", 0.005),
        ("fine-silver", "Ag", 0.005),
        ("nickel-200", "Ni", 0.005),
        ("c10100", "Cu", 0.005),
        ("c11000", "Cu", 0.01),
    ],
)
def test_densities_are_those_of_the_elements(key: str, symbol: str, share: float) -> None:
    density = find(key).density_kg_m3.value

    assert density == pytest.approx(element(symbol).density * 1000, rel=share)
    assert density == pytest.approx(getattr(periodictable, symbol).density * 1000, rel=share)


def test_every_carbon_steel_has_the_density_of_en_1993() -> None:
    steels = [alloy for alloy in book().values() if alloy.family == "carbon-steel"]

    assert {alloy.density_kg_m3.value for alloy in steels} == {7850.0}


@pytest.mark.parametrize(
    "key", [key for key, one in book().items() if one.family == "carbon-steel"]
)
def test_every_steels_forging_maximum_lies_above_coppers_solidus(key: str) -> None:
    forge_max = find(key).forge_max_c

    if forge_max is None:
        assert key == "er70s-6"  # filler wire is not forged
    else:
        assert forge_max.value > solidus_c("c11000")
