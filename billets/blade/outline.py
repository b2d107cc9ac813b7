"""The outline of a blade from the side, lines that keep their height above its edge, and waves.

A drop point of our own drawing: straight edge, then a belly up to the tip; straight spine that
falls a little to it. Lengths are counted from the heel, heights from the straight edge. It
leaves out what is painted (`billets.drawings.side`).

The page's own script (bevel.js) draws the same by the same rules; a test holds them together.
"""

import hashlib
import math
from collections.abc import Sequence

from stock.drawings.shapes import DrawingError, rounded

STATIONS = 97
BELLY = 0.42  # where the edge begins to rise, of the length
POINT = 0.86  # height of the tip, of the blade's height
RISE_POWER = 2.1
DROP = 0.55  # where the spine begins to fall, of the length
SHORTEST_PITCH_MM = 2.0


def rise_mm(x_mm: float, *, length_mm: float, height_mm: float) -> float:
    """Height of the edge above its straight part.

    Args:
        x_mm: place along the blade from the heel [mm].
        length_mm: length of the blade [mm], above 0.
        height_mm: edge to spine at the heel [mm], above 0.

    Returns:
        Height [mm]; at the tip 86 % of the blade's height.
    """
    share = max(0.0, x_mm / length_mm - BELLY) / (1 - BELLY)
    return float(POINT * height_mm * share**RISE_POWER)


def rise_slope(x_mm: float, *, length_mm: float, height_mm: float) -> float:
    """How steeply the edge rises there: the derivative of `rise_mm`.

    Args:
        x_mm: place along the blade from the heel [mm].
        length_mm: length of the blade [mm], above 0.
        height_mm: edge to spine at the heel [mm], above 0.

    Returns:
        Rise over length.
    """
    share = max(0.0, x_mm / length_mm - BELLY) / (1 - BELLY)
    steepest = RISE_POWER * POINT * height_mm / ((1 - BELLY) * length_mm)
    return float(steepest * share ** (RISE_POWER - 1))


def drop_mm(x_mm: float, *, length_mm: float, height_mm: float) -> float:
    """How far the spine lies below its straight part.

    Args:
        x_mm: place along the blade from the heel [mm].
        length_mm: length of the blade [mm], above 0.
        height_mm: edge to spine at the heel [mm], above 0.

    Returns:
        Depth [mm]; at the tip it meets the edge.
    """
    share = max(0.0, x_mm / length_mm - DROP) / (1 - DROP)
    return float((1 - POINT) * height_mm * share**2)


def places_mm(length_mm: float) -> tuple[float, ...]:
    """Places along the blade at which it is drawn.

    Args:
        length_mm: length of the blade [mm], above 0.

    Returns:
        Evenly spaced, heel and tip among them [mm].

    Raises:
        DrawingError: the length is not above 0.
    """
    if not length_mm > 0:
        raise DrawingError(
            f"A blade {length_mm:g} mm long cannot be drawn; give a length above 0.",
            length_mm=length_mm,
        )
    return tuple(length_mm * at / (STATIONS - 1) for at in range(STATIONS))


def along_edge(
    heights_mm: Sequence[float], *, length_mm: float, height_mm: float
) -> list[tuple[float, float]]:
    """Points that stand square to the edge at heights above it.

    Args:
        heights_mm: height at each of `places_mm` [mm].
        length_mm: length of the blade [mm], above 0.
        height_mm: edge to spine at the heel [mm], above 0.

    Returns:
        x from the heel and y down from the spine [mm].
    """
    points = []
    for x_mm, up_mm in zip(places_mm(length_mm), heights_mm, strict=True):
        slope = rise_slope(x_mm, length_mm=length_mm, height_mm=height_mm)
        edge_mm = height_mm - rise_mm(x_mm, length_mm=length_mm, height_mm=height_mm)
        square = up_mm / math.hypot(1.0, slope)
        points.append((x_mm - slope * square, edge_mm - square))
    return points


def outline(*, length_mm: float, height_mm: float) -> list[tuple[float, float]]:
    """The blade's outline: along the spine to the tip, back along the edge.

    Args:
        length_mm: length of the blade [mm], above 0.
        height_mm: edge to spine at the heel [mm], above 0.

    Returns:
        x from the heel and y down from the spine [mm].
    """
    places = places_mm(length_mm)
    spine = [(x, drop_mm(x, length_mm=length_mm, height_mm=height_mm)) for x in places]
    edge = along_edge([0.0] * STATIONS, length_mm=length_mm, height_mm=height_mm)
    return [*spine, *reversed(edge)]


def ripple(
    mark: str, *, side: str, length_mm: float, pitch_mm: float, stations: int = STATIONS
) -> tuple[float, ...]:
    """How far a wavy line stands from its mean along the blade, from -1 (valley) to 1 (ridge).

    Args:
        mark: the billet's mark; the same mark always gives the same waves.
        side: "right" or "left"; each face has its own.
        length_mm: length of the blade [mm], above 0.
        pitch_mm: distance from valley to valley [mm], at least 2.
        stations: how many places along the blade, 2 or more.

    Returns:
        One number a station, evenly spaced from heel to tip.

    Raises:
        DrawingError: a length or a pitch that cannot be drawn.
    """
    if not (length_mm > 0 and pitch_mm >= SHORTEST_PITCH_MM and stations >= 2):
        raise DrawingError(
            f"Waves {pitch_mm:g} mm apart on {length_mm:g} mm cannot be drawn; give a length "
            f"above 0 and at least {SHORTEST_PITCH_MM:g} mm from valley to valley.",
            length_mm=length_mm,
            pitch_mm=pitch_mm,
        )
    count = math.ceil(2 * length_mm / pitch_mm) + 3
    peaks = [_peak(mark, side, number, pitch_mm) for number in range(-1, count)]
    return tuple(
        rounded(_between(peaks, length_mm * at / (stations - 1)), 4) for at in range(stations)
    )


def _peak(mark: str, side: str, number: int, pitch_mm: float) -> tuple[float, float]:
    """Place and height of one ridge or valley."""
    digest = hashlib.sha256(f"{mark}/{side}/{number}".encode()).digest()
    place, depth = digest[0] / 255, digest[1] / 255
    sign = 1 if number % 2 else -1
    return (number + 0.3 * (place - 0.5)) * pitch_mm / 2, sign * (0.55 + 0.45 * depth)


def _between(peaks: Sequence[tuple[float, float]], x_mm: float) -> float:
    """Height of the wave between the two peaks that stand about a place."""
    after = next(at for at, (place, _) in enumerate(peaks) if place > x_mm)
    (begin, low), (end, high) = peaks[after - 1], peaks[after]
    turn = (1 - math.cos(math.pi * (x_mm - begin) / (end - begin))) / 2
    return low + (high - low) * turn
