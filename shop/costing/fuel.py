"""Gas that the forge burns: flow through the burner's orifice, or a rate that was measured.

One jet of gas into open air, ideal gas, no friction in the hose. It leaves out the air that
the jet draws in, the evaporation that a small cold cylinder can keep up, and money.
"""

from dataclasses import dataclass
from math import pi, sqrt

from stock.quantities.money import UG_PER_KG

STANDARD_ATMOSPHERE_PA = 101_325.0  # ISO 2533
GAS_CONSTANT_J_MOL_K = 8.314_462_618  # SI, exact since 2019
PA_PER_PSI = 6_894.757_293
ZERO_CELSIUS_K = 273.15
BTU_PER_LB_IN_J_KG = 2_326.0  # International Table, exact
SHARP_DRILLED_JET = 0.85  # discharge coefficient; common practice for a short drilled hole


class FuelError(ValueError):
    """A burner that cannot be; the text is the sentence for the user."""

    def __init__(self, sentence: str, *, given: object = None) -> None:
        super().__init__(sentence)
        self.given = given


@dataclass(frozen=True)
class Gas:
    """What the jet needs to know about a fuel gas."""

    name: str
    kg_per_mol: float
    heat_ratio: float  # cp/cv
    joules_per_kg: float  # higher heating value


PROPANE = Gas(
    name="propane",
    kg_per_mol=0.044_095_62,  # molar mass of C3H8
    heat_ratio=1.141,  # near 15 °C
    joules_per_kg=21_550 * BTU_PER_LB_IN_J_KG,  # propane property tables (published)
)


@dataclass(frozen=True)
class Jet:
    """Gas through an orifice; above `chokes_above_pa` the flow grows with the pressure alone."""

    kg_per_s: float
    is_choked: bool
    chokes_above_pa: float  # gauge
    watts: float

    def ug_in(self, seconds: int) -> int:
        """Gas burnt in a time [µg], rounded once."""
        return round(self.kg_per_s * seconds * UG_PER_KG)

    @property
    def ug_per_hour(self) -> int:
        """Burn rate [µg/h], as it would be entered in the rates."""
        return self.ug_in(3_600)


def chokes_above_pa(
    *, heat_ratio: float = PROPANE.heat_ratio, ambient_pa: float = STANDARD_ATMOSPHERE_PA
) -> float:
    """Gauge pressure above which the gas leaves the orifice at the speed of sound.

    Args:
        heat_ratio: cp/cv of the gas, above 1.
        ambient_pa: pressure of the air outside [Pa, absolute], above 0.

    Returns:
        Gauge pressure [Pa].

    Raises:
        FuelError: a figure is outside its limits.
    """
    if heat_ratio <= 1 or ambient_pa <= 0:
        raise FuelError(
            f"A gas with a heat ratio of {heat_ratio} in air of {ambient_pa} Pa cannot be; "
            "the ratio is above 1 (propane 1.141) and the pressure above 0.",
            given=(heat_ratio, ambient_pa),
        )
    return ambient_pa / _critical_ratio(heat_ratio) - ambient_pa


def jet(
    *,
    orifice_mm: float,
    gauge_pa: float,
    orifices: int = 1,
    discharge: float = SHARP_DRILLED_JET,
    temperature_c: float = 15.0,
    ambient_pa: float = STANDARD_ATMOSPHERE_PA,
    gas: Gas = PROPANE,
) -> Jet:
    """Gas that flows through the burner's orifice at the regulator's pressure.

    Args:
        orifice_mm: diameter of the hole [mm], above 0.
        gauge_pa: pressure at the regulator above the air's [Pa], 0 or more.
        orifices: burners (equal holes) that are lit, 1 or more.
        discharge: discharge coefficient of the hole, above 0, at most 1.
        temperature_c: temperature of the gas before the hole [°C].
        ambient_pa: pressure of the air outside [Pa, absolute]; lower on a mountain.
        gas: what is burnt.

    Returns:
        The flow of all burners; `is_choked` says which of the two equations gave it. Below
        the choking pressure the subsonic equation is used; there the discharge coefficient of
        a real hole falls and the figure is less sure.

    Raises:
        FuelError: a figure is outside its limits.

    Source:
        Isentropic flow of an ideal gas through an orifice, choked and subsonic; any text on
        gas dynamics. Ideal gas: within about 5 % for propane up to 30 psi (from memory).
    """
    _refuse_bad_jet(orifice_mm, gauge_pa, orifices, discharge, temperature_c)
    limit_pa = chokes_above_pa(heat_ratio=gas.heat_ratio, ambient_pa=ambient_pa)
    is_choked = gauge_pa > limit_pa
    upstream_pa = ambient_pa + gauge_pa
    ratio = _critical_ratio(gas.heat_ratio) if is_choked else ambient_pa / upstream_pa
    area_m2 = pi / 4 * (orifice_mm / 1_000) ** 2 * orifices
    kg_per_s = discharge * area_m2 * upstream_pa * _flux(ratio, gas, temperature_c)
    return Jet(
        kg_per_s=kg_per_s,
        is_choked=is_choked,
        chokes_above_pa=limit_pa,
        watts=kg_per_s * gas.joules_per_kg,
    )


def burn_rate_ug_per_hour(*, burnt_ug: int, seconds: int) -> int:
    """Burn rate from a cylinder weighed before and after.

    Args:
        burnt_ug: weight lost [µg], 0 or more.
        seconds: time the forge was lit [s], above 0.

    Returns:
        Burn rate [µg/h], rounded once.

    Raises:
        FuelError: an amount is outside its limits.

    >>> burn_rate_ug_per_hour(burnt_ug=1_500_000_000, seconds=5_400)
    1000000000
    """
    if burnt_ug < 0 or seconds <= 0:
        raise FuelError(
            "The cylinder cannot gain weight, and the forge must have been lit for some time; "
            f"{burnt_ug} µg in {seconds} s was given.",
            given=(burnt_ug, seconds),
        )
    return (2 * burnt_ug * 3_600 + seconds) // (2 * seconds)


def burnt_ug(*, ug_per_hour: int, seconds: int) -> int:
    """Gas burnt in a time at an entered rate.

    Args:
        ug_per_hour: burn rate [µg/h], 0 or more.
        seconds: time lit [s], 0 or more.

    Returns:
        Mass [µg], rounded once.

    Raises:
        FuelError: an amount is below 0.
    """
    if ug_per_hour < 0 or seconds < 0:
        raise FuelError(
            f"A burn of {ug_per_hour} µg/h for {seconds} s was given; neither can be below 0.",
            given=(ug_per_hour, seconds),
        )
    return (2 * ug_per_hour * seconds + 3_600) // 7_200


def _critical_ratio(heat_ratio: float) -> float:
    return float((2 / (heat_ratio + 1)) ** (heat_ratio / (heat_ratio - 1)))


def _flux(ratio: float, gas: Gas, temperature_c: float) -> float:
    # mass flow for each area and upstream pressure [s/m]; at the critical ratio it peaks
    k = gas.heat_ratio
    spread = ratio ** (2 / k) - ratio ** ((k + 1) / k)
    kelvin = temperature_c + ZERO_CELSIUS_K
    return sqrt(2 * k / (k - 1) * gas.kg_per_mol / (GAS_CONSTANT_J_MOL_K * kelvin) * spread)


def _refuse_bad_jet(
    orifice_mm: float, gauge_pa: float, orifices: int, discharge: float, temperature_c: float
) -> None:
    if not 0 < orifice_mm <= 25:
        raise FuelError(
            f"An orifice of {orifice_mm} mm was given; a burner's is above 0 and under 25 mm, "
            "often about 1 mm.",
            given=orifice_mm,
        )
    if gauge_pa < 0:
        raise FuelError(
            f"A pressure of {gauge_pa} Pa was given; it must be 0 or more above the air's.",
            given=gauge_pa,
        )
    if orifices < 1:
        raise FuelError(f"{orifices} burners were given; light at least 1.", given=orifices)
    if not 0 < discharge <= 1:
        raise FuelError(
            f"A discharge coefficient of {discharge} was given; it is above 0 and at most 1.",
            given=discharge,
        )
    if temperature_c <= -42:  # propane's boiling point at one atmosphere: -42 °C
        raise FuelError(
            f"At {temperature_c} °C propane is a liquid; give the gas's own temperature.",
            given=temperature_c,
        )
