"""The blade's cross-section as it is drawn: lying, edge left, right face up, with two insets.

All in millimetres of the blade, so that the drawing is to scale at any size; the insets state
how many times larger they are. It leaves out the view from the side (`billets.drawings.side`)
and every sum of the bevel (`billets.blade.bevel`).

The page's own script (bevel.js) draws the same by the same rules; a test holds them together.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from billets.blade.bevel import BevelReading, FaceReading, read
from billets.blade.section import Section, SharpFace
from billets.drawings.halves import Skin, lines_of
from stock.drawings.shapes import Measure, Rect, dimension, numbers_text, path_text, rounded

AIR = 0.02  # beyond edge and spine, of the blade's height
PAD = 0.085  # for dimension lines above and below, of the blade's height
ARC_STEPS = 16
LEAST_WORD = 10.0  # per cent from the left: a word's middle stands no nearer
LARGEST_FACTOR = 20.0
SHOWN = ("shows", "to-spine", "at-edge")


@dataclass(frozen=True)
class Inset:
    """A window in which the section is drawn larger: its frame, and how to get there."""

    name: str
    factor: str
    frame: Rect
    matrix: str


@dataclass(frozen=True)
class SectionDrawing:
    """The section in millimetres: layers are bands clipped by the outline.

    `before` is the edge before sharpening; `key` makes the drawing's ids its own.
    """

    key: str
    view_box: str
    outline: str
    before: str
    layers: tuple[Rect, ...]
    insets: tuple[Inset, ...]
    measures: tuple[Measure, ...]
    reading: BevelReading


def section_drawing(
    blade: Section,
    *,
    right: Sequence[Skin],
    left: Sequence[Skin],
    drift_mm: float = 0.0,
    valley_mm: float = 0.0,
    key: str = "section",
) -> SectionDrawing:
    """A blade's cross-section to scale, with the edge and the line's place drawn larger.

    Args:
        blade: the section.
        right: layers of the right half from the core outwards, as `halves` gives them.
        left: the same of the left half.
        drift_mm: how far the middle of the core lies off the plane of the edge [mm], above 0
            towards the right face.
        valley_mm: depth of die valleys [mm], for the reading that goes with the drawing.
        key: letters that make the drawing's ids its own on a page.

    Returns:
        Shapes in millimetres; x is the height above the edge, y is depth, right face up.

    Raises:
        BevelError: see `billets.blade.bevel.read`.
    """
    lines = {"right": lines_of(right), "left": lines_of(left)}
    reading = read(blade, **lines, drift_mm=drift_mm, valley_mm=valley_mm)
    up_mm, down_mm = blade.right.spine_half_mm, blade.left.spine_half_mm
    air_mm, pad_mm = AIR * blade.height_mm, PAD * blade.height_mm
    top_mm = up_mm + pad_mm
    insets = _insets(blade, reading, down_mm + pad_mm + air_mm)
    high_mm = top_mm + insets[0].frame.y + insets[0].frame.height + air_mm
    box = (-air_mm, -top_mm, blade.height_mm + 2 * air_mm, high_mm)
    return SectionDrawing(
        key=key,
        view_box=numbers_text(box),
        outline=_outline(blade),
        before=_before(blade),
        layers=layer_rects(blade, right=right, left=left, drift_mm=drift_mm),
        insets=insets,
        measures=tuple(
            _measure(face, y, 0.1 * pad_mm, box)
            for face, y in (
                (reading.right, -(up_mm + 0.35 * pad_mm)),
                (reading.left, down_mm + 0.35 * pad_mm),
            )
        ),
        reading=reading,
    )


def surface(one: SharpFace) -> list[tuple[float, float]]:
    """Points of one face from the sharpened edge up to the spine.

    Args:
        one: the face with its share of the edge.

    Returns:
        Height and depth [mm]; an arc in sixteen steps.
    """
    face, start_mm = one.face, one.shoulder_mm
    steps = ARC_STEPS if face.bend else 1
    ups = [start_mm + (face.bevel_mm - start_mm) * step / steps for step in range(steps + 1)]
    top = [(face.height_mm, face.spine_half_mm)] if face.bevel_mm < face.height_mm else []
    return [(0.0, 0.0), *((up, face.half_mm(up)) for up in ups), *top]


def layer_rects(
    blade: Section, *, right: Sequence[Skin], left: Sequence[Skin], drift_mm: float
) -> tuple[Rect, ...]:
    """Every layer as a band along the whole height, to be clipped by the outline.

    Args:
        blade: the section.
        right: layers of the right half from the core outwards.
        left: the same of the left half.
        drift_mm: how far the middle of the core lies off the plane of the edge [mm], above 0
            towards the right face.

    Returns:
        Bands from the right face down to the left one; the outermost reach beyond the blade.
    """
    far_mm = blade.right.spine_half_mm + blade.left.spine_half_mm + abs(drift_mm)
    ups = [skin.outer_mm for skin in right[:-1]] + [far_mm]
    downs = [-skin.outer_mm for skin in left[:-1]] + [-far_mm]
    edges = [*reversed(ups), *downs]
    skins = [*reversed(right), *left[1:]]
    return tuple(
        Rect(
            0.0,
            rounded(-(high + drift_mm), 4),
            rounded(blade.height_mm, 4),
            rounded(high - low, 4),
            skin.kind,
            skin.name,
        )
        for skin, high, low in zip(skins, edges[:-1], edges[1:], strict=True)
    )


def _outline(blade: Section) -> str:
    """The sharpened section: up the right face, down the left one."""
    right, left = surface(blade.sharp["right"]), surface(blade.sharp["left"])
    return path_text([(x, -y) for x, y in right] + left[:0:-1])


def _before(blade: Section) -> str:
    """The edge as it was before sharpening."""
    right, left = blade.sharp["right"], blade.sharp["left"]
    corners = [
        (right.shoulder_mm, -right.shoulder_half_mm),
        (0.0, -blade.right.edge_half_mm),
        (0.0, blade.left.edge_half_mm),
        (left.shoulder_mm, left.shoulder_half_mm),
    ]
    return path_text(corners, is_closed=False)


def _insets(blade: Section, reading: BevelReading, top_mm: float) -> tuple[Inset, Inset]:
    """The edge, and the place where the first line comes out, side by side under the section."""
    gap_mm = AIR * blade.height_mm
    wide_mm = (blade.height_mm + gap_mm) / 2
    shoulder_mm = max(face.shoulder_mm for face in reading.faces)
    firsts = [face.lines[0] for face in reading.faces if face.lines]
    visible = [line for line in firsts if line.state in SHOWN]
    low_mm = visible[0].start_mm if visible else 0.25 * blade.height_mm
    end_mm = visible[0].end_mm if visible else 0.75 * blade.height_mm
    edge = _factor(blade, wide_mm, 2 * shoulder_mm, 4 * shoulder_mm)
    line = _factor(blade, wide_mm, end_mm, 1.5 * (end_mm - low_mm))
    edge_mm, middle_mm = 0.42 * wide_mm / edge, (low_mm + end_mm) / 2
    high_mm = max(
        _thick_mm(blade, edge_mm + wide_mm / edge / 2) * edge,
        _thick_mm(blade, middle_mm + wide_mm / line / 2) * line,
    )
    size = (wide_mm, 1.12 * min(high_mm, 0.6 * wide_mm))
    return (
        _inset("edge", edge, _middle(blade, edge_mm), (-gap_mm, top_mm), size),
        _inset("line", line, _middle(blade, middle_mm), (wide_mm, top_mm), size),
    )


def _middle(blade: Section, up_mm: float) -> tuple[float, float]:
    """A place up the blade, and half-way between its faces there; y down, as drawn."""
    at_mm = min(up_mm, blade.height_mm)
    return up_mm, (blade.left.half_mm(at_mm) - blade.right.half_mm(at_mm)) / 2


def _factor(blade: Section, wide_mm: float, up_mm: float, least_mm: float) -> float:
    """The largest factor at which a window holds so much width and the thickness up to there.

    Whole from 5, halves below, at least 1.5 and at most 20.
    """
    most = min(wide_mm / max(least_mm, 1e-9), wide_mm / 2 / _thick_mm(blade, up_mm), LARGEST_FACTOR)
    return max(1.5, float(int(most)) if most >= 5 else int(2 * most) / 2)


def _thick_mm(blade: Section, up_mm: float) -> float:
    up_mm = min(up_mm, blade.height_mm)
    return blade.right.half_mm(up_mm) + blade.left.half_mm(up_mm)


def _inset(
    name: str,
    factor: float,
    middle_mm: tuple[float, float],
    corner_mm: tuple[float, float],
    size_mm: tuple[float, float],
) -> Inset:
    (x, y), (wide, high) = corner_mm, size_mm
    frame = Rect(rounded(x, 4), rounded(y, 4), rounded(wide, 4), rounded(high, 4), "ground", name)
    shift = numbers_text(
        [x + wide / 2 - factor * middle_mm[0], y + high / 2 - factor * middle_mm[1]]
    )
    matrix = f"matrix({factor:g} 0 0 {factor:g} {shift})"
    return Inset(name, f"{factor:g}", frame, matrix)


def _measure(
    face: FaceReading, y: float, tick: float, box: tuple[float, float, float, float]
) -> Measure:
    """From the edge to where the first line of a face comes out; without `d` where it does not."""
    label_y = rounded(100 * (y - box[1]) / box[3])
    if not face.lines or face.lines[0].state not in SHOWN:
        return Measure("", 0.0, label_y, 0, face.side)
    start_mm = face.lines[0].start_mm
    return Measure(
        d=dimension((0.0, y), (start_mm, y), tick=tick),
        label_x=rounded(max(LEAST_WORD, 100 * (start_mm / 2 - box[0]) / box[2])),
        label_y=label_y,
        size_nm=round(start_mm * 1e6),
        side=face.side,
    )
