"""The sizes of a blade that a page's sliders move, and what a form sent for them.

It leaves out where the sliders stand (`billets.blade.sliders`) and what is drawn
(`billets.panel.blade`).
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, cast

from billets.blade.section import USUAL_SHARPEN_DEG, Section, section
from billets.blade.two_faces import SAME, Ground, two_faces
from billets.errors import NM_PER_MM
from billets.layup.design import Blade
from stock.quantities.typed_text import UnitsError, quoted
from stock.quantities.units import length_nm

OPTIONAL = ("bevel", "wheel", "bulge")
LEFT_OPTIONAL = ("left_bevel", "left_wheel", "left_bulge")
ZERO_OK = ("edge", "valley", "off")
MINUSES = "-−"
ANGLE = re.compile(r"\d{1,3}([.,]\d{0,6})?\s*°?", re.ASCII)


@dataclass(frozen=True)
class BladeSizes:
    """Everything about a blade that a slider moves. A grind's own size may be left to the usual.

    `left` is the left face's grind, `SAME` or not ground (`billets.blade.two_faces.LEFT_GRINDS`);
    `off_nm` how far the edge lies off the middle towards that face.
    """

    spine_nm: int
    height_nm: int
    grind: str = "flat"
    bevel_nm: int | None = None
    wheel_nm: int | None = None
    bulge_nm: int | None = None
    edge_nm: int = 250_000
    sharpen_deg: float = USUAL_SHARPEN_DEG
    drift_nm: int = 0
    valley_nm: int = 0
    left: str = SAME
    left_bevel_nm: int | None = None
    left_wheel_nm: int | None = None
    left_bulge_nm: int | None = None
    off_nm: int = 0


def sizes_of(blade: Blade, *, edge_nm: int, drift_nm: int = 0, valley_nm: int = 0) -> BladeSizes:
    """The sizes of a layup's blade, with what the shop has set.

    Args:
        blade: as the layup has it.
        edge_nm: thickness of the edge before sharpening [nm].
        drift_nm: how far the core lies off the blade's middle [nm], above 0 towards the right face.
        valley_nm: depth that the drawing dies leave [nm].

    Returns:
        Sizes for the page.
    """
    left = blade.left
    own = (
        {}
        if left is None
        else {
            "left": left.grind,
            "left_bevel_nm": left.bevel_height_nm,
            "left_wheel_nm": left.wheel_radius_nm,
            "left_bulge_nm": left.bulge_nm,
            "off_nm": left.edge_off_nm,
        }
    )
    return BladeSizes(
        **cast(dict[str, Any], own),
        spine_nm=blade.spine_nm,
        height_nm=blade.height_nm,
        grind=blade.grind,
        bevel_nm=blade.bevel_height_nm,
        wheel_nm=blade.wheel_radius_nm,
        bulge_nm=blade.bulge_nm,
        edge_nm=edge_nm,
        drift_nm=drift_nm,
        valley_nm=valley_nm,
    )


def asked_sizes(query: Mapping[str, str], *, usual: BladeSizes, unit: str) -> BladeSizes:
    """The sizes that a form sent, each as it may be typed; what it left out stays as it was.

    Args:
        query: text by name: grind, spine, height, bevel, wheel, bulge, edge, angle, drift, valley,
            and for the left face left, left_bevel, left_wheel, left_bulge, off.
        usual: sizes for what is missing or empty.
        unit: what a bare number means: "in" or "mm".

    Returns:
        Sizes. Whether they make a blade is for `blade_page` to say.

    Raises:
        UnitsError: a size or an angle cannot be read.
    """
    found = {name: text.strip() for name, text in query.items() if text.strip()}
    changes: dict[str, int | float | str] = {}
    for name in ("spine", "height", *OPTIONAL, *LEFT_OPTIONAL, *ZERO_OK):
        if name in found:
            changes[f"{name}_nm"] = length_nm(found[name], unit=unit, zero_ok=name in ZERO_OK)
    if "drift" in found:
        sign = -1 if found["drift"][0] in MINUSES else 1
        size_nm = length_nm(found["drift"].lstrip(MINUSES + " "), unit=unit, zero_ok=True)
        changes["drift_nm"] = sign * size_nm
    if "angle" in found:
        changes["sharpen_deg"] = _degrees(found["angle"])
    if "grind" in found:
        changes["grind"] = found["grind"]
    if "left" in query:
        changes["left"] = query["left"].strip()
    return replace(usual, **cast(dict[str, Any], changes))


def section_of_sizes(sizes: BladeSizes) -> Section:
    """The section that the sizes make.

    Args:
        sizes: what the sliders say.

    Returns:
        The section.

    Raises:
        BevelError: they make no blade.
    """
    right, left = two_faces(
        spine_mm=sizes.spine_nm / NM_PER_MM,
        height_mm=sizes.height_nm / NM_PER_MM,
        edge_mm=sizes.edge_nm / NM_PER_MM,
        right=Ground(sizes.grind, **_own_mm(sizes, OPTIONAL)),
        left=None if sizes.left == SAME else Ground(sizes.left, **_own_mm(sizes, LEFT_OPTIONAL)),
        off_mm=sizes.off_nm / NM_PER_MM,
    )
    return section(right=right, left=left, sharpen_deg=sizes.sharpen_deg)


def _own_mm(sizes: BladeSizes, names: tuple[str, ...]) -> dict[str, float | None]:
    """A face's own sizes, as `Ground` names them."""
    given = {name.rpartition("_")[2]: getattr(sizes, f"{name}_nm") for name in names}
    return {f"{name}_mm": nm and nm / NM_PER_MM for name, nm in given.items()}


def _degrees(text: str) -> float:
    if not ANGLE.fullmatch(text):
        raise UnitsError(
            text, f"'{quoted(text)}' is not an angle we know.", "Write degrees, such as 20."
        )
    return float(text.removesuffix("°").replace(",", "."))
