"""The layers of one half of a stack as lines: distances from the middle of the core outwards.

It leaves out the blade (`billets.blade.section`) and where a line comes out on it
(`billets.blade.bevel`).
"""

from collections.abc import Sequence
from dataclasses import dataclass

from billets.blade.grind import BevelError


@dataclass(frozen=True)
class Line:
    """A layer between the core and the outside of one half, as distances from the stack's centre.

    `inner_mm` equals `outer_mm` for a weld with nothing in it: the boundary of the core.
    """

    inner_mm: float
    outer_mm: float
    name: str = ""


def moved(line: Line, *, shift_mm: float) -> Line:
    """The same line with its core off centre.

    Args:
        line: distances from the middle of the core.
        shift_mm: how far the core lies towards this face [mm]; below 0 away from it.

    Returns:
        Distances from the blade's centre plane [mm]; below 0 beyond it.

    Source:
        Addition.
    """
    return Line(line.inner_mm + shift_mm, line.outer_mm + shift_mm, line.name)


def built_in_drift_mm(thicknesses_mm: Sequence[float], *, core: int) -> float:
    """How far a stack that is not even puts its core off the billet's centre plane.

    Args:
        thicknesses_mm: finished thickness of each layer, from the left face to the right [mm].
        core: which of them is the core, counted from 0.

    Returns:
        Drift [mm], above 0 towards the right face, when the blade is ground evenly from both.

    Raises:
        IndexError: there is no such layer.

    Source:
        Addition of thicknesses.
    """
    centre_mm = sum(thicknesses_mm[:core]) + thicknesses_mm[core] / 2
    return centre_mm - sum(thicknesses_mm) / 2


def check_order(side: str, lines: Sequence[Line]) -> None:
    """Refuse lines that do not follow each other from the core outwards.

    Args:
        side: "right" or "left", for the sentence.
        lines: distances from the middle of the core [mm].

    Returns:
        Nothing where they are in order.

    Raises:
        BevelError: a line begins inside the one before it, or is inside out.

    Source:
        Our own rule.
    """
    depth_mm = 0.0
    for line in lines:
        if not (0 < line.inner_mm <= line.outer_mm and line.inner_mm >= depth_mm):
            raise BevelError(
                "A line from {inner} to {outer} on the {side} half does not lie outside {depth}; "
                "give the lines from the core outwards.",
                lengths_mm={"inner": line.inner_mm, "outer": line.outer_mm, "depth": depth_mm},
                plain={"side": side},
            )
        depth_mm = line.outer_mm
