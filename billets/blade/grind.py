"""What sizes make a face: flat, sabre, hollow and convex grinds, and the sizes that make none.

A flat grind rises over the whole height; the others over a bevel height, above which the face
is parallel to the centre plane. It leaves out the sums over a face (`billets.blade.face`).

    BevelError (ForgingError)
    └── GrindError          sizes that are no blade
"""

import math
from collections.abc import Mapping
from dataclasses import replace

from billets.blade.face import Face
from billets.errors import ForgingError

GRINDS: tuple[str, ...] = ("flat", "sabre", "hollow", "convex")
USUAL_WHEEL_MM = 127.0  # a 10 in contact wheel; common practice
USUAL_SABRE_SHARE = 0.6  # of the blade's height; our own choice where nothing is entered
USUAL_HOLLOW_SHARE = 0.95  # of the highest hollow that the wheel can grind; our own choice
USUAL_BULGE_SHARE = 0.5  # of the largest bulge; our own choice


GRIND_SAYS: Mapping[str, str] = {
    "spine": "A spine of {spine} with an edge of {edge} before sharpening has no bevel; "
    "make the spine thicker than the edge.",
    "bevel": "A bevel {bevel} high does not fit a blade {height} high; "
    "enter more than 0 and up to {height}.",
    "wheel": "A wheel of radius {radius} would leave a bevel {bevel} high thinner above the edge "
    "than at the edge; use a radius of {tightest} or more, or a bevel up to {reach} high.",
    "bulge": "A bulge of {bulge} would make the blade thicker below the top of the bevel than "
    "at it; use up to {most}.",
    "off": "An edge {off} off the middle leaves nothing to grind on the left face of a spine of "
    "{spine}; enter less than {most}.",
    "sharpen": "A sharpening angle of {given}° a side does not sharpen this grind; "
    "choose more than {least}° and up to {most}°.",
    "steep": "This bevel is {least}° a side by itself, steeper than the {most}° that an edge is "
    "sharpened to at most; make the bevel higher or the spine thinner.",
}  # the page's own script refuses in the same words


class BevelError(ForgingError):
    """A blade, a layer or a drift that no section can answer."""


class GrindError(BevelError):
    """Sizes that are no blade: too thin a spine, too small a wheel, too much bulge."""


def tightest_radius_mm(*, bevel_mm: float, rise_mm: float) -> float:
    """Smallest circle that a bevel can follow and still get thicker all the way up.

    Args:
        bevel_mm: height of the bevel [mm], above 0.
        rise_mm: half-thickness gained over it [mm], above 0.

    Returns:
        Radius [mm]. A hollow of this radius is parallel to the centre plane at the edge, a
        convex face of this radius at the top of the bevel.

    Raises:
        GrindError: a size is not above 0.

    >>> tightest_radius_mm(bevel_mm=20, rise_mm=2)
    101.0
    """
    if not (bevel_mm > 0 and rise_mm > 0):
        raise GrindError(
            "A bevel {bevel} high that gains {rise} has no shape; make both more than 0.",
            lengths_mm={"bevel": bevel_mm, "rise": rise_mm},
        )
    return (bevel_mm**2 + rise_mm**2) / (2 * rise_mm)


def bulge_radius_mm(*, bevel_mm: float, rise_mm: float, bulge_mm: float) -> float:
    """Radius of a convex face that stands a bulge outside the straight bevel.

    Args:
        bevel_mm: height of the bevel [mm], above 0.
        rise_mm: half-thickness gained over it [mm], above 0.
        bulge_mm: greatest distance of the curve from the straight bevel [mm], above 0.

    Returns:
        Radius [mm].

    Raises:
        GrindError: the bulge is not above 0.

    >>> bulge_radius_mm(bevel_mm=24, rise_mm=7, bulge_mm=0.5)
    156.5
    """
    if not bulge_mm > 0:
        raise GrindError(
            "A convex face with a bulge of {bulge} is not convex; "
            "enter more than 0, or grind it flat.",
            lengths_mm={"bulge": bulge_mm},
        )
    chord_mm = math.hypot(bevel_mm, rise_mm)
    return chord_mm**2 / (8 * bulge_mm) + bulge_mm / 2


def face(
    *,
    grind: str,
    spine_mm: float,
    height_mm: float,
    edge_mm: float,
    bevel_mm: float | None = None,
    wheel_mm: float | None = None,
    bulge_mm: float | None = None,
) -> Face:
    """One face of a blade from the sizes that a smith measures.

    Args:
        grind: "flat", "sabre", "hollow" or "convex".
        spine_mm: whole thickness of the blade at the spine [mm], above the edge's.
        height_mm: edge to spine [mm], above 0.
        edge_mm: whole thickness of the edge before sharpening [mm], 0 or more.
        bevel_mm: height of the bevel [mm], up to the blade's; None: the whole height, for a
            sabre six tenths of it, for a hollow as high as the wheel allows. Flat has none.
        wheel_mm: radius of the wheel of a hollow grind [mm]; None: a 10 in wheel's 127 mm.
        bulge_mm: how far a convex face stands outside the straight bevel [mm]; None: half of
            what it can be.

    Returns:
        The face. It gets thicker all the way from the edge to the top of the bevel.

    Raises:
        GrindError: sizes that are no blade.
    """
    rise_mm = _checked_rise_mm(grind, spine_mm, height_mm, edge_mm)
    top_mm = _bevel_top_mm(grind, height_mm, rise_mm, bevel_mm, wheel_mm or USUAL_WHEEL_MM)
    plain = Face(grind, height_mm, top_mm, edge_mm / 2, spine_mm / 2)
    tightest_mm = tightest_radius_mm(bevel_mm=top_mm, rise_mm=rise_mm)
    if grind == "hollow":
        radius_mm = wheel_mm or USUAL_WHEEL_MM
        _check_wheel(radius_mm, tightest_mm, top_mm, rise_mm)
        return _bent(plain, -1, radius_mm)
    if grind == "convex":
        most_mm = tightest_mm - math.sqrt(tightest_mm**2 - (top_mm**2 + rise_mm**2) / 4)
        bulge_mm = most_mm / 2 if bulge_mm is None else bulge_mm
        radius_mm = bulge_radius_mm(bevel_mm=top_mm, rise_mm=rise_mm, bulge_mm=bulge_mm)
        _check_bulge(bulge_mm, radius_mm, tightest_mm, most_mm)
        return _bent(plain, 1, radius_mm)
    return plain


def own_sizes_mm(one: Face) -> dict[str, float]:
    """The sizes that only some grinds have, as a face turned out.

    Args:
        one: the face.

    Returns:
        By name, as `face` takes them without their unit: "bevel" for all but a flat grind,
        "wheel" for a hollow one, "bulge" for a convex one [mm].
    """
    if one.grind == "flat":
        return {}
    sizes = {"bevel": one.bevel_mm}
    if one.bend < 0:
        sizes["wheel"] = one.radius_mm
    if one.bend > 0:
        half_chord_mm = math.hypot(one.bevel_mm, one.rise_mm) / 2
        sizes["bulge"] = one.radius_mm - math.sqrt(one.radius_mm**2 - half_chord_mm**2)
    return sizes


def _checked_rise_mm(grind: str, spine_mm: float, height_mm: float, edge_mm: float) -> float:
    """Half-thickness gained from edge to spine, or what is wrong with the four."""
    sizes = {"spine": spine_mm, "height": height_mm, "edge": edge_mm}
    if grind not in GRINDS:
        known = ", ".join(GRINDS)
        raise GrindError(
            "'{grind}' is not a grind we know; choose one of: {known}.",
            plain={"grind": grind, "known": known},
        )
    if not all(math.isfinite(size) for size in sizes.values()):
        raise GrindError("A size of the blade is not a number; enter spine, height and edge again.")
    if not height_mm > 0:
        raise GrindError(
            "A blade {height} high has no face; enter a height above 0.", lengths_mm=sizes
        )
    if edge_mm < 0 or not spine_mm > edge_mm:
        raise GrindError(GRIND_SAYS["spine"], lengths_mm=sizes)
    return (spine_mm - edge_mm) / 2


def _bevel_top_mm(
    grind: str, height_mm: float, rise_mm: float, bevel_mm: float | None, wheel_mm: float
) -> float:
    """Height of the bevel: what was entered, or the usual one of the grind."""
    if grind == "flat":
        return height_mm
    if bevel_mm is None:
        reach_mm = math.sqrt(rise_mm * max(2 * wheel_mm - rise_mm, 0.0))
        usual = {
            "sabre": USUAL_SABRE_SHARE * height_mm,
            "hollow": min(height_mm, USUAL_HOLLOW_SHARE * reach_mm or height_mm),
        }
        return usual.get(grind, height_mm)
    if not 0 < bevel_mm <= height_mm:
        raise GrindError(
            GRIND_SAYS["bevel"],
            lengths_mm={"bevel": bevel_mm, "height": height_mm},
        )
    return bevel_mm


def _check_wheel(radius_mm: float, tightest_mm: float, bevel_mm: float, rise_mm: float) -> None:
    if radius_mm < tightest_mm * (1 - 1e-12):
        reach_mm = math.sqrt(rise_mm * max(2 * radius_mm - rise_mm, 0.0))
        raise GrindError(
            GRIND_SAYS["wheel"],
            lengths_mm={
                "radius": radius_mm,
                "bevel": bevel_mm,
                "tightest": tightest_mm,
                "reach": reach_mm,
            },
        )


def _check_bulge(bulge_mm: float, radius_mm: float, tightest_mm: float, most_mm: float) -> None:
    # Far beyond the most the circle grows again, and bends the other way about.
    if radius_mm < tightest_mm * (1 - 1e-12) or bulge_mm > most_mm * (1 + 1e-9):
        raise GrindError(
            GRIND_SAYS["bulge"],
            lengths_mm={"bulge": bulge_mm, "most": most_mm},
        )


def _bent(plain: Face, bend: int, radius_mm: float) -> Face:
    """The same face as an arc through both ends of its straight bevel."""
    chord_mm = math.hypot(plain.bevel_mm, plain.rise_mm)
    off_mm = math.sqrt(max(0.0, (radius_mm - chord_mm / 2) * (radius_mm + chord_mm / 2)))
    middle_across_mm = (plain.edge_half_mm + plain.spine_half_mm) / 2
    return replace(
        plain,
        bend=bend,
        radius_mm=radius_mm,
        centre_up_mm=plain.bevel_mm / 2 + bend * off_mm * plain.rise_mm / chord_mm,
        centre_across_mm=middle_across_mm - bend * off_mm * plain.bevel_mm / chord_mm,
    )
