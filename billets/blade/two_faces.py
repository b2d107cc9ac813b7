"""Both faces of a blade from the sizes that a smith measures, alike or not, and where the edge is.

Depth is counted from the plane through the edge. With both faces alike that is the middle of the
blade. The edge may lie off the middle towards the left face; a left face that is not ground (a
chisel grind) stays the billet's own, and the edge lies on it. It leaves out how one face is shaped
(`billets.blade.grind`) and the layers.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from billets.blade.face import Face
from billets.blade.grind import GRIND_SAYS, GrindError, face
from billets.blade.section import USUAL_SHARPEN_DEG, Section, section
from billets.errors import NM_PER_MM
from billets.layup.case import Case
from billets.layup.design import NOT_GROUND, Blade, OtherFace

SAME = ""  # the left face is the right one's like
LEFT_GRINDS: tuple[str, ...] = (SAME, NOT_GROUND, "flat", "sabre", "hollow", "convex")
GRIND_WORDS: Mapping[str, str] = {SAME: "the same", NOT_GROUND: "not ground"}


@dataclass(frozen=True)
class Ground:
    """How one face is ground; a size of its own [mm] that is None takes a usual value."""

    grind: str
    bevel_mm: float | None = None
    wheel_mm: float | None = None
    bulge_mm: float | None = None


def two_faces(
    *,
    spine_mm: float,
    height_mm: float,
    edge_mm: float,
    right: Ground,
    left: Ground | None = None,
    off_mm: float = 0.0,
) -> tuple[Face, Face]:
    """Both faces of a blade.

    Args:
        spine_mm: whole thickness of the blade at the spine [mm], above the edge's.
        height_mm: edge to spine [mm], above 0.
        edge_mm: whole thickness of the edge before sharpening [mm], 0 or more.
        right: how the right face is ground.
        left: how the left one is, its grind maybe `NOT_GROUND`; None: as the right one.
        off_mm: how far the edge lies off the middle towards the left face [mm], 0 up to less than
            half of what spine and edge differ by; counts only where both faces are ground, and
            differently.

    Returns:
        The right face, then the left one.

    Raises:
        GrindError: sizes that are no blade.

    Source:
        Plane geometry: each face takes its own share of the spine and half of the edge. A face
        that is not ground has no share, for the edge is sharpened from the other side alone:
        common practice of a chisel grind.
    """
    if left is not None and left.grind == NOT_GROUND:
        _check_spine(spine_mm, edge_mm)
        one = _face(right, spine_mm=2 * spine_mm, height_mm=height_mm, edge_mm=2 * edge_mm)
        return one, Face(NOT_GROUND, height_mm, height_mm, 0.0, 0.0)
    if left is None:
        one = _face(right, spine_mm=spine_mm, height_mm=height_mm, edge_mm=edge_mm)
        return one, one
    _check_spine(spine_mm, edge_mm)
    most_mm = (spine_mm - edge_mm) / 2
    if not 0 <= off_mm < most_mm:
        sizes = {"off": off_mm, "spine": spine_mm, "most": most_mm}
        raise GrindError(GRIND_SAYS["off"], lengths_mm=sizes)
    more, less = spine_mm + 2 * off_mm, spine_mm - 2 * off_mm
    return (
        _face(right, spine_mm=more, height_mm=height_mm, edge_mm=edge_mm),
        _face(left, spine_mm=less, height_mm=height_mm, edge_mm=edge_mm),
    )


def faces_of(blade: Blade, *, edge_nm: int) -> tuple[Face, Face]:
    """Both faces of a blade as a layup describes it.

    Args:
        blade: spine, height, each face's grind with its own sizes [nm].
        edge_nm: thickness of the edge before sharpening [nm], 0 or more.

    Returns:
        The right face, then the left one.

    Raises:
        GrindError: sizes that are no blade.
    """
    left = blade.left
    return two_faces(
        spine_mm=blade.spine_nm / NM_PER_MM,
        height_mm=blade.height_nm / NM_PER_MM,
        edge_mm=edge_nm / NM_PER_MM,
        right=_ground(blade),
        left=None if left is None else _ground(left),
        off_mm=0.0 if left is None else left.edge_off_nm / NM_PER_MM,
    )


def section_of(blade: Blade, *, edge_nm: int, sharpen_deg: float = USUAL_SHARPEN_DEG) -> Section:
    """The section of a blade as a layup describes it.

    Args:
        blade: spine, height, each face's grind and the grind's own size [nm].
        edge_nm: thickness of the edge before sharpening [nm], 0 or more.
        sharpen_deg: sharpening angle of one side [°].

    Returns:
        The section.

    Raises:
        GrindError: sizes that are no blade.
        BevelError: an angle that does not sharpen it.
    """
    right, left = faces_of(blade, edge_nm=edge_nm)
    return section(right=right, left=left, sharpen_deg=sharpen_deg)


def edge_place_nm(blade: Blade, *, finish_nm: int) -> float:
    """Where in a finished billet the edge will lie.

    Args:
        blade: as the layup has it.
        finish_nm: thickness of the finished billet [nm].

    Returns:
        Height above the bottom (left) face of the billet [nm].
    """
    if blade.is_chisel:
        return 0.0
    return finish_nm / 2 - (blade.left.edge_off_nm if blade.left else 0)


def built_in_mm(case: Case) -> float | None:
    """How far the stack itself puts the core off the middle of the blade.

    Args:
        case: the layup in its shop.

    Returns:
        Drift [mm], above 0 towards the right face; None without exactly one core.
    """
    if not case.has_one_core:
        return None
    layers_nm, blade = case.drawn_nm, case.design.blade
    drift_mm = built_in_drift_mm([nm / NM_PER_MM for nm in layers_nm], core=case.cores[0])
    if blade.is_chisel:
        drift_mm += max(0, sum(layers_nm) - blade.spine_nm) / 2 / NM_PER_MM
    return drift_mm


def built_in_drift_mm(thicknesses_mm: Sequence[float], *, core: int) -> float:
    """How far a stack that is not even puts its core off the billet's centre plane.

    Args:
        thicknesses_mm: finished thickness of each layer, from the left face to the right [mm].
        core: which of them is the core, counted from 0.

    Returns:
        Drift [mm], above 0 towards the right face, when the blade is ground evenly from both.

    Raises:
        IndexError: there is no such layer.
    """
    centre_mm = sum(thicknesses_mm[:core]) + thicknesses_mm[core] / 2
    return centre_mm - sum(thicknesses_mm) / 2


def grind_words(blade: Blade) -> str:
    """How a blade is ground, in words that begin a sentence.

    Args:
        blade: as the layup has it.

    Returns:
        Such as "A flat grind", or both faces where they differ.
    """
    if blade.left is None:
        return f"A {blade.grind} grind"
    other = f"left face {blade.left.grind}" if blade.left.is_ground else "left face not ground"
    return f"Right face {blade.grind}, {other}"


def _ground(given: Blade | OtherFace) -> Ground:
    return Ground(
        given.grind,
        bevel_mm=_mm(given.bevel_height_nm),
        wheel_mm=_mm(given.wheel_radius_nm),
        bulge_mm=_mm(given.bulge_nm),
    )


def _face(given: Ground, *, spine_mm: float, height_mm: float, edge_mm: float) -> Face:
    return face(
        grind=given.grind,
        spine_mm=spine_mm,
        height_mm=height_mm,
        edge_mm=edge_mm,
        bevel_mm=given.bevel_mm,
        wheel_mm=given.wheel_mm,
        bulge_mm=given.bulge_mm,
    )


def _check_spine(spine_mm: float, edge_mm: float) -> None:
    """Refuse in the blade's own sizes, not in a face's share of them."""
    if edge_mm < 0 or not spine_mm > edge_mm:
        raise GrindError(GRIND_SAYS["spine"], lengths_mm={"spine": spine_mm, "edge": edge_mm})


def _mm(nm: int | None) -> float | None:
    return None if nm is None else nm / NM_PER_MM
