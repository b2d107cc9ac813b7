"""The blade as a sheet draws it: cross-section with insets, side view, and where the line shows.

Pure. It leaves out every sum of the bevel (`billets.blade.bevel`) and its shapes (`drawing_side`).
"""

from __future__ import annotations

from dataclasses import dataclass

from billets.blade.bevel import edge_sentence, face_sentences
from billets.blade.outline import SHORTEST_PITCH_MM, ripple
from billets.blade.section import Section
from billets.blade.two_faces import grind_words, section_of
from billets.drawings.blade import SectionDrawing, section_drawing
from billets.drawings.halves import Skin
from billets.drawings.side import SideView, side_view
from billets.errors import NM_PER_MM, ForgingError
from billets.layup.case import Case
from billets.layup.design import Blade
from billets.panel.blade import Laminate, laminate_of, too_long
from shop.sheets.words import Told, size_told
from stock.drawings.shapes import DrawingError
from stock.house import House

ALIKE_MM = 0.005  # less than that is not seen on a blade


@dataclass(frozen=True)
class BladeOnPaper:
    """Drawings and sentences; the drawings are None and `refused` says why where there is none."""

    section: SectionDrawing | None
    views: tuple[SideView, ...]
    grind: str
    spine: Told | None
    height: Told | None
    sentences: tuple[str, ...]
    refused: str = ""

    @property
    def size_words(self) -> str:
        """Grind, spine and height."""
        if self.spine is None or self.height is None:
            return ""
        return f"{self.grind}, {self.spine.first} at the spine, {self.height.first} high."

    @property
    def section_ratio(self) -> float:
        """Height of the section's drawing over its width."""
        return _ratio(self.section.view_box) if self.section else 0.0

    @property
    def view_ratios(self) -> tuple[float, ...]:
        """Height over width of each side view."""
        return tuple(_ratio(view.view_box) for view in self.views)


def _ratio(view_box: str) -> float:
    """Height over width of a view box."""
    wide, high = (float(size) for size in view_box.split()[2:])
    return high / wide


def blade_on_paper(
    case: Case,
    *,
    mark: str,
    drawn_length_mm: float | None,
    key: str,
) -> BladeOnPaper | None:
    """The blade that a billet is to become, as the billet's page draws it.

    Args:
        case: the layup in its shop.
        mark: the billet's, which its waves come from.
        drawn_length_mm: length of the drawn billet [mm]; None takes the blank's.
        key: letters that make the drawings' ids their own in the file.

    Returns:
        One side view where both faces are alike, else two; None for a stack that has not
        exactly one core, which makes a bar and not a blade.
    """
    if not case.has_one_core:
        return None
    system = case.house.system
    try:
        laminate = laminate_of(case, mark=mark, drawn_length_mm=drawn_length_mm)
        remark = too_long(case.design, drawn_length_mm, system=system)
        return _drawn(
            case.design.blade, house=case.house, laminate=laminate, key=key, remark=remark
        )
    except ForgingError as refusal:
        why = refusal.sentence(system)
    except DrawingError as refusal:
        why = str(refusal)
    return BladeOnPaper(None, (), "", None, None, (), why)


def _drawn(
    sizes: Blade, *, house: House, laminate: Laminate, key: str, remark: str
) -> BladeOnPaper:
    blade = section_of(sizes, edge_nm=house.edge_thickness_nm)
    drift_mm = laminate.drift_mm + blade.middle_mm
    valley_mm = house.valley_nm / NM_PER_MM
    section = section_drawing(
        blade,
        right=laminate.right,
        left=laminate.left,
        drift_mm=drift_mm,
        valley_mm=valley_mm,
        key=f"{key}-cut",
    )
    is_alike = sizes.left is None and _is_alike(laminate.right, laminate.left)
    is_even = is_alike and abs(drift_mm) < ALIKE_MM
    sides = ("right",) if is_even else ("right", "left")
    views = tuple(
        _view(blade, laminate=laminate, side=side, drift_mm=drift_mm, valley_mm=valley_mm, key=key)
        for side in sides
    )
    return BladeOnPaper(
        section=section,
        views=views,
        grind=grind_words(sizes),
        spine=size_told(sizes.spine_nm, system=house.system),
        height=size_told(sizes.height_nm, system=house.system),
        sentences=(*filter(None, [remark]), *_sentences(section, sides=sides, system=house.system)),
    )


def _is_alike(right: tuple[Skin, ...], left: tuple[Skin, ...]) -> bool:
    """Whether both halves look the same; layers are shared out in whole nanometres."""
    return len(right) == len(left) and all(
        one.kind == other.kind and abs(one.outer_mm - other.outer_mm) < ALIKE_MM
        for one, other in zip(right, left, strict=True)
    )


def _view(
    blade: Section, *, laminate: Laminate, side: str, drift_mm: float, valley_mm: float, key: str
) -> SideView:
    pitch_mm = max(laminate.pitch_mm, SHORTEST_PITCH_MM)
    return side_view(
        blade,
        half=laminate.right if side == "right" else laminate.left,
        side=side,
        length_mm=laminate.length_mm,
        drift_mm=drift_mm,
        valley_mm=valley_mm,
        waves=ripple(laminate.mark, side=side, length_mm=laminate.length_mm, pitch_mm=pitch_mm),
        key=f"{key}-{side}",
        is_estimate=laminate.is_estimate,
    )


def _sentences(section: SectionDrawing, *, sides: tuple[str, ...], system: str) -> tuple[str, ...]:
    """What each line does on each face that is drawn, then what becomes of the edge."""
    said = []
    for face in section.reading.faces:
        if face.side not in sides:
            continue
        texts = face_sentences(face, system=system)
        for number, sentences in enumerate(texts):
            names = []
            if len(sides) > 1:
                names.append(f"{face.side.capitalize()} face")
            if len(texts) > 1:
                names.append(f"line {number + 1} from the core")
            words = " ".join(sentences if number == 0 else sentences[:1])
            said.append(f"{', '.join(names).capitalize()}: {words}" if names else words)
    return (*said, edge_sentence(section.reading, system=system))
