"""How long a stack takes to even out in the fire, by conduction through half its height.

Counts the stack as one solid of carbon steel. Before the first bond there are gaps between the
layers, which hold the heat back by an amount that nobody has measured here: the sheet says to
soak longer then. Leaves out the fire itself, which is what decides how fast the faces get hot.
"""

import math
from dataclasses import dataclass

from billets.errors import HeatError
from billets.heat.cooling import KELVIN, STEFAN_BOLTZMANN_W_M2K4
from billets.heat.steel import conductivity_w_mk, diffusivity_mm2_s
from stock.alloys.book import Figure

EVEN_RATIO = Figure(0.02, "of the first difference left in the middle; a choice", "practice")
ONE_TERM_FROM_FOURIER = Figure(0.2, "Incropera & DeWitt, 5.5.2", "memory")


@dataclass(frozen=True)
class Soak:
    """Seconds for the middle to follow the faces, and how far it lags while the faces heat."""

    thickness_mm: float
    seconds: float
    left_ratio: float
    lag_c: float


def soak_seconds(
    thickness_mm: float, *, temperature_c: float, left_ratio: float = EVEN_RATIO.value
) -> float:
    """Seconds after the faces reach a temperature until the middle has followed.

    Args:
        thickness_mm: height of the stack [mm], above 0; heated on both faces.
        temperature_c: temperature of the faces [°C], 20 to 1200; the diffusivity is taken here.
        left_ratio: share of the first difference still left in the middle, above 0, up to 0.79.

    Returns:
        Seconds: Fo (t/2)² / α, with Fo from the first term of the series, cos(π/2 · x) with
        4/π · exp(−π² Fo / 4) in the middle. The first term alone is good for Fo ≥ 0.2, which
        the limit on `left_ratio` keeps.

    Raises:
        HeatError: a size or a ratio outside these limits.

    Source:
        Plane wall with fixed faces, Carslaw & Jaeger, Conduction of Heat in Solids, 3.3
        (from memory); diffusivity from EN 1993-1-2 (read).
    """
    _refuse_height(thickness_mm)
    if not 0 < left_ratio <= 0.79:
        raise HeatError(
            "A share of {given} left uneven cannot be answered; choose one above 0 and up to "
            "0.79, such as 0.02.",
            plain={"given": f"{left_ratio:g}"},
        )
    fourier = 4 / math.pi**2 * math.log(4 / (math.pi * left_ratio))
    return fourier * (thickness_mm / 2) ** 2 / diffusivity_mm2_s(temperature_c)


def middle_lag_c(
    thickness_mm: float, *, face_c: float, fire_c: float, emissivity: float = 0.75
) -> float:
    """How far the middle lags behind the faces while the fire still heats them.

    Args:
        thickness_mm: height of the stack [mm], above 0; heated on both faces.
        face_c: temperature of the faces [°C], 20 to 1200.
        fire_c: temperature of the forge's walls [°C], not below `face_c`.
        emissivity: of the scaled faces, 0 to 1.

    Returns:
        Difference [°C], q (t/2) / (2 k) for faces that rise steadily.

    Raises:
        HeatError: a size or a temperature outside these limits.

    Source:
        Plane wall with constant flux, Carslaw & Jaeger, 3.8 (from memory); grey radiation from
        the walls, the moving gas not counted.
    """
    _refuse_height(thickness_mm)
    if not fire_c >= face_c:
        raise HeatError(
            "A fire of {fire} does not heat faces at {face}; give the forge's own temperature.",
            temperatures_c={"fire": fire_c, "face": face_c},
        )
    gained = (fire_c + KELVIN) ** 4 - (face_c + KELVIN) ** 4
    flux_w_m2 = emissivity * STEFAN_BOLTZMANN_W_M2K4.value * gained
    return flux_w_m2 * thickness_mm / 2000 / (2 * conductivity_w_mk(face_c))


def soak(thickness_mm: float, *, temperature_c: float, fire_c: float | None = None) -> Soak:
    """What the sheet says about soaking one height of stack.

    Args:
        thickness_mm: height of the stack [mm], above 0.
        temperature_c: temperature to soak at [°C], 20 to 1200.
        fire_c: temperature of the forge's walls [°C]; 50 °C above the soak if not known.

    Returns:
        Seconds to even out, and the lag just before.

    Raises:
        HeatError: as `soak_seconds` and `middle_lag_c`.
    """
    walls_c = temperature_c + 50 if fire_c is None else fire_c
    return Soak(
        thickness_mm=thickness_mm,
        seconds=soak_seconds(thickness_mm, temperature_c=temperature_c),
        left_ratio=EVEN_RATIO.value,
        lag_c=middle_lag_c(thickness_mm, face_c=temperature_c, fire_c=walls_c),
    )


def _refuse_height(thickness_mm: float) -> None:
    """Refuse a height that is not above 0 and finite."""
    if not (math.isfinite(thickness_mm) and thickness_mm > 0):
        raise HeatError(
            "A stack {given} mm high cannot soak; give a height above 0.",
            plain={"given": f"{thickness_mm:g}"},
        )
