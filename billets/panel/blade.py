"""The blade with its sliders, as one page shows it: sizes, drawings, sentences, script data.

The page is a plain form that asks the server again; with a script it draws at once by the same
rules (bevel.js). It leaves out which layup or billet the layers come from, and how a form's
text becomes sizes (`billets.blade.sizes`).
"""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from billets.blade.bevel import BevelReading
from billets.blade.grind import GRIND_SAYS, GRINDS, BevelError, own_sizes_mm
from billets.blade.outline import ripple
from billets.blade.section import Section
from billets.blade.sentences import (
    EDGE_SAYS,
    LINE_SAYS,
    WAVE_SAYS,
    WEAR_SAYS,
    edge_sentence,
    face_sentences,
)
from billets.blade.sizes import LEFT_OPTIONAL, OPTIONAL, BladeSizes, section_of_sizes
from billets.blade.sliders import Slider, sliders
from billets.blade.two_faces import GRIND_WORDS, LEFT_GRINDS
from billets.drawings.blade import SectionDrawing, section_drawing
from billets.drawings.halves import Skin
from billets.drawings.side import SideView, side_view
from billets.errors import NM_PER_MM

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
    left_grinds: tuple[tuple[str, str, bool], ...]
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
        `billets.blade.bevel`.
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
        sliders=sliders(_given(sizes, blade), grind=sizes.grind, system=system, left=sizes.left),
        grinds=tuple((grind, grind == sizes.grind) for grind in GRINDS),
        left_grinds=tuple(
            (grind, GRIND_WORDS.get(grind, grind), grind == sizes.left) for grind in LEFT_GRINDS
        ),
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
    # The sizes count drift from the blade's middle, the sums from the plane of the edge.
    drift_mm = page.sizes.drift_nm / NM_PER_MM + blade.middle_mm
    valley_mm = page.sizes.valley_nm / NM_PER_MM
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
        FaceWords(one.side, numbered(face_sentences(one, system=system))) for one in reading.faces
    )


def numbered(said: Sequence[Sequence[str]]) -> tuple[str, ...]:
    """All that is said of each line of a face, with its number from the edge up if there are more.

    Args:
        said: sentences, line by line.

    Returns:
        One text a line.

    Source:
        Our own wording.
    """
    texts = [" ".join(sentences) for sentences in said]
    if len(texts) == 1:
        return tuple(texts)
    return tuple(f"Line {number}: {text}" for number, text in enumerate(texts, start=1))


def _given(sizes: BladeSizes, blade: Section | None) -> dict[str, float]:
    """Where the sliders stand [mm, °]: as entered, or as the grind itself has put it."""
    names = ("spine", "height", "edge", "drift", "valley", "off", *OPTIONAL, *LEFT_OPTIONAL)
    sizes_nm = {name: getattr(sizes, f"{name}_nm") for name in names}
    known = {name: nm / NM_PER_MM for name, nm in sizes_nm.items() if nm is not None}
    usual: dict[str, float] = {}
    if blade is not None:
        left = own_sizes_mm(blade.left) if sizes.left in GRINDS else {}
        usual = own_sizes_mm(blade.right) | {f"left_{name}": mm for name, mm in left.items()}
    return usual | known | {"angle": sizes.sharpen_deg}


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
