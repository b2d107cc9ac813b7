"""The blade with its sliders, as one page shows it: sizes, drawings, sentences, script data.

The page is a plain form that asks the server again; with a script it draws at once by the same
rules (bevel.js). It leaves out which layup or billet the layers come from, and how a form's
text becomes sizes (`billets.blade_sizes`).
"""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from billets.bevel import BevelReading, LineOnFace
from billets.bevel_words import (
    EDGE_SAYS,
    LINE_SAYS,
    WAVE_SAYS,
    WEAR_SAYS,
    edge_sentence,
    line_sentences,
)
from billets.blade_outline import ripple
from billets.blade_sizes import OPTIONAL, BladeSizes, section_of_sizes
from billets.blade_sliders import Slider, sliders
from billets.drawing_blade import SectionDrawing, section_drawing
from billets.drawing_side import SideView, side_view
from billets.drawing_skins import Skin
from billets.errors import NM_PER_MM
from billets.grind import GRIND_SAYS, GRINDS, BevelError, own_sizes_mm
from billets.section import Section

SIDES = ("right", "left")


@dataclass(frozen=True)
class Laminate:
    """What the blade is ground from: both halves of the drawn stack, the billet's mark.

    `length_mm` is the blade's, worked out where it `is_estimate`; `pitch_mm` from one die valley
    to the next.
    """

    right: tuple[Skin, ...]
    left: tuple[Skin, ...]
    mark: str
    length_mm: float
    pitch_mm: float
    is_estimate: bool = True


@dataclass(frozen=True)
class FaceWords:
    """What is said of one face: a sentence or more for each line."""

    side: str
    lines: tuple[str, ...]


@dataclass(frozen=True)
class BladePage:
    """The page. Drawings are None and `refusal` says why when the sizes make no blade."""

    sizes: BladeSizes
    section: SectionDrawing | None
    right: SideView | None
    left: SideView | None
    faces: tuple[FaceWords, ...]
    edge: str
    refusal: str
    sliders: tuple[Slider, ...]
    grinds: tuple[tuple[str, bool], ...]
    script: str


def blade_page(
    sizes: BladeSizes, *, laminate: Laminate, system: str, key: str = "blade"
) -> BladePage:
    """The page for a blade of these sizes from this laminate.

    Args:
        sizes: what the sliders say.
        laminate: what it is ground from.
        system: "inch" or "metric".
        key: letters that make the drawings' ids their own on a page.

    Returns:
        Drawings and sentences, or the refusal; the sliders either way.

    Raises:
        DrawingError: a blade without length, or waves that cannot be drawn.

    Source:
        `billets.bevel`.
    """
    waves = {
        side: ripple(
            laminate.mark, side=side, length_mm=laminate.length_mm, pitch_mm=laminate.pitch_mm
        )
        for side in SIDES
    }
    blade, refusal = None, ""
    try:
        blade = section_of_sizes(sizes)
    except BevelError as error:
        refusal = error.sentence(system)
    page = BladePage(
        sizes=sizes,
        section=None,
        right=None,
        left=None,
        faces=(),
        edge="",
        refusal=refusal,
        sliders=sliders(_given(sizes, blade), grind=sizes.grind, system=system),
        grinds=tuple((grind, grind == sizes.grind) for grind in GRINDS),
        script=_script(laminate, waves, system),
    )
    return page if blade is None else _drawn(page, blade, laminate, waves, system, key)


def _drawn(
    page: BladePage,
    blade: Section,
    laminate: Laminate,
    waves: Mapping[str, Sequence[float]],
    system: str,
    key: str,
) -> BladePage:
    drift_mm, valley_mm = page.sizes.drift_nm / NM_PER_MM, page.sizes.valley_nm / NM_PER_MM
    drawing = section_drawing(
        blade,
        right=laminate.right,
        left=laminate.left,
        drift_mm=drift_mm,
        valley_mm=valley_mm,
        key=f"{key}-section",
    )
    views = [
        side_view(
            blade,
            half=getattr(laminate, side),
            side=side,
            length_mm=laminate.length_mm,
            drift_mm=drift_mm,
            valley_mm=valley_mm,
            waves=waves[side],
            key=f"{key}-{side}",
            is_estimate=laminate.is_estimate,
        )
        for side in SIDES
    ]
    return replace(
        page,
        section=drawing,
        right=views[0],
        left=views[1],
        faces=_face_words(drawing.reading, system),
        edge=edge_sentence(drawing.reading, system=system),
    )


def _face_words(reading: BevelReading, system: str) -> tuple[FaceWords, ...]:
    return tuple(
        FaceWords(one.side, tuple(_line_words(line, len(one.lines), system) for line in one.lines))
        for one in reading.faces
    )


def _line_words(line: LineOnFace, count: int, system: str) -> str:
    """All that is said of a line; with its number from the edge up where there are more."""
    said = " ".join(line_sentences(line, system=system))
    return said if count == 1 else f"Line {line.number + 1}: {said}"


def _given(sizes: BladeSizes, blade: Section | None) -> dict[str, float]:
    """Where the sliders stand [mm, °]: as entered, or as the grind itself has put it."""
    names = ("spine", "height", "edge", "drift", "valley", *OPTIONAL)
    sizes_nm = {name: getattr(sizes, f"{name}_nm") for name in names}
    known = {name: nm / NM_PER_MM for name, nm in sizes_nm.items() if nm is not None}
    return (known if blade is None else own_sizes_mm(blade.right) | known) | {
        "angle": sizes.sharpen_deg
    }


def _script(laminate: Laminate, waves: Mapping[str, Sequence[float]], system: str) -> str:
    """What bevel.js has to know of this blade, as JSON for a data attribute."""
    halves = {
        side: [{"outer": skin.outer_mm, "isLine": skin.is_line} for skin in getattr(laminate, side)]
        for side in SIDES
    }
    return json.dumps(
        {
            "system": system,
            "length": laminate.length_mm,
            "halves": halves,
            "waves": waves,
            "says": {
                "line": dict(LINE_SAYS),
                "wear": WEAR_SAYS,
                "wave": WAVE_SAYS,
                "edge": dict(EDGE_SAYS),
                "refusal": dict(GRIND_SAYS),
            },
        },
        ensure_ascii=False,
    )
