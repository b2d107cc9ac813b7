"""The blade from the side with its lines as they will look, wavy where dies left valleys.

The lines keep their height above the edge along the edge itself, up into the tip: the grind is
taken to keep its angle there. Waves are made from the billet's mark, so that the same billet
always looks the same; a picture of what to expect, not a forecast of each wave.

The page's own script (bevel.js) draws the same by the same rules; a test holds them together.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from billets.blade.outline import STATIONS, along_edge, outline
from billets.blade.section import Section, SharpFace
from billets.drawings.halves import Skin
from stock.drawings.shapes import Measure, Path, dimension, numbers_text, path_text, rounded

LEFT, RIGHT, ABOVE, BELOW = 0.24, 0.02, 0.02, 0.1  # room around the blade, of its length
TANG = 0.14  # of the length; drawn dashed
BEYOND = 3.0  # blade heights: outside whatever is drawn


@dataclass(frozen=True)
class SideView:
    """One face seen from the side; millimetres, edge down, tip to the right unless mirrored.

    `zones` are painted in order, from the outermost layer to the core, and clipped by `outline`.
    """

    key: str
    side: str
    view_box: str
    mirror: str
    outline: str
    tang: str
    zones: tuple[Path, ...]
    sharpened: str
    grind_line: str
    measures: tuple[Measure, ...]
    length_nm: int
    height_nm: int
    is_estimate: bool


def side_view(
    blade: Section,
    *,
    half: Sequence[Skin],
    side: str,
    length_mm: float,
    drift_mm: float = 0.0,
    valley_mm: float = 0.0,
    waves: Sequence[float] = (),
    key: str = "side",
    is_estimate: bool = False,
) -> SideView:
    """One face of the blade from the side.

    Args:
        blade: the section.
        half: layers of this half from the core outwards, as `billets.drawings.halves` has them.
        side: "right" or "left"; the left one is drawn with its tip to the left.
        length_mm: length of the ground blade [mm], above 0.
        drift_mm: how far the middle of the core lies off the plane of the edge [mm], above 0
            towards the right face.
        valley_mm: depth of die valleys [mm], 0 or more.
        waves: as `ripple` gives them; empty for straight lines.
        key: letters that make the drawing's ids its own on a page.
        is_estimate: whether the length was worked out, so that its label says "about".

    Returns:
        Shapes in millimetres.

    Raises:
        DrawingError: a length that is not above 0.
    """
    sharp, height_mm = blade.sharp[side], blade.height_mm
    shift_mm = drift_mm if side == "right" else -drift_mm
    bevel_mm, is_mirrored = sharp.face.bevel_mm, side == "left"
    whole = path_text(outline(length_mm=length_mm, height_mm=height_mm))
    return SideView(
        key=key,
        side=side,
        view_box=_view_box(length_mm, height_mm, is_mirrored),
        mirror=f"matrix(-1 0 0 1 {numbers_text([length_mm])} 0)" if is_mirrored else "",
        outline=whole,
        tang=_tang(length_mm, height_mm),
        zones=(
            Path(whole, half[-1].kind),
            *_zones(sharp, half[:-1], shift_mm, valley_mm, waves, length_mm),
        ),
        sharpened=_level(sharp.shoulder_mm, length_mm, height_mm),
        grind_line=_level(bevel_mm, length_mm, height_mm) if bevel_mm < height_mm else "",
        measures=_measures(sharp, half[0].outer_mm + shift_mm, length_mm, is_mirrored),
        length_nm=round(length_mm * 1e6),
        height_nm=round(height_mm * 1e6),
        is_estimate=is_estimate,
    )


def zone_heights_mm(
    sharp: SharpFace, *, depth_mm: float, valley_mm: float, waves: Sequence[float]
) -> list[float]:
    """Height of a layer's boundary above the edge at every station.

    Args:
        sharp: the face with its share of the edge.
        depth_mm: the boundary's distance from the blade's centre plane on this side [mm].
        valley_mm: depth of die valleys [mm], 0 or more.
        waves: -1 to 1 at every station; empty for a straight line.

    Returns:
        Heights [mm]: 0 where the edge has left the boundary, beyond the spine where the face
        never reaches it.
    """
    if depth_mm <= 0:
        return [0.0] * STATIONS
    if depth_mm >= sharp.face.spine_half_mm:
        return [BEYOND * sharp.face.height_mm] * STATIONS
    up_mm = sharp.up_mm(depth_mm)
    reach_mm = sharp.wave_mm(up_mm, valley_mm=valley_mm) / 2 if valley_mm else 0.0
    return [max(0.0, up_mm + reach_mm * wave) for wave in waves or [0.0] * STATIONS]


def _zones(
    sharp: SharpFace,
    skins: Sequence[Skin],
    shift_mm: float,
    valley_mm: float,
    waves: Sequence[float],
    length_mm: float,
) -> tuple[Path, ...]:
    """What lies between the edge and the outer face of each skin, outermost first."""
    zones = []
    for skin in reversed(skins):
        depth_mm = skin.outer_mm + shift_mm
        heights = zone_heights_mm(sharp, depth_mm=depth_mm, valley_mm=valley_mm, waves=waves)
        zones.append(Path(_under(heights, length_mm, sharp.face.height_mm), skin.kind))
    return tuple(zones)


def _under(heights_mm: Sequence[float], length_mm: float, height_mm: float) -> str:
    """Everything between the edge and a line along it."""
    top = along_edge(heights_mm, length_mm=length_mm, height_mm=height_mm)
    edge = along_edge([0.0] * STATIONS, length_mm=length_mm, height_mm=height_mm)
    return path_text([*top, *reversed(edge)])


def _level(up_mm: float, length_mm: float, height_mm: float) -> str:
    """A line that keeps one height above the edge."""
    points = along_edge([up_mm] * STATIONS, length_mm=length_mm, height_mm=height_mm)
    return path_text(points, is_closed=False)


def _view_box(length_mm: float, height_mm: float, is_mirrored: bool) -> str:
    sizes = (
        -(RIGHT if is_mirrored else LEFT) * length_mm,
        -ABOVE * length_mm,
        (1 + LEFT + RIGHT) * length_mm,
        height_mm + (ABOVE + BELOW) * length_mm,
    )
    return numbers_text(sizes)


def _tang(length_mm: float, height_mm: float) -> str:
    """Where the handle will be: only so that nobody takes the heel for a tip."""
    x, top, bottom = -TANG * length_mm, 0.12 * height_mm, 0.5 * height_mm
    return path_text([(0.0, top), (x, top), (x, bottom), (0.0, bottom)], is_closed=False)


def _measures(
    sharp: SharpFace, depth_mm: float, length_mm: float, is_mirrored: bool
) -> tuple[Measure, ...]:
    """The blade's length, and the height of the first line; without `d` where none shows."""
    height_mm = sharp.face.height_mm
    tick, below = 0.012 * length_mm, height_mm + 0.035 * length_mm
    high_mm = height_mm + (ABOVE + BELOW) * length_mm

    def placed(side: str, d: str, x: float, y: float, size_mm: float) -> Measure:
        across = 100 * (x / length_mm + LEFT) / (1 + LEFT + RIGHT)
        down = 100 * (y + ABOVE * length_mm) / high_mm
        across = rounded(100 - across if is_mirrored else across)
        return Measure(d, across, rounded(down), round(size_mm * 1e6), side)

    level = dimension((0.0, below), (length_mm, below), tick=tick)
    up_mm, x = sharp.up_mm(depth_mm), -0.035 * length_mm
    upright = ""
    if 0 < depth_mm < sharp.face.spine_half_mm:
        foot, top = (x, height_mm), (x, height_mm - up_mm)
        reach = path_text([top, (0.0, top[1])], is_closed=False)
        upright = dimension(foot, top, tick=tick) + reach
    return (
        placed("length", level, length_mm / 2, below, length_mm),
        placed("line", upright, x - tick, height_mm - up_mm / 2, up_mm),
    )
