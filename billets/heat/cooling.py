"""What a hot billet loses to the shop: radiation, still air, and how long an even plate lasts.

The plate is lumped, with one temperature throughout; `billets.heat.section_cooling` is what the
shop is told, since a corner is cold long before the plate. Leaves out what cold dies and an
anvil take. The billet may be tilted, scaled or fluxed; the emissivity stands for all that.
"""

import math
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from billets.errors import HeatError
from billets.heat.steel import (
    STEEL_DENSITY_KG_M3,
    conductivity_w_mk,
    heat_capacity_j_kgk,
    refuse_outside,
)
from stock.alloys.book import Figure

KELVIN = 273.15
STEFAN_BOLTZMANN_W_M2K4 = Figure(5.670374419e-8, "CODATA 2018 (scipy.constants)", "read")
EMISSIVITY = Figure(0.75, "chosen between 0.7 (EN 1993-1-2) and 0.89 (oxidised)", "practice")
SURROUNDINGS_C = Figure(20.0, "EN 1991-1-2, ambient temperature", "memory")
FACE_UP_W_M2K = Figure(1.32, "McAdams, Heat Transmission, air: 1.32 (ΔT/L)^¼, face up", "memory")
FACE_DOWN_W_M2K = Figure(
    0.59, "McAdams, Heat Transmission, air: 0.59 (ΔT/L)^¼, face down", "memory"
)
USUAL_FACE_MM = Figure(38.0, "width of a usual stack, 1-1/2 in", "practice")


@dataclass(frozen=True)
class Air:
    """What the hot plate looks out on: emissivity (ratio), room [°C], and whether air cools too."""

    emissivity: float = EMISSIVITY.value
    surroundings_c: float = SURROUNDINGS_C.value
    has_convection: bool = True

    def __post_init__(self) -> None:
        if not 0 < self.emissivity <= 1:
            raise HeatError(
                "An emissivity of {given} is not possible; choose one above 0 and up to 1, "
                "such as 0.75 for scaled steel.",
                plain={"given": f"{self.emissivity:g}"},
            )
        if not -60 <= self.surroundings_c <= 60:
            raise HeatError(
                "A shop at {given} is outside what this sum covers; choose from {low} to {high}.",
                temperatures_c={"given": self.surroundings_c, "low": -60.0, "high": 60.0},
            )


ROOM = Air()


def convection_w_m2k(temperature_c: float, *, surroundings_c: float, face_mm: float) -> float:
    """Still-air heat transfer, the mean of a face looking up and a face looking down.

    Args:
        temperature_c: temperature of the face [°C].
        surroundings_c: temperature of the air [°C].
        face_mm: width of the face [mm], above 0.

    Returns:
        Coefficient [W/(m² K)]; 0 at the temperature of the air. About a tenth of what radiation
        takes at forging heat, so its own doubt hardly shows.

    Source:
        McAdams, Heat Transmission, simplified for air at atmospheric pressure (from memory).
    """
    difference = max(temperature_c - surroundings_c, 0.0)
    mean = (FACE_UP_W_M2K.value + FACE_DOWN_W_M2K.value) / 2
    return mean * math.sqrt(math.sqrt(difference / (face_mm / 1000)))


def heat_flux_w_m2(
    temperature_c: float, *, air: Air = ROOM, face_mm: float = USUAL_FACE_MM.value
) -> float:
    """Heat leaving one square metre of hot surface.

    Args:
        temperature_c: temperature of the surface [°C].
        air: emissivity and surroundings.
        face_mm: width of the face [mm], for the air's share.

    Returns:
        Heat flux [W/m²].

    Source:
        Stefan-Boltzmann law, grey body in large surroundings; McAdams for the air (from memory).
    """
    kelvin, room = temperature_c + KELVIN, air.surroundings_c + KELVIN
    radiated = air.emissivity * STEFAN_BOLTZMANN_W_M2K4.value * (kelvin**4 - room**4)
    if not air.has_convection:
        return radiated
    film = convection_w_m2k(temperature_c, surroundings_c=air.surroundings_c, face_mm=face_mm)
    return radiated + film * (temperature_c - air.surroundings_c)


_PANELS = 120  # of Simpson's rule in each stretch; even


def seconds_between(
    start_c: float,
    *,
    end_c: float,
    thickness_mm: float,
    width_mm: float | None = None,
    length_mm: float | None = None,
    air: Air = ROOM,
) -> float:
    """Seconds that a plate takes to cool from one temperature to another out of the fire.

    Args:
        start_c: temperature out of the fire [°C], up to 1200.
        end_c: temperature at which work stops [°C], above the surroundings, below `start_c`.
        thickness_mm: thickness [mm], above 0; both faces lose heat.
        width_mm: width [mm], if the two edges are to count as well.
        length_mm: length [mm], if the two ends are to count as well.
        air: emissivity and surroundings.

    Returns:
        Seconds in still air. Holds while the Biot number is below 0.1 and no corner
        matters.

    Raises:
        HeatError: the temperatures are the wrong way round or outside the published range,
            or a size is not above 0.

    Source:
        Lumped heat balance, Incropera & DeWitt 5.3 (from memory); heat capacity EN 1993-1-2
        (read).
    """
    refuse_window(start_c, end_c=end_c, air=air)
    loss_per_mm = 2 / size_mm(thickness_mm)
    if width_mm is not None:
        loss_per_mm += 2 / size_mm(width_mm)
    if length_mm is not None:
        loss_per_mm += 2 / size_mm(length_mm)
    stored = _heat_over_flux(start_c, end_c, air, width_mm or USUAL_FACE_MM.value)
    return STEEL_DENSITY_KG_M3.value * stored / (loss_per_mm * 1000)


def radiation_only_seconds(
    start_c: float,
    *,
    end_c: float,
    thickness_mm: float,
    capacity_j_kgk: float,
    emissivity: float = EMISSIVITY.value,
    surroundings_c: float = SURROUNDINGS_C.value,
) -> float:
    """Seconds to cool by radiation alone at one heat capacity: the closed form.

    Kept to check the stepwise sum against; a billet also loses to the air.

    Args:
        start_c: temperature at the start [°C].
        end_c: temperature at the end [°C], above the surroundings, below `start_c`.
        thickness_mm: thickness of the plate [mm], above 0; both faces radiate.
        capacity_j_kgk: specific heat [J/(kg K)], taken as constant.
        emissivity: 0 to 1.
        surroundings_c: temperature of the room [°C].

    Returns:
        Seconds.

    Raises:
        HeatError: the temperatures are the wrong way round, or the thickness is not above 0.

    Source:
        Incropera & DeWitt, Fundamentals of Heat and Mass Transfer, eq. 5.18 (from memory).
    """
    air = Air(emissivity, surroundings_c, has_convection=False)
    refuse_window(start_c, end_c=end_c, air=air)
    room, hot, cool = (value + KELVIN for value in (surroundings_c, start_c, end_c))
    depth_m = size_mm(thickness_mm) / 2000  # volume over the area of both faces
    scale = STEEL_DENSITY_KG_M3.value * depth_m * capacity_j_kgk
    scale /= 4 * emissivity * STEFAN_BOLTZMANN_W_M2K4.value * room**3
    logs = math.log((cool + room) / (cool - room)) - math.log((hot + room) / (hot - room))
    return scale * (logs + 2 * (math.atan(cool / room) - math.atan(hot / room)))


def biot_number(
    temperature_c: float,
    *,
    thickness_mm: float,
    air: Air = ROOM,
    face_mm: float = USUAL_FACE_MM.value,
) -> float:
    """Biot number of a plate: how much its middle lags behind its faces.

    Args:
        temperature_c: temperature of the plate [°C], above the surroundings, up to 1200.
        thickness_mm: thickness [mm], above 0.
        air: emissivity and surroundings.
        face_mm: width of the face [mm], for the air's share.

    Returns:
        h (t/2) / k, with h the whole loss over the difference to the room; the lumped sum
        holds below 0.1.

    Raises:
        HeatError: the temperature is outside the published range, or the thickness not above 0.

    Source:
        Incropera & DeWitt, eq. 5.9 and 5.10 (from memory); conductivity EN 1993-1-2 (read).
    """
    refuse_outside(temperature_c)
    difference = temperature_c - air.surroundings_c
    film = heat_flux_w_m2(temperature_c, air=air, face_mm=face_mm) / difference
    return film * size_mm(thickness_mm) / 2000 / conductivity_w_mk(temperature_c)


@lru_cache(maxsize=512)
def _heat_over_flux(start_c: float, end_c: float, air: Air, face_mm: float) -> float:
    """∫ c / q dθ from end to start [J s/(kg W) m²…]: the part that no thickness changes."""
    knots = [end_c, *(c for c in (600.0, 735.0, 900.0) if end_c < c < start_c), start_c]
    return sum(_simpson(low, high, air, face_mm) for low, high in pairwise(knots))


def _simpson(low_c: float, high_c: float, air: Air, face_mm: float) -> float:
    """Simpson's rule over one smooth stretch of the heat capacity."""
    step = (high_c - low_c) / _PANELS
    total = 0.0
    for place in range(_PANELS + 1):
        # The capacity jumps at the top of a stretch; stay a hair inside it.
        theta = min(low_c + place * step, high_c - 1e-9)
        weight = 1 if place in (0, _PANELS) else 4 if place % 2 else 2
        flux = heat_flux_w_m2(theta, air=air, face_mm=face_mm)
        total += weight * heat_capacity_j_kgk(theta) / flux
    return total * step / 3


def size_mm(mm: float) -> float:
    """The same size, refused unless it is above 0 and finite.

    Args:
        mm: size [mm].

    Returns:
        The size [mm].

    Raises:
        HeatError: it is not above 0, or not finite.
    """
    if not (math.isfinite(mm) and mm > 0):
        raise HeatError(
            "A size of {given} mm cannot cool; give a size above 0.", plain={"given": f"{mm:g}"}
        )
    return mm


def refuse_window(start_c: float, *, end_c: float, air: Air) -> None:
    """Refuse a window that is empty, upside down or outside the published figures.

    Args:
        start_c: temperature out of the fire [°C].
        end_c: temperature at which work stops [°C].
        air: emissivity and surroundings.

    Raises:
        HeatError: the temperatures are the wrong way round, outside 20 to 1200 °C, or not above
            the surroundings.
    """
    refuse_outside(start_c)
    refuse_outside(end_c)
    if end_c >= start_c:
        raise HeatError(
            "The floor of {floor} is not below the ceiling of {ceiling}, so there is no time to "
            "work in; choose layers with a wider window.",
            temperatures_c={"floor": end_c, "ceiling": start_c},
        )
    if end_c <= air.surroundings_c:
        raise HeatError(
            "Nothing cools to {floor} in a shop at {room}; choose a floor above the shop's "
            "temperature.",
            temperatures_c={"floor": end_c, "room": air.surroundings_c},
        )
