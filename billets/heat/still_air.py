"""What a hot face loses to the shop: radiation, and the air that rises from it.

Leaves out wind, wet floors and cold dies, all of which cool faster.
"""

import math
from dataclasses import dataclass

from billets.errors import HeatError
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
