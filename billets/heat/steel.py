"""What hot carbon steel does with heat: heat capacity, conductivity, diffusivity, density.

Every layer is counted as carbon steel, copper too: a tenth of the height in copper stores about
3 % less heat than steel would, less than the doubt about the emissivity. Leaves out stainless
and nickel, whose conductivity near forging heat is close to the same figure.
"""

from billets.errors import HeatError
from stock.alloys.book import Figure

EN_1993 = "EN 1993-1-2:2005, 3.4.1"

STEEL_DENSITY_KG_M3 = Figure(7850.0, "EN 1993-1-2:2005, 3.2.2", "read")
COLDEST_C = Figure(20.0, EN_1993, "read")  # the formulas start here
HOTTEST_C = Figure(1200.0, EN_1993, "read")  # and end here
CONDUCTIVITY_HOT_W_MK = Figure(27.3, "EN 1993-1-2:2005, 3.4.1.3, from 800 °C up", "read")
FORGING_CAPACITY_J_KGK = Figure(650.0, "EN 1993-1-2:2005, 3.4.1.2, from 900 °C up", "read")


def refuse_outside(temperature_c: float) -> None:
    """Refuse a temperature that the published formulas do not reach.

    Args:
        temperature_c: temperature of the steel [°C].

    Raises:
        HeatError: it is not a number from 20 to 1200.

    Source:
        EN 1993-1-2:2005, 3.4.1 (read).
    """
    if COLDEST_C.value <= temperature_c <= HOTTEST_C.value:
        return
    raise HeatError(
        "{given} is outside what the published figures for hot steel cover; "
        "choose a temperature from {low} to {high}.",
        temperatures_c={"given": temperature_c, "low": COLDEST_C.value, "high": HOTTEST_C.value},
    )


def heat_capacity_j_kgk(temperature_c: float) -> float:
    """Specific heat of carbon steel, with the peak where it turns to austenite.

    Args:
        temperature_c: temperature of the steel [°C], 20 to 1200.

    Returns:
        Specific heat [J/(kg K)].

    Raises:
        HeatError: the temperature is outside 20 to 1200 °C.

    Source:
        EN 1993-1-2:2005, 3.4.1.2 (read).

    >>> heat_capacity_j_kgk(950.0)
    650.0
    """
    refuse_outside(temperature_c)
    if temperature_c < 600:
        return (
            425.0
            + 7.73e-1 * temperature_c
            - 1.69e-3 * temperature_c**2
            + 2.22e-6 * temperature_c**3
        )
    if temperature_c < 735:
        return 666.0 + 13002.0 / (738.0 - temperature_c)
    if temperature_c < 900:
        return 545.0 + 17820.0 / (temperature_c - 731.0)
    return FORGING_CAPACITY_J_KGK.value


def conductivity_w_mk(temperature_c: float) -> float:
    """Thermal conductivity of carbon steel.

    Args:
        temperature_c: temperature of the steel [°C], 20 to 1200.

    Returns:
        Conductivity [W/(m K)].

    Raises:
        HeatError: the temperature is outside 20 to 1200 °C.

    Source:
        EN 1993-1-2:2005, 3.4.1.3: 27.3 from 800 °C up (read, quoted in dlubal.com knowledge
        base 001496); 54 − 0.0333 θ below (the slope's last digit from memory).
    """
    refuse_outside(temperature_c)
    if temperature_c < 800:
        return 54.0 - 3.33e-2 * temperature_c
    return CONDUCTIVITY_HOT_W_MK.value


def diffusivity_mm2_s(temperature_c: float) -> float:
    """How fast a difference in temperature evens out in carbon steel.

    Args:
        temperature_c: temperature of the steel [°C], 20 to 1200.

    Returns:
        Thermal diffusivity k / (ρ c) [mm²/s]; 5.35 from 900 °C up.

    Raises:
        HeatError: the temperature is outside 20 to 1200 °C.

    Source:
        Definition, with the figures of EN 1993-1-2:2005, 3.2.2 and 3.4.1 (read).
    """
    stored = STEEL_DENSITY_KG_M3.value * heat_capacity_j_kgk(temperature_c)
    return conductivity_w_mk(temperature_c) / stored * 1e6
