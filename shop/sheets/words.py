"""Worked-out figures in words for paper: two systems, no more digits than a hand can follow.

Pure. A worked-out length is good to a per cent or so; a sheet that says 9.503 in for it would
lie. It leaves out sizes that were typed in, which `stock.quantities.units` shows exactly.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from billets.panel.figures import stepped_nm, time_left_text
from stock.quantities import units

MINUTE_S = 60


@dataclass(frozen=True)
class Told:
    """A size in the shop's system, and in the other one, small beside it."""

    first: str
    second: str = ""


def size_told(nm: int, *, system: str, style: str = "fraction") -> Told:
    """An exact size in both systems.

    Args:
        nm: size [nm].
        system: the system shown first, "inch" or "metric".
        style: as for `stock.quantities.units.length_text`.

    Returns:
        Both texts.
    """
    return Told(
        units.length_text(nm, system=system, style=style),
        units.length_second_text(nm, system=system, style=style),
    )


def about(mm: float, *, steps: dict[str, int], system: str, style: str = "fraction") -> Told:
    """A worked-out size in both systems, each rounded to what it can be measured by.

    Args:
        mm: size [mm].
        steps: step [nm] by system.
        system: the system shown first.
        style: as for `stock.quantities.units.length_text`.

    Returns:
        Both texts, each rounded once from the size itself.
    """
    other = units.other_system(system)
    first, second = (
        units.length_text(stepped_nm(mm, step_nm=steps[name]), system=name, style=style)
        for name in (system, other)
    )
    return Told(first, second)


def about_sizes(sizes_mm: Sequence[tuple[float, dict[str, int]]], *, system: str) -> Told:
    """Worked-out sizes with × between them, in both systems.

    Args:
        sizes_mm: each size [mm] with its steps, in the order to say them.
        system: the system shown first.

    Returns:
        Such as "9-1/2 × 1-3/8 × 3/16 in" and "241 × 35 × 4.8 mm".
    """
    first, second = (
        units.section_text(
            [stepped_nm(mm, step_nm=steps[name]) for mm, steps in sizes_mm], system=name
        )
        for name in (system, units.other_system(system))
    )
    return Told(first, second)


def heat_told(celsius: float, *, system: str) -> Told:
    """A temperature on both scales.

    Args:
        celsius: temperature [°C].
        system: "inch" (°F first) or "metric" (°C first).

    Returns:
        Both texts, to the degree.
    """
    first, second = ("F", "C") if system == "inch" else ("C", "F")
    mdegc = round(celsius * 1000)
    return Told(
        units.temperature_one_text(mdegc, unit=first),
        units.temperature_one_text(mdegc, unit=second),
    )


def seconds_words(seconds: float) -> str:
    """A worked-out time that nobody should take for a stopwatch's.

    Args:
        seconds: time [s], above 0.

    Returns:
        Such as "about 38 s" or "about 4 min"; whole minutes from two minutes on.

    Source:
        Common practice.

    >>> seconds_words(37.6), seconds_words(250)
    ('about 38 s', 'about 4 min')
    """
    if seconds < 2 * MINUTE_S:
        return f"about {max(1, round(seconds))} s"
    return f"about {round(seconds / MINUTE_S)} min"


def time_left_words(seconds: float) -> str:
    """A worked-out time to work in, never more than there is.

    Args:
        seconds: time [s], above 0.

    Returns:
        Such as "about 57 s" or "about 3 min 20 s", rounded down.

    >>> time_left_words(57.6)
    'about 57 s'
    """
    return f"about {time_left_text(seconds)}"
