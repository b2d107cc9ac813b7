"""What the bevel's figures say, in sentences; the page's own script uses the same wording.

It leaves out the figures themselves (`billets.blade.bevel`). A weld with nothing in it has
sentences of its own: there is no line, only the place where the core comes out.
"""

import math
from collections.abc import Mapping

from billets.blade.bevel import BevelReading, FaceReading, LineOnFace
from billets.errors import length_words

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
        line: as `billets.blade.bevel.read` found it.
        system: "inch" or "metric".

    Returns:
        One sentence on where it comes out; more on its wave and its wear where it does.

    Source:
        Our own wording.
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
        face: as `billets.blade.bevel.read` found it.
        system: "inch" or "metric".

    Returns:
        Sentences line by line; of a face that is not ground one alone, for it shows one layer.

    Source:
        `line_sentences`.
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

    Source:
        The layers are parallel to the plane through the edge.
    """
    if math.isinf(reading.drift_out_mm):
        return EDGE_SAYS["whole"]
    key = "in" if reading.is_edge_in_core else "out"
    return EDGE_SAYS[key if reading.is_centred else f"{key}-off"].format(
        out=length_words(reading.drift_out_mm, system=system),
        drift=length_words(abs(reading.drift_mm), system=system),
        near=length_words(abs(reading.near_mm), system=system),
    )
