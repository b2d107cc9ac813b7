"""The layers of one half of a stack as lines: distances from the middle of the core outwards.

It leaves out the blade (`billets.section`) and where a line comes out on it (`billets.bevel`).
"""

from collections.abc import Sequence
from dataclasses import dataclass

from billets.grind import BevelError


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


def lines_of_stack(
    thicknesses_mm: Sequence[float], *, roles: Sequence[str], names: Sequence[str] | None = None
) -> tuple[tuple[Line, ...], tuple[Line, ...]]:
    """Lines of both halves of a finished stack, as distances from the middle of its core.

    Args:
        thicknesses_mm: finished thickness of each layer from one face to the other [mm].
        roles: the part of each layer, in the same order; one of them is "core". Every "line"
            makes a line; without one beside the core, the core's boundary does.
        names: what to call each layer; None: its role.

    Returns:
        Lines above the core (right half), then below it (left half), each outwards.

    Raises:
        BevelError: there is no core, or more than one, or the lists differ in length.

    Source:
        Addition of thicknesses.
    """
    names = roles if names is None else names
    if not (len(thicknesses_mm) == len(roles) == len(names)) or list(roles).count("core") != 1:
        raise BevelError(
            "A stack of {count} layers with {cores} cores has no two halves; give it one core.",
            plain={"count": str(len(roles)), "cores": str(list(roles).count("core"))},
        )
    core = list(roles).index("core")
    layers = list(zip(thicknesses_mm, roles, names, strict=True))
    half_mm = thicknesses_mm[core] / 2
    return (
        _outwards(half_mm, layers[core + 1 :]),
        _outwards(half_mm, layers[:core][::-1]),
    )


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


def _outwards(half_mm: float, layers: Sequence[tuple[float, str, str]]) -> tuple[Line, ...]:
    lines: list[Line] = []
    depth_mm = half_mm
    for thickness_mm, role, name in layers:
        if role == "line":
            lines.append(Line(depth_mm, depth_mm + thickness_mm, name))
        elif not lines and depth_mm == half_mm:
            lines.append(Line(half_mm, half_mm, "core"))
        depth_mm += thickness_mm
    return tuple(lines)
