"""Where the layers come out on a finished blade: each face, each line, with the core's drift.

The layers are planes parallel to the plane through the edge, which is the blade's centre plane
where both faces are alike. On each face a layer shows where the face cuts through it; the
sharpened edge is a V of its own on that plane. Drift is how far the core lies off it, above 0
towards the right face. It says what it found in sentences too, and leaves out the section itself
(`billets.blade.section`) and drawings.

Assumes layers of even thickness, and a grind that is the same all along the blade.

    BevelError (see `billets.blade.grind`)
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from billets.blade.grind import BevelError
from billets.blade.section import Line, Section, SharpFace, check_order, moved
from billets.errors import length_words

STATES: tuple[str, ...] = (
    "shows",  # comes out and ends on the bevel
    "to-spine",  # comes out and runs to the spine: nothing covers it
    "not-reached",  # the face is ground deeper than the line everywhere
    "at-edge",  # begins in the sharpened bevel
    "in-edge",  # lies wholly in the sharpened bevel
    "edge-out",  # the edge itself has left the core on this side
    "not-ground",  # this face is not ground, and core from edge to spine
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

    `core_mm` is how far the core reaches beyond the plane of the edge on this side, below 0 when
    the edge has left it; `room_mm` how much further the core may drift away from this face
    before something else than core shows in the sharpened bevel. Neither says anything of a face
    that has core alone under it.
    """

    side: str
    shoulder_mm: float
    shoulder_half_mm: float
    shoulder_width_mm: float
    angle_deg: float
    core_mm: float
    room_mm: float
    lines: tuple[LineOnFace, ...]
    is_ground: bool = True


@dataclass(frozen=True)
class BevelReading:
    """Both faces. `drift_out_mm` is the drift, either way, at which the edge leaves the core.

    `near_mm` is how far the edge lies from the nearest side of the core, below 0 outside it;
    `is_centred` whether the edge lies in the middle of the blade.
    """

    right: FaceReading
    left: FaceReading
    drift_mm: float
    drift_out_mm: float
    near_mm: float
    is_edge_in_core: bool
    is_centred: bool = True

    @property
    def faces(self) -> tuple[FaceReading, FaceReading]:
        """The right face, then the left."""
        return (self.right, self.left)

    @property
    def lines(self) -> tuple[LineOnFace, ...]:
        """Every line of both faces."""
        return self.right.lines + self.left.lines


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
        drift_mm: how far the middle of the core lies off the plane of the edge [mm], above 0
            towards the right face.
        valley_mm: depth of the valleys that the drawing dies leave [mm], 0 or more.

    Returns:
        Both faces with their lines.

    Raises:
        BevelError: lines out of order or a valley below 0.
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
    near_mm = min((one.core_mm for one in faces if one.lines), default=math.inf)
    return BevelReading(
        right=faces[0],
        left=faces[1],
        drift_mm=drift_mm,
        drift_out_mm=min(cores, default=math.inf),
        near_mm=near_mm,
        is_edge_in_core=near_mm > 0,
        is_centred=blade.right.spine_half_mm == blade.left.spine_half_mm,
    )


def _read_face(
    blade: Section, side: str, lines: Sequence[Line], shift_mm: float, valley_mm: float
) -> FaceReading:
    check_order(side, lines)
    one = blade.sharp[side]
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
        is_ground=one.face.is_ground,
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
        if state == "not-reached" or not one.face.is_ground
        else one.wave_mm(start_mm, valley_mm=valley_mm),
        spine_mm=2 * line.outer_mm,
    )


def _state(one: SharpFace, line: Line) -> str:
    if not one.face.is_ground:
        return "not-ground" if line.inner_mm > 0 else "edge-out"
    if line.inner_mm >= one.face.spine_half_mm:
        return "not-reached"
    if line.inner_mm <= 0:
        return "edge-out"
    if line.inner_mm < one.shoulder_half_mm:
        return "in-edge" if line.outer_mm <= one.shoulder_half_mm else "at-edge"
    return "to-spine" if line.outer_mm > one.face.spine_half_mm else "shows"


def _wear_mm(one: SharpFace, line: Line, state: str, start_mm: float) -> float | None:
    """Edge wear until the sharpened bevel reaches the line: its V then passes the line's foot."""
    if state in ("not-reached", "not-ground"):
        return None
    if state not in ("shows", "to-spine"):
        return 0.0
    return max(0.0, start_mm - line.inner_mm / one.sharpen_slope)


LINE_SAYS: Mapping[str, str] = {
    "shows": "Comes out {start} above the edge and ends at {end}, {width} wide on the bevel.",
    "to-spine": "Comes out {start} above the edge and runs to the spine: no steel lies above it. "
    "A spine over {spine} leaves some.",
    "not-reached": "Does not come out on this face, which is ground deeper than the line "
    "everywhere. A spine over {spine} shows it.",
    "at-edge": "Begins in the sharpened edge and ends {end} up. "
    "Keep the core in the middle, or start with a thicker core.",
    "in-edge": "Does not come out on this bevel, only in the sharpened edge, below {end}. "
    "Keep the core in the middle, or start with a thicker core.",
    "edge-out": "Does not come out above the edge: on this side the edge has left the core. "
    "Bring the core back to the middle, or start with a thicker core.",
    "core": "The core comes out below {start} above the edge.",
    "not-ground": "Is not ground, and is core from edge to spine.",
    "bare-out": "Is not ground, and the edge lies outside the core on it: lay the core at this "
    "face, or grind both faces.",
}
WEAR_SAYS = (
    "{wear} of edge may wear away before the line meets the sharpened bevel; "
    "an edge in the core stays in the core."
)
WAVE_SAYS = "Die valleys move it up and down by {wave}."
EDGE_SAYS: Mapping[str, str] = {
    "in": "The edge lies in the core and stays in it however far it wears. "
    "It leaves the core when the core drifts {out} off centre.",
    "whole": "The blade is core through and through: there is nothing for the edge to leave.",
    "in-off": "The edge lies in the core, {near} from the nearest side of it, and stays in it "
    "however far it wears.",
    "out-off": "The edge lies outside the core, which ends {near} short of it. Lay the core where "
    "the edge comes out, or grind both faces alike.",
    "out": "The edge has left the core: the core has drifted {drift}, and {out} is as far as it "
    "may. Turn the billet over between heats, or start with a thicker core.",
}


def line_sentences(line: LineOnFace, *, system: str) -> tuple[str, ...]:
    """What one line does on one face.

    Args:
        line: as `read` found it.
        system: "inch" or "metric".

    Returns:
        One sentence on where it comes out; more on its wave and its wear where it does.
    """
    is_weld = line.state == "shows" and line.width_mm == 0
    words = {
        name: length_words(size_mm, system=system)
        for name, size_mm in (
            ("start", line.start_mm),
            ("end", line.end_mm),
            ("width", line.width_mm),
            ("spine", line.spine_mm),
            ("wave", line.wave_mm),
            ("wear", line.wear_mm or 0.0),
        )
    }
    said = [LINE_SAYS["core" if is_weld else line.state]]
    if line.wave_mm > 0:
        said.append(WAVE_SAYS)
    if line.wear_mm:
        said.append(WEAR_SAYS)
    return tuple(template.format(**words) for template in said)


def face_sentences(face: FaceReading, *, system: str) -> tuple[tuple[str, ...], ...]:
    """What every line does on one face.

    Args:
        face: as `read` found it.
        system: "inch" or "metric".

    Returns:
        Sentences line by line; of a face that is not ground one alone, for it shows one layer.
    """
    if not face.is_ground:
        is_core = not face.lines or face.lines[0].state == "not-ground"
        return ((LINE_SAYS["not-ground" if is_core else "bare-out"],),)
    return tuple(line_sentences(line, system=system) for line in face.lines)


def edge_sentence(reading: BevelReading, *, system: str) -> str:
    """Whether the edge lies in the core, and how much drift it takes to leave it.

    Args:
        reading: both faces.
        system: "inch" or "metric".

    Returns:
        One sentence, or two. An edge off the middle is held against the side of the core that is
        nearest to it.
    """
    if math.isinf(reading.drift_out_mm):
        return EDGE_SAYS["whole"]
    key = "in" if reading.is_edge_in_core else "out"
    return EDGE_SAYS[key if reading.is_centred else f"{key}-off"].format(
        out=length_words(reading.drift_out_mm, system=system),
        drift=length_words(abs(reading.drift_mm), system=system),
        near=length_words(abs(reading.near_mm), system=system),
    )
