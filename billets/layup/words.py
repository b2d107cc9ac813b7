"""Figures of a layup as words in the reader's system.

It leaves out the sentences themselves: those stand in the findings, the window and the cautions.
"""

import math
from collections.abc import Callable, Sequence

from billets.layup.design import Design
from stock.alloys.book import Book, alloy_name
from stock.quantities import units

SYSTEMS = ("inch", "metric")

_SIXTY_FOURTH_NM = 396_875
_THOU_NM = 25_400
_TENTH_MM_NM = 100_000
_HUNDREDTH_MM_NM = 10_000
_LISTED_AT_MOST = 6


def thick(nm: int, system: str) -> str:
    """A length such as a bar's thickness.

    Args:
        nm: length [nm].
        system: "inch" or "metric".

    Returns:
        Words such as "1/8 in" or "3.2 mm".
    """
    return units.length_text(nm, system=system)


def thin(nm: int, system: str) -> str:
    """A thickness such as that of strip.

    Args:
        nm: length [nm].
        system: "inch" or "metric".

    Returns:
        Words such as "0.020 in" or "0.51 mm".
    """
    style = "thou" if system == "inch" else "plain"
    return units.length_text(nm, system=system, style=style)


def degrees(celsius: float, system: str) -> str:
    """A temperature in both scales, the reader's first.

    Args:
        celsius: temperature [°C].
        system: "inch" (°F first) or "metric" (°C first).

    Returns:
        Words such as "1800 °F (982 °C)".
    """
    mdegc = round(celsius * 1000)
    first, second = units.temperature_text(mdegc, first=scale(system)).split(" · ")
    return f"{first} ({second})"


def warmth(difference_c: float, system: str) -> str:
    """A difference of two temperatures in both scales, the reader's first.

    Args:
        difference_c: difference [°C].
        system: "inch" (°F first) or "metric" (°C first).

    Returns:
        Words such as "117 °F (65 °C)".
    """
    celsius, fahrenheit = f"{difference_c:.0f} °C", f"{difference_c * 1.8:.0f} °F"
    return f"{fahrenheit} ({celsius})" if system == "inch" else f"{celsius} ({fahrenheit})"


def scale(system: str) -> str:
    """The temperature scale that a system shows first.

    Args:
        system: "inch" or "metric".

    Returns:
        "F" or "C".
    """
    return "F" if system == "inch" else "C"


def thick_up_nm(nm: float, system: str) -> int:
    """The next thickness that can be bought or set on a press, not below the one asked for.

    Args:
        nm: least thickness [nm].
        system: "inch" (steps of 1/64 in) or "metric" (steps of 0.1 mm).

    Returns:
        Thickness [nm], a whole number of steps.

    Source:
        Common practice.
    """
    return _stepped(nm, _SIXTY_FOURTH_NM if system == "inch" else _TENTH_MM_NM, math.ceil)


def thick_down_nm(nm: float, system: str) -> int:
    """The next thickness that can be bought or set on a press, not above the one asked for.

    Args:
        nm: greatest thickness [nm].
        system: "inch" (steps of 1/64 in) or "metric" (steps of 0.1 mm).

    Returns:
        Thickness [nm], a whole number of steps.

    Source:
        Common practice.
    """
    return _stepped(nm, _SIXTY_FOURTH_NM if system == "inch" else _TENTH_MM_NM, math.floor)


def thin_up_nm(nm: float, system: str) -> int:
    """The next thickness of strip, not below the one asked for.

    Args:
        nm: least thickness [nm].
        system: "inch" (steps of 0.001 in) or "metric" (steps of 0.01 mm).

    Returns:
        Thickness [nm], a whole number of steps.

    Source:
        Common practice.
    """
    return _stepped(nm, _THOU_NM if system == "inch" else _HUNDREDTH_MM_NM, math.ceil)


def thin_down_nm(nm: float, system: str) -> int:
    """The next thickness of strip, not above the one asked for.

    Args:
        nm: greatest thickness [nm].
        system: "inch" (steps of 0.001 in) or "metric" (steps of 0.01 mm).

    Returns:
        Thickness [nm], a whole number of steps, at least one.

    Source:
        Common practice.
    """
    step_nm = _THOU_NM if system == "inch" else _HUNDREDTH_MM_NM
    return max(step_nm, _stepped(nm, step_nm, math.floor))


def _stepped(nm: float, step_nm: int, whole: Callable[[float], int]) -> int:
    return whole(nm / step_nm) * step_nm


def listed(places: Sequence[int]) -> str:
    """Layers by number, the bottom one being 1.

    Args:
        places: places of the layers, 0 at the bottom.

    Returns:
        Words such as "layer 3", "layers 2 and 4" or "layers 1 to 3 and 7".
    """
    if len(places) == 1:
        return f"layer {places[0] + 1}"
    parts = [_run_words(run) for run in _runs(places)]
    if len(parts) > _LISTED_AT_MOST:
        return f"{len(places)} layers from {min(places) + 1} to {max(places) + 1}"
    if len(parts) < 2:
        return f"layers {parts[0]}" if parts else "no layer"
    return f"layers {', '.join(parts[:-1])} and {parts[-1]}"


def _runs(places: Sequence[int]) -> list[list[int]]:
    """Places in order, split into runs without a gap; a run of two counts as two."""
    runs: list[list[int]] = []
    for place in sorted(set(places)):
        if runs and runs[-1][-1] == place - 1:
            runs[-1].append(place)
        else:
            runs.append([place])
    return [part for run in runs for part in ([run] if len(run) > 2 else [[one] for one in run])]


def _run_words(run: Sequence[int]) -> str:
    return f"{run[0] + 1} to {run[-1] + 1}" if len(run) > 1 else str(run[0] + 1)


def named(design: Design, place: int, alloys: Book) -> str:
    """A layer by number and alloy.

    Args:
        design: the layup.
        place: its place, 0 at the bottom.
        alloys: every alloy by key.

    Returns:
        Words such as "layer 3 (1084)".
    """
    key = design.layers[place].alloy
    name = alloy_name(key, book=alloys)
    return f"layer {place + 1} ({name})"


def sentence(words: str) -> str:
    """Words with a capital at the start.

    Args:
        words: any words.

    Returns:
        The same words, the first letter a capital.
    """
    return words[:1].upper() + words[1:]
