"""Where the layers come out on a finished blade: each face, each line, with the core's drift.

The layers are planes parallel to the blade's centre plane. On each face a layer shows where
the face cuts through it; the sharpened edge is a V of its own on the centre plane. Drift is
how far the core lies off the centre plane, above 0 towards the right face. It leaves out the
section itself (`billets.section`), words (`billets.bevel_words`) and drawings.

Assumes layers of even thickness, and a grind that is the same all along the blade.

    BevelError (see `billets.grind`)
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from billets.design import Blade
from billets.errors import NM_PER_MM
from billets.grind import BevelError, face
from billets.lines import Line, check_order, moved
from billets.section import Section, SharpFace, section

USUAL_SHARPEN_DEG = 20.0  # one side; common practice
STATES: tuple[str, ...] = (
    "shows",  # comes out and ends on the bevel
    "to-spine",  # comes out and runs to the spine: nothing covers it
    "not-reached",  # the face is ground deeper than the line everywhere
    "at-edge",  # begins in the sharpened bevel
    "in-edge",  # lies wholly in the sharpened bevel
    "edge-out",  # the edge itself has left the core on this side
)


@dataclass(frozen=True)
class LineOnFace:
    """One line on one face. Heights are above the sharpened edge, up the blade [mm].

    `width_mm` is along the face, `start_mm` to `end_mm` up the blade. `wear_mm` is how much
    edge may be worn away before the line meets the sharpened bevel; None where it never comes
    out. `wave_mm` is how far the line moves between a die's ridge and valley. `spine_mm` is
    the spine from which on the line has cladding above it.
    """

    side: str
    number: int
    name: str
    state: str
    start_mm: float
    end_mm: float
    width_mm: float
    wear_mm: float | None
    wave_mm: float
    spine_mm: float


@dataclass(frozen=True)
class FaceReading:
    """One face: its sharpened bevel, its half-angle, its lines from the core outwards.

    `core_mm` is how far the core reaches beyond the centre plane on this side, below 0 when
    the edge has left it; `room_mm` how much further the core may drift away from this face
    before something else than core shows in the sharpened bevel.
    """

    side: str
    shoulder_mm: float
    shoulder_half_mm: float
    shoulder_width_mm: float
    angle_deg: float
    core_mm: float
    room_mm: float
    lines: tuple[LineOnFace, ...]


@dataclass(frozen=True)
class BevelReading:
    """Both faces. `drift_out_mm` is the drift, either way, at which the edge leaves the core."""

    right: FaceReading
    left: FaceReading
    drift_mm: float
    drift_out_mm: float
    is_edge_in_core: bool

    @property
    def faces(self) -> tuple[FaceReading, FaceReading]:
        """The right face, then the left."""
        return (self.right, self.left)

    @property
    def lines(self) -> tuple[LineOnFace, ...]:
        """Every line of both faces."""
        return self.right.lines + self.left.lines


def section_of(blade: Blade, *, edge_nm: int, sharpen_deg: float = USUAL_SHARPEN_DEG) -> Section:
    """The section of a blade as a layup describes it, both faces alike.

    Args:
        blade: spine, height, grind and the grind's own size [nm].
        edge_nm: thickness of the edge before sharpening [nm], 0 or more.
        sharpen_deg: sharpening angle of one side [°].

    Returns:
        The section.

    Raises:
        GrindError: sizes that are no blade.
        BevelError: an angle that does not sharpen it.

    Source:
        Plane geometry.
    """
    one = face(
        grind=blade.grind,
        spine_mm=blade.spine_nm / NM_PER_MM,
        height_mm=blade.height_nm / NM_PER_MM,
        edge_mm=edge_nm / NM_PER_MM,
        bevel_mm=_mm(blade.bevel_height_nm),
        wheel_mm=_mm(blade.wheel_radius_nm),
        bulge_mm=_mm(blade.bulge_nm),
    )
    return section(right=one, sharpen_deg=sharpen_deg)


def read(
    blade: Section,
    *,
    right: Sequence[Line],
    left: Sequence[Line],
    drift_mm: float = 0.0,
    valley_mm: float = 0.0,
) -> BevelReading:
    """Where every line comes out on both faces.

    Args:
        blade: the section.
        right: lines of the right half from the core outwards; may be empty.
        left: lines of the left half from the core outwards; may be empty.
        drift_mm: how far the core lies off centre [mm], above 0 towards the right face.
        valley_mm: depth of the valleys that the drawing dies leave [mm], 0 or more.

    Returns:
        Both faces with their lines.

    Raises:
        BevelError: lines out of order or a valley below 0.

    Source:
        Design: c/2 ± d ≤ h(y) ≤ c/2 ± d + k; width k / sin θ; wave a / tan θ.
    """
    if not (valley_mm >= 0 and math.isfinite(drift_mm)):
        raise BevelError(
            "Valleys {valley} deep with a drift of {drift} cannot be drawn; "
            "enter a depth of 0 or more.",
            lengths_mm={"valley": valley_mm, "drift": drift_mm},
        )
    faces = [
        _read_face(blade, side, lines, shift_mm, valley_mm)
        for side, lines, shift_mm in (("right", right, drift_mm), ("left", left, -drift_mm))
    ]
    cores = [lines[0].inner_mm for lines in (right, left) if lines]
    return BevelReading(
        right=faces[0],
        left=faces[1],
        drift_mm=drift_mm,
        drift_out_mm=min(cores, default=math.inf),
        is_edge_in_core=all(one.core_mm > 0 for one in faces),
    )


def wave_mm(one: SharpFace, *, up_mm: float, valley_mm: float) -> float:
    """How far a line moves up and down the face between a die's ridge and its valley.

    Args:
        one: the face.
        up_mm: height of the line [mm].
        valley_mm: depth of the valley [mm], 0 or more.

    Returns:
        Height from trough to crest [mm], at most the blade's height.

    Source:
        a / tan θ with the half-angle θ at that height; on an arc true for shallow valleys.
    """
    slope, most_mm = one.slope(up_mm), one.face.height_mm
    return most_mm if slope * most_mm <= valley_mm else valley_mm / slope


def _mm(nm: int | None) -> float | None:
    return None if nm is None else nm / NM_PER_MM


def _read_face(
    blade: Section, side: str, lines: Sequence[Line], shift_mm: float, valley_mm: float
) -> FaceReading:
    check_order(side, lines)
    one = blade.sharp(side)
    core_mm = lines[0].inner_mm + shift_mm if lines else one.face.spine_half_mm
    return FaceReading(
        side=side,
        shoulder_mm=one.shoulder_mm,
        shoulder_half_mm=one.shoulder_half_mm,
        shoulder_width_mm=math.hypot(one.shoulder_mm, one.shoulder_half_mm),
        angle_deg=math.degrees(math.atan2(one.face.rise_mm, one.face.bevel_mm)),
        core_mm=core_mm,
        room_mm=core_mm - one.shoulder_half_mm,
        lines=tuple(
            _read_line(one, side, number, moved(line, shift_mm=shift_mm), valley_mm)
            for number, line in enumerate(lines)
        ),
    )


def _read_line(one: SharpFace, side: str, number: int, line: Line, valley_mm: float) -> LineOnFace:
    state = _state(one, line)
    start_mm, end_mm = one.up_mm(line.inner_mm), one.up_mm(line.outer_mm)
    return LineOnFace(
        side=side,
        number=number,
        name=line.name,
        state=state,
        start_mm=start_mm,
        end_mm=end_mm,
        width_mm=one.along_mm(start_mm, end_mm),
        wear_mm=_wear_mm(one, line, state, start_mm),
        wave_mm=0.0
        if state == "not-reached"
        else wave_mm(one, up_mm=start_mm, valley_mm=valley_mm),
        spine_mm=2 * line.outer_mm,
    )


def _state(one: SharpFace, line: Line) -> str:
    if line.inner_mm >= one.face.spine_half_mm:
        return "not-reached"
    if line.inner_mm <= 0:
        return "edge-out"
    if line.inner_mm < one.shoulder_half_mm:
        return "in-edge" if line.outer_mm <= one.shoulder_half_mm else "at-edge"
    return "to-spine" if line.outer_mm > one.face.spine_half_mm else "shows"


def _wave_mm(one: SharpFace, state: str, start_mm: float, valley_mm: float) -> float:
    if state == "not-reached" or valley_mm == 0:
        return 0.0
    return wave_mm(one, up_mm=start_mm, valley_mm=valley_mm)


def _wear_mm(one: SharpFace, line: Line, state: str, start_mm: float) -> float | None:
    """Edge wear until the sharpened bevel reaches the line: its V then passes the line's foot."""
    if state == "not-reached":
        return None
    if state not in ("shows", "to-spine"):
        return 0.0
    return max(0.0, start_mm - line.inner_mm / one.sharpen_slope)
