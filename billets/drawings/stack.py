"""The stack as it is drawn: one row a layer to scale, thin layers magnified by one factor.

Every row is high enough for its words, so that labels beside the drawing never overlap. It
leaves out what is wrong with the stack (`billets.findings.findings`).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from billets.layup.case import Case
from stock.drawings.shapes import DrawingError, Rect, metal_kind, rounded

ROW_PX = 22.0  # a line of small words
HEIGHT_PX = 200.0  # of the whole stack, unless its layers need more
LEAST_THICK_PX = 96.0  # of all layers that are not magnified
MOST_THICK_PX = 320.0  # of the same: the scale grows so far before a thick layer is magnified


@dataclass(frozen=True)
class StackLayer:
    """A layer to be drawn: thickness [nm], its part, its alloy's family, what to call it."""

    name: str
    role: str
    family: str
    thickness_nm: int


@dataclass(frozen=True)
class StackRow:
    """One layer, drawn. `number` counts from the bottom, as the smith stacks."""

    number: int
    name: str
    role: str
    thickness_nm: int
    height_px: float
    is_magnified: bool
    rect: Rect


@dataclass(frozen=True)
class StackDrawing:
    """The stack from the top face down. `magnified` is 1 when nothing is."""

    rows: tuple[StackRow, ...]
    height_nm: int
    height_px: float
    px_per_mm: float
    magnified: float
    magnified_names: tuple[str, ...]


def drawn_stack(case: Case) -> StackDrawing | None:
    """A layup's stack to scale, as thick as its layers were bought.

    Args:
        case: the layup; an unknown alloy is drawn without a family.

    Returns:
        The drawing; None for a layup that has no layer to draw.
    """
    layers = [
        StackLayer(name, layer.role, colour, layer.thickness_nm)
        for layer, name, colour in zip(
            case.design.layers, case.short_names, case.colours, strict=True
        )
    ]
    try:
        return stack_drawing(layers)
    except DrawingError:
        return None


def stack_drawing(layers: Sequence[StackLayer]) -> StackDrawing:
    """A stack to scale, with thin layers magnified honestly.

    Args:
        layers: from the bottom face up; thicknesses [nm], above 0.

    Returns:
        Rows from the top face down. All magnified layers share one factor, rounded up to a
        tenth; lines are magnified together or not at all.

    Raises:
        DrawingError: there is no layer, or one without thickness.
    """
    if not layers or min(layer.thickness_nm for layer in layers) <= 0:
        raise DrawingError("A stack is drawn from layers with a thickness; add a layer above 0.")
    sizes_mm = [layer.thickness_nm / 1e6 for layer in layers]
    thin = [layer.role == "line" for layer in layers]
    scale, factor = _scale(sizes_mm, thin)
    while not all(thin):
        low = [
            not is_thin and scale * mm < ROW_PX for mm, is_thin in zip(sizes_mm, thin, strict=True)
        ]
        if not any(low):
            break
        thin = [was or now for was, now in zip(thin, low, strict=True)]
        scale, factor = _scale(sizes_mm, thin)
    heights = [
        rounded(mm * scale * (factor if is_thin else 1.0), 1)
        for mm, is_thin in zip(sizes_mm, thin, strict=True)
    ]
    is_any = factor > 1
    rows = [
        _row(number, layer, height, is_any and is_thin)
        for number, (layer, height, is_thin) in enumerate(
            zip(layers, heights, thin, strict=True), start=1
        )
    ]
    return StackDrawing(
        rows=tuple(reversed(rows)),
        height_nm=sum(layer.thickness_nm for layer in layers),
        height_px=rounded(sum(heights), 1),
        px_per_mm=rounded(scale),
        magnified=factor,
        magnified_names=tuple(dict.fromkeys(row.name for row in rows if row.is_magnified)),
    )


def _scale(sizes_mm: Sequence[float], thin: Sequence[bool]) -> tuple[float, float]:
    """Pixels to a millimetre of a thick layer, and how many times that a thin one gets."""
    pairs = list(zip(sizes_mm, thin, strict=True))
    thick_mm = [mm for mm, is_thin in pairs if not is_thin]
    thin_mm = [mm for mm, is_thin in pairs if is_thin]
    if not thick_mm:
        return max(HEIGHT_PX / sum(sizes_mm), ROW_PX / min(sizes_mm)), 1.0
    wanted = max(HEIGHT_PX / sum(sizes_mm), ROW_PX / min(thick_mm))
    if not thin_mm:
        return wanted, 1.0
    thin_px = ROW_PX * sum(thin_mm) / min(thin_mm)
    scale = max(HEIGHT_PX - thin_px, LEAST_THICK_PX) / sum(thick_mm)
    if ROW_PX / min(thick_mm) * sum(thick_mm) <= MOST_THICK_PX:
        scale = max(scale, ROW_PX / min(thick_mm))
    if HEIGHT_PX / sum(sizes_mm) * min(thin_mm) >= ROW_PX:
        return wanted, 1.0
    factor = math.ceil(10 * max(1.0, ROW_PX / (scale * min(thin_mm))) - 1e-9) / 10
    return scale, factor


def _row(number: int, layer: StackLayer, height_px: float, is_magnified: bool) -> StackRow:
    kind = metal_kind(family=layer.family, role=layer.role)
    return StackRow(
        number=number,
        name=layer.name,
        role=layer.role,
        thickness_nm=layer.thickness_nm,
        height_px=height_px,
        is_magnified=is_magnified,
        rect=Rect(0.0, 0.0, 100.0, height_px, kind, layer.name),
    )
