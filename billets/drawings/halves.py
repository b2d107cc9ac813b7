"""A stack cut in two halves, each from the core outwards, as the blade's drawings want it.

It leaves out the blade (`billets.drawings.blade`, `billets.drawings.side`).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from billets.blade.section import Line
from stock.drawings.shapes import DrawingError


@dataclass(frozen=True)
class Skin:
    """One layer of half a stack: its outer face's distance from the middle of the core [mm]."""

    outer_mm: float
    kind: str
    is_line: bool = False
    name: str = ""


def halves(
    thicknesses_mm: Sequence[float],
    *,
    kinds: Sequence[str],
    roles: Sequence[str],
    names: Sequence[str] | None = None,
) -> tuple[tuple[Skin, ...], tuple[Skin, ...]]:
    """Both halves of a drawn stack, ready to be drawn in a section.

    Args:
        thicknesses_mm: thickness of each layer from the bottom (left) face up [mm], above 0.
        kinds: the class of each layer's metal in a drawing, in the same order.
        roles: its part, in the same order; exactly one "core".
        names: what to call it, in the same order; None: its part.

    Returns:
        Layers from the core outwards: of the right half, then of the left.

    Raises:
        DrawingError: there is not exactly one core.
        ValueError: the lists differ in length.
    """
    if list(roles).count("core") != 1:
        raise DrawingError("A section is drawn about its core; give the stack exactly one core.")
    named = roles if names is None else names
    layers = list(zip(thicknesses_mm, kinds, roles, named, strict=True))
    core = list(roles).index("core")
    return _outwards(layers[core:]), _outwards(layers[core::-1])


def lines_of(half: Sequence[Skin]) -> tuple[Line, ...]:
    """The lines of one half, as `billets.blade.bevel.read` wants them.

    Args:
        half: layers from the core outwards, the core first.

    Returns:
        Every line; a boundary without thickness where the core meets something else.
    """
    lines = [
        Line(inner.outer_mm, skin.outer_mm, skin.name)
        for inner, skin in pairwise(half)
        if skin.is_line
    ]
    core_mm = half[0].outer_mm
    if len(half) > 1 and not half[1].is_line:
        lines.insert(0, Line(core_mm, core_mm, "core"))
    return tuple(lines)


def _outwards(layers: Sequence[tuple[float, str, str, str]]) -> tuple[Skin, ...]:
    """Skins from the core outwards; the first layer is the core, half of which is here."""
    outer_mm = -layers[0][0] / 2
    skins = []
    for thickness_mm, kind, role, name in layers:
        outer_mm += thickness_mm
        skins.append(Skin(outer_mm, kind, role == "line", name))
    return tuple(skins)
