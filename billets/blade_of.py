"""The blade of a layup or a billet, ready to be drawn: its laminate, its sizes, or why not. Pure.

It leaves out the drawing itself (`billets.blade_page`) and what lies in the layers
(`billets.drawn`).
"""

from collections.abc import Mapping
from dataclasses import dataclass

from billets.blade_page import BladePage, Laminate, blade_page
from billets.blade_sizes import BladeSizes, asked_sizes, sizes_of
from billets.case import Case
from billets.design import Design
from billets.drawing_skins import halves
from billets.errors import NM_PER_MM, nm_from_mm
from billets.estimates import length_estimate
from billets.two_faces import built_in_mm
from stock.alloys import Figure, short_name
from stock.drawing_shapes import DrawingError, metal_kind
from stock.house import House
from stock.typed_text import UnitsError
from stock.units import length_text

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
        `billets.drawn.drawn_layers_nm`; the share is common practice.
    """
    design, layers_nm = case.design, case.drawn_nm
    if not layers_nm or min(layers_nm) <= 0:
        raise DrawingError(NOT_DRAWN)
    found = [case.layers.get(place) for place in range(len(design.layers))]
    roles = [layer.role for layer in design.layers]
    right, left = halves(
        [nm / NM_PER_MM for nm in layers_nm],
        kinds=[
            metal_kind(family=alloy.colour if alloy else "other", role=role)
            for alloy, role in zip(found, roles, strict=True)
        ],
        roles=roles,
        names=[short_name(layer.alloy, book=case.alloys) for layer in design.layers],
    )
    return Laminate(
        right=right,
        left=left,
        mark=mark,
        length_mm=blade_length_mm(design, drawn_length_mm=drawn_length_mm),
        pitch_mm=case.house.bite_nm / NM_PER_MM,
        is_estimate=design.blade.length_nm is None,
    )


def blade_length_mm(design: Design, *, drawn_length_mm: float | None) -> float:
    """How long the blade is, heel to tip.

    Args:
        design: the layup.
        drawn_length_mm: length of the drawn billet [mm]; None takes the blank's.

    Returns:
        The length that was entered, or else `BLADE_SHARE` of the billet [mm].

    Source:
        `BLADE_SHARE`.
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

    Source:
        The tang still has to come out of the same billet.
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

    Source:
        `billets.blade_page`.
    """
    if not case.has_one_core and case.process == "forge-welded":
        return ShownBlade(None, BAR_SAYS)
    design, house = case.design, case.house
    usual = sizes_of(
        design.blade,
        edge_nm=house.edge_thickness_nm,
        drift_nm=nm_from_mm(built_in_mm(case) or 0.0),
        valley_nm=house.valley_nm,
    )
    try:
        laminate = laminate_of(case, mark=mark, drawn_length_mm=drawn_length_mm)
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
