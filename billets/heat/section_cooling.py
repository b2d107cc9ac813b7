"""How long a bar stays hot enough to work, out of the fire: until its corner is at the floor.

A corner loses heat through two faces at once and cools first. Heat flows through the whole
section, width by thickness, and leaves by radiation and by still air from all four sides; a
quarter of the section stands on a grid and is stepped forward in time.

Limits: the section counts as carbon steel throughout. Copper lines feed the corner, which lasts
up to 5 % longer with a sixth of the height in copper, so the seconds are on the safe side. It is
the middle of a bar: within about one thickness of an end it cools faster still. The film of air
is the same all round. Leaves out what cold dies, tongs and an anvil take, which is more than the
air takes: the seconds are those between the fire and the dies.
"""

import math
from dataclasses import dataclass
from functools import cache, lru_cache

import numpy as np
from numpy.typing import NDArray

from billets.heat.cooling import ROOM, Air, heat_flux_w_m2, refuse_window, size_mm
from billets.heat.steel import (
    COLDEST_C,
    HOTTEST_C,
    STEEL_DENSITY_KG_M3,
    conductivity_w_mk,
    heat_capacity_j_kgk,
)

Row = NDArray[np.float64]

CELLS = 10  # along half a side; twice as many move the seconds by less than 1 %
STEPS = 40  # from ceiling to floor, about
FIRST_STEP, GROWTH = 0.03, 1.4  # of a whole step: the corner drops fastest at first
GAMMA = 1 - 1 / math.sqrt(2)  # of the Rosenbrock method
SIDE_MM = 1000.0  # the film of air is tabled for a side this wide


@dataclass(frozen=True)
class SectionCooling:
    """Seconds until the corner, and until the mean of the section, is at the floor.

    `stored_j_m` is the heat that the steel gave up by then and `left_j_m` what passed through its
    four sides, each for one metre of bar; the two must agree.
    """

    corner_s: float
    mean_s: float
    stored_j_m: float
    left_j_m: float


@dataclass(frozen=True)
class _Sides:
    """A quarter of the section: its grid, and the heat that its outer sides lose."""

    cell_x_m: float
    cell_y_m: float
    slopes: Row  # second differences along a side of one cell's length
    modes: Row  # the columns are the cosines that the second differences only stretch
    back: Row  # from values to cosines
    stretch: Row  # by how much they stretch each, in both directions [1/m²]
    halves: Row  # a node's share of a side, in cells: half of one at both ends
    weights: Row  # a node's share of the area [m²]
    flux_w_m2: Row  # by the degree


def section_cooling(
    start_c: float, *, end_c: float, thickness_mm: float, width_mm: float, air: Air = ROOM
) -> SectionCooling:
    """Seconds that a bar takes out of the fire until its corner is too cold to work.

    Args:
        start_c: temperature out of the fire, even throughout [°C], up to 1200.
        end_c: temperature at which work stops [°C], above the surroundings, below `start_c`.
        thickness_mm: thickness of the section [mm], above 0.
        width_mm: width of the section [mm], above 0.
        air: emissivity and surroundings.

    Returns:
        Seconds of the corner and of the section's mean, and both sides of the balance of heat.

    Raises:
        HeatError: the temperatures are the wrong way round or outside the published range, or a
            size is not above 0.

    Source:
        As `cooled_section`; radiation and still air as `billets.heat.cooling` (from memory).
    """
    refuse_window(start_c, end_c=end_c, air=air)
    return _in_air(start_c, end_c, size_mm(thickness_mm), size_mm(width_mm), air)


@lru_cache(maxsize=2048)
def _in_air(
    start_c: float, end_c: float, thickness_mm: float, width_mm: float, air: Air
) -> SectionCooling:
    """The same, kept by section."""
    radiated, film = _losses(air)
    side_mm = max(width_mm, thickness_mm)
    return cooled_section(
        start_c,
        end_c=end_c,
        thickness_mm=thickness_mm,
        width_mm=width_mm,
        flux_w_m2=radiated + film * math.sqrt(math.sqrt(SIDE_MM / side_mm)),
    )


def cooled_section(
    start_c: float,
    *,
    end_c: float,
    thickness_mm: float,
    width_mm: float,
    flux_w_m2: Row,
    cells: int = CELLS,
    steps: int = STEPS,
) -> SectionCooling:
    """Seconds that a bar takes to cool by any law of loss, the same on its four sides.

    Args:
        start_c: temperature at the start, even throughout [°C], up to 1200.
        end_c: temperature at which the seconds end [°C], 20 or more, below `start_c`.
        thickness_mm: thickness of the section [mm], above 0.
        width_mm: width of the section [mm], above 0.
        flux_w_m2: heat leaving a square metre of side [W/m²] at 20 °C, 21 °C, … 1200 °C; above
            0 from `end_c` to `start_c`.
        cells: cells along half a side, 2 or more.
        steps: about the number of steps in time, 10 or more.

    Returns:
        Seconds of the corner and of the section's mean, and both sides of the balance of heat.

    Source:
        Fourier's law on vertex-centred finite volumes, in enthalpy and Kirchhoff's integral of
        the conductivity; steel by EN 1993-1-2 (read). In time the second-order Rosenbrock method
        ROS2 of Verwer et al. (1999), exact in its balance whatever its matrix (from memory).
    """
    sides = _sides(width_mm, thickness_mm, flux_w_m2=flux_w_m2, cells=cells)
    steel = _steel()
    start, end = (float(np.interp(c, steel.celsius, steel.stored_j_m3)) for c in (start_c, end_c))
    whole_s = _lumped_s(start, end, sides=sides) / steps
    fastest = steel.largest_diffusivity(end_c, start_c)
    now = np.full(sides.weights.shape, start)
    seconds, left, turn, corner_s = 0.0, 0.0, 0, math.nan
    while True:
        step_s = whole_s * min(1.0, FIRST_STEP * GROWTH**turn)
        then, passed = _stepped(now, step_s=step_s, sides=sides, diffusivity=fastest)
        left += passed
        if math.isnan(corner_s) and then[-1, -1] <= end:
            corner_s = seconds + step_s * _crossed(now[-1, -1], then[-1, -1], end)
        before, after = (float(np.average(one, weights=sides.weights)) for one in (now, then))
        if after <= end:
            mean_s = seconds + step_s * _crossed(before, after, end)
            stored = float(((start - then) * sides.weights).sum())
            return SectionCooling(corner_s, mean_s, 4 * stored, 4 * left)
        now, seconds, turn = then, seconds + step_s, turn + 1


def _crossed(before: float, after: float, end: float) -> float:
    """Share of a step after which a falling figure passes the end."""
    return float((before - end) / (before - after))


def _stepped(now: Row, *, step_s: float, sides: _Sides, diffusivity: float) -> tuple[Row, float]:
    """Enthalpies one step later, and the heat that left the quarter meanwhile [J/m]."""
    damped = 1 / (1 + GAMMA * step_s * diffusivity * sides.stretch)
    rate, lost_w_m = _rate(now, sides=sides)
    first = _solved(step_s * rate, damped, sides=sides)
    rate, lost_again_w_m = _rate(now + first, sides=sides)
    second = _solved(step_s * rate - 2 * first, damped, sides=sides)
    return now + 1.5 * first + 0.5 * second, step_s * (lost_w_m + lost_again_w_m) / 2


def _solved(right: Row, damped: Row, *, sides: _Sides) -> Row:
    """The linear part of a step, solved in cosines."""
    found: Row = sides.modes @ (damped * (sides.back @ right @ sides.back.T)) @ sides.modes.T
    return found


def _rate(stored: Row, *, sides: _Sides) -> tuple[Row, float]:
    """How fast each enthalpy rises [W/m³], and the heat that leaves the quarter [W/m]."""
    steel = _steel()
    carried = np.interp(stored, steel.stored_j_m3, steel.carried_w_m)
    rate = sides.slopes @ carried / sides.cell_x_m**2
    rate += carried @ sides.slopes.T / sides.cell_y_m**2
    edge = np.interp(stored[-1], steel.stored_j_m3, sides.flux_w_m2)
    face = np.interp(stored[:, -1], steel.stored_j_m3, sides.flux_w_m2)
    rate[-1] -= 2 * edge / sides.cell_x_m
    rate[:, -1] -= 2 * face / sides.cell_y_m
    edges, faces = float(sides.halves @ edge), float(sides.halves @ face)
    return rate, sides.cell_y_m * edges + sides.cell_x_m * faces


def _lumped_s(start: float, end: float, *, sides: _Sides) -> float:
    """About how long the whole section takes, were it even throughout: sizes the steps."""
    stored = _steel().stored_j_m3
    within = np.linspace(end, start, 64)
    flux = np.interp(within, stored, sides.flux_w_m2)
    count = len(sides.slopes) - 1
    per_m = 1 / (sides.cell_x_m * count) + 1 / (sides.cell_y_m * count)
    return float(np.trapezoid(1 / flux, within)) / per_m


@dataclass(frozen=True)
class _Steel:
    """What hot steel holds and carries, by the degree."""

    celsius: Row
    stored_j_m3: Row
    carried_w_m: Row  # Kirchhoff's integral of the conductivity

    def largest_diffusivity(self, low_c: float, high_c: float) -> float:
        """The largest diffusivity between two temperatures [m²/s]."""
        low, high = (int(c - COLDEST_C.value) for c in (low_c, high_c))
        within = slice(low, min(high + 2, len(self.celsius)))
        return float(np.max(np.diff(self.carried_w_m[within]) / np.diff(self.stored_j_m3[within])))


@cache
def _steel() -> _Steel:
    """Enthalpy and Kirchhoff's integral, added up by Simpson's rule within each degree."""
    celsius = np.arange(COLDEST_C.value, HOTTEST_C.value + 1)
    density = STEEL_DENSITY_KG_M3.value
    stored = _summed([heat_capacity_j_kgk(c) for c in _thirds(celsius)]) * density
    carried = _summed([conductivity_w_mk(c) for c in _thirds(celsius)])
    return _Steel(celsius, stored, carried)


def _thirds(celsius: Row) -> Row:
    """Bottom, middle and top of each degree; the top a hair below the next one's figures."""
    low = celsius[:-1]
    return np.stack([low, low + 0.5, low + 1 - 1e-9], axis=1).ravel()


def _summed(values: list[float]) -> Row:
    """Running total of a figure over the degrees."""
    parts = np.array(values).reshape(-1, 3) @ np.array([1.0, 4.0, 1.0]) / 6
    return np.concatenate([[0.0], np.cumsum(parts)])


def _sides(width_mm: float, thickness_mm: float, *, flux_w_m2: Row, cells: int) -> _Sides:
    """The grid of a quarter of the section, and what its sides lose."""
    cell_x_m, cell_y_m = width_mm / 2000 / cells, thickness_mm / 2000 / cells
    slopes, modes, back, stretch = _cosines(cells)
    halves = np.ones(cells + 1)
    halves[[0, -1]] = 0.5
    return _Sides(
        cell_x_m,
        cell_y_m,
        slopes,
        modes,
        back,
        stretch[:, None] / cell_x_m**2 + stretch[None, :] / cell_y_m**2,
        halves,
        np.outer(halves, halves) * cell_x_m * cell_y_m,
        flux_w_m2,
    )


@cache
def _cosines(cells: int) -> tuple[Row, Row, Row, Row]:
    """Second differences between two mirrors, and the cosines that they only stretch."""
    places = np.arange(cells + 1)
    slopes = np.diag(np.full(cells + 1, -2.0))
    slopes += np.diag(np.ones(cells), 1) + np.diag(np.ones(cells), -1)
    slopes[0, 1] = slopes[-1, -2] = 2.0
    modes = np.cos(np.pi * np.outer(places, places) / cells)
    stretch = 2 - 2 * np.cos(np.pi * places / cells)
    return slopes, modes, np.linalg.inv(modes), stretch


@lru_cache(maxsize=64)
def _losses(air: Air) -> tuple[Row, Row]:
    """What a square metre radiates, and what the air takes from a side 1 m wide, by the degree."""
    still = Air(air.emissivity, air.surroundings_c, has_convection=False)
    celsius = [float(c) for c in _steel().celsius]
    radiated = np.array([heat_flux_w_m2(c, air=still) for c in celsius])
    whole = np.array([heat_flux_w_m2(c, air=air, face_mm=SIDE_MM) for c in celsius])
    return radiated, whole - radiated
