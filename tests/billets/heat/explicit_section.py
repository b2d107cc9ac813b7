"""A second way to cool a section, to hold the first one against: cells, temperatures, tiny steps.

A quarter of the section in cells with their temperature in the middle, a metal a row, stepped
forward by Euler's rule. Slow, and alike only in the published figures of steel.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from billets.heat.cooling import Air, heat_flux_w_m2
from billets.heat.steel import conductivity_w_mk, heat_capacity_j_kgk

COPPER_W_MK = 340.0  # at 900 °C, from memory
COPPER_J_M3K = 8960.0 * 480.0  # at 900 °C, from memory
CELSIUS = np.arange(400.0, 1201.0)
STEEL_J_M3K = np.array([7850 * heat_capacity_j_kgk(c) for c in CELSIUS])
STEEL_W_MK = np.array([conductivity_w_mk(c) for c in CELSIUS])

Cells = NDArray[np.float64]


@dataclass(frozen=True)
class Quarter:
    """Half the width [m] and, from the middle to a face, which rows are copper."""

    half_width_m: float
    half_height_m: float
    is_copper: Sequence[bool]
    columns: int = 16

    @property
    def wide_m(self) -> float:
        """Width of a cell."""
        return self.half_width_m / self.columns

    @property
    def high_m(self) -> float:
        """Height of a cell."""
        return self.half_height_m / len(self.is_copper)


def corner_and_mean_s(
    quarter: Quarter, *, start_c: float, end_c: float, air: Air, step_s: float
) -> tuple[float, float]:
    """Seconds until the corner and until the mean heat per volume of steel is at the end."""
    face_mm = quarter.half_width_m * 2000
    lost = np.array([heat_flux_w_m2(c, air=air, face_mm=face_mm) for c in CELSIUS])
    copper = np.array(quarter.is_copper)[None, :]
    now = np.full((quarter.columns, len(quarter.is_copper)), float(start_c))
    seconds, corner_s = 0.0, 0.0
    while True:
        carries = np.where(copper, COPPER_W_MK, np.interp(now, CELSIUS, STEEL_W_MK))
        holds = np.where(copper, COPPER_J_M3K, np.interp(now, CELSIUS, STEEL_J_M3K))
        edge, face = (np.interp(one, CELSIUS, lost) for one in (now[-1], now[:, -1]))
        gain = np.zeros_like(now)
        gain[-1] -= edge / quarter.wide_m
        gain[:, -1] -= face / quarter.high_m
        _pass_on(gain, now, carries, size_m=quarter.wide_m)
        _pass_on(gain.T, now.T, carries.T, size_m=quarter.high_m)
        now = now + step_s * gain / holds
        seconds += step_s
        if not corner_s and _corner_c(now, carries, quarter, edge[-1], face[-1]) <= end_c:
            corner_s = seconds
        if now.mean() <= end_c:
            return corner_s, seconds


def _pass_on(gain: Cells, now: Cells, carries: Cells, *, size_m: float) -> None:
    """What neighbours hand each other, through half of each."""
    between = 2 / (1 / carries[1:] + 1 / carries[:-1])
    flux = between * (now[1:] - now[:-1]) / size_m**2
    gain[:-1] += flux
    gain[1:] -= flux


def _corner_c(now: Cells, carries: Cells, quarter: Quarter, edge: float, face: float) -> float:
    """The corner itself, half a cell out from the last cell's middle both ways."""
    fall = edge * quarter.wide_m / 2 + face * quarter.high_m / 2
    return float(now[-1, -1] - fall / carries[-1, -1])
