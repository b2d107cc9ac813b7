"""The blade with its sliders, as one page shows it: sizes, drawings, sentences, script data.

The page is a plain form that asks the server again; with a script it draws at once by the same
rules (bevel.js). It leaves out which layup or billet the layers come from, and how a form's
text becomes sizes (`billets.blade.sizes`).
"""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from billets.blade.bevel import (
    EDGE_SAYS,
    LINE_SAYS,
    WAVE_SAYS,
    WEAR_SAYS,
    BevelReading,
    edge_sentence,
    face_sentences,
)
from billets.blade.grind import GRIND_SAYS, GRINDS, BevelError, own_sizes_mm
from billets.blade.outline import ripple
from billets.blade.section import Section
from billets.blade.sizes import (
    LEFT_OPTIONAL,
    OPTIONAL,
    BladeSizes,
    asked_sizes,
    section_of_sizes,
    sizes_of,
)
from billets.blade.sliders import Slider, sliders
from billets.blade.two_faces import GRIND_WORDS, LEFT_GRINDS, built_in_mm
from billets.drawings.blade import SectionDrawing, section_drawing
from billets.drawings.halves import Skin, halves
from billets.drawings.side import SideView, side_view
from billets.errors import NM_PER_MM, nm_from_mm
from billets.layup.case import Case
from billets.layup.design import Design
from billets.panel.figures import length_estimate
from stock.alloys.book import Figure
from stock.drawings.shapes import DrawingError, metal_kind
from stock.house import House
from stock.quantities.typed_text import UnitsError
from stock.quantities.units import length_text

SIDES = ("right", "left")


@dataclass(frozen=True)
class Laminate:
    """What the blade is ground from: both halves of the drawn stack, the billet's mark.

    `length_mm` is the blade's, worked out where it `is_estimate`; `pitch_mm` from one die valley
    to the next; `drift_mm` is how far the stack itself puts the core off the middle.
    """

    right: tuple[Skin, ...]
    left: tuple[Skin, ...]
    mark: str
    length_mm: float
    pitch_mm: float
    is_estimate: bool = True
    drift_mm: float = 0.0


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


BLADE_SHARE = Figure(2 / 3, "of the drawn length; the rest is tang and what is cut off", "practice")
NOT_DRAWN = (
    "A blade is drawn about its core: give the stack exactly one core, and every layer a "
    "thickness above 0."
)


BAR_SAYS = "This stack makes a bar, not a blade. For a blade, give it exactly one core."


@dataclass(frozen=True)
class ShownBlade:
    """The page of a blade and what to mind of it, or the sentence that says why there is none."""

    page: BladePage | None
    refused: str
    remark: str = ""


def laminate_of(case: Case, *, mark: str, drawn_length_mm: float | None) -> Laminate:
    """What the blade of a layup is ground from.

    Args:
        case: the layup; the shop's bite is taken as the distance of two die valleys.
        mark: the billet's mark, or any words that are the same each time.
        drawn_length_mm: length of the drawn billet [mm]; None takes the blank's.

    Returns:
        Both halves at the finished thickness, the blade as long as `blade_length_mm` says.

    Raises:
        DrawingError: there is not exactly one core, or a layer has no thickness.

    Source:
        `billets.layup.stack.drawn_layers_nm`; the share is common practice.
    """
    design, layers_nm = case.design, case.drawn_nm
    if not layers_nm or min(layers_nm) <= 0:
        raise DrawingError(NOT_DRAWN)
    roles = [layer.role for layer in design.layers]
    right, left = halves(
        [nm / NM_PER_MM for nm in layers_nm],
        kinds=[
            metal_kind(family=colour, role=role)
            for colour, role in zip(case.colours, roles, strict=True)
        ],
        roles=roles,
        names=case.short_names,
    )
    return Laminate(
        right=right,
        left=left,
        mark=mark,
        length_mm=blade_length_mm(design, drawn_length_mm=drawn_length_mm),
        pitch_mm=case.house.bite_nm / NM_PER_MM,
        is_estimate=design.blade.length_nm is None,
        drift_mm=built_in_mm(case) or 0.0,
    )


def blade_length_mm(design: Design, *, drawn_length_mm: float | None) -> float:
    """How long the blade is, heel to tip.

    Args:
        design: the layup.
        drawn_length_mm: length of the drawn billet [mm]; None takes the blank's.

    Returns:
        The length that was entered, or else `BLADE_SHARE` of the billet [mm].
    """
    if design.blade.length_nm is not None:
        return design.blade.length_nm / NM_PER_MM
    return (drawn_length_mm or design.blank_length_nm / NM_PER_MM) * BLADE_SHARE.value


def too_long(design: Design, drawn_length_mm: float | None, *, system: str) -> str:
    """What to say of a blade that is longer than its billet.

    Args:
        design: the layup.
        drawn_length_mm: length of the drawn billet [mm]; None where it is not known.
        system: "inch" or "metric".

    Returns:
        A sentence; nothing for a blade that fits, or whose length was left to the billet.
    """
    length_nm = design.blade.length_nm
    if length_nm is None or not drawn_length_mm or length_nm <= drawn_length_mm * NM_PER_MM:
        return ""
    return (
        f"The blade is to be {length_text(length_nm, system=system)} long, but the billet draws "
        f"out to about {length_estimate(drawn_length_mm, system=system)}. Make the blank longer "
        "or the blade shorter."
    )


def shown_blade(
    case: Case,
    *,
    mark: str,
    drawn_length_mm: float | None,
    query: Mapping[str, str] | None = None,
) -> ShownBlade:
    """The blade of a layup with the sizes that somebody asked for.

    Args:
        case: the layup in its shop.
        mark: the billet's mark, or any words that are the same each time.
        drawn_length_mm: length of the drawn billet [mm]; None takes the blank's.
        query: what the sliders' form sent; nothing shows the layup's own sizes.

    Returns:
        The page, or why there is none; a size that cannot be read leaves the layup's own, and
        is what the remark says.
    """
    if not case.has_one_core and case.process == "forge-welded":
        return ShownBlade(None, BAR_SAYS)
    design, house = case.design, case.house
    try:
        laminate = laminate_of(case, mark=mark, drawn_length_mm=drawn_length_mm)
        usual = sizes_of(
            design.blade,
            edge_nm=house.edge_thickness_nm,
            drift_nm=nm_from_mm(laminate.drift_mm),
            valley_nm=house.valley_nm,
        )
        sizes, unread = _asked(query or {}, usual=usual, house=house)
        page = blade_page(sizes, laminate=laminate, system=house.system)
        long = too_long(design, drawn_length_mm, system=house.system)
        return ShownBlade(page, "", unread or long)
    except DrawingError as error:
        return ShownBlade(None, str(error))


def _asked(query: Mapping[str, str], *, usual: BladeSizes, house: House) -> tuple[BladeSizes, str]:
    """The sizes that were asked for; the layup's own and why, where one cannot be read."""
    try:
        return asked_sizes(query, usual=usual, unit=house.unit), ""
    except UnitsError as error:
        return usual, f"{error} Drawn is the layup's own blade."
