"""A blade's cross-section: two faces, the sharpened edge, and the area of every layer in it.

Height is counted from the sharpened edge up the blade, depth from the centre plane. It leaves
out how one face is shaped (`billets.blade.face`) and what the layers look like on it
(`billets.blade.bevel`).
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from billets.blade.face import Face, Moments
from billets.blade.grind import GRIND_SAYS, BevelError

LEAST_SHARPEN_DEG = 5.0  # one side; flatter is no edge, common practice
USUAL_SHARPEN_DEG = 20.0  # one side; common practice
MOST_SHARPEN_DEG = 45.0
HALVINGS = 60  # a bevel halved 60 times is far below the width of an atom


@dataclass(frozen=True)
class SharpFace:
    """One face with its share of the sharpened edge, which begins at the `shoulder_mm`."""

    face: Face
    sharpen_slope: float
    shoulder_mm: float

    @property
    def shoulder_half_mm(self) -> float:
        """Half-thickness where the sharpened bevel meets the face [mm]."""
        return self.shoulder_mm * self.sharpen_slope

    def up_mm(self, half_mm: float) -> float:
        """Height at which a plane of this depth comes out; the spine's when it does not.

        Source: plane geometry.
        """
        if half_mm <= 0:
            return 0.0
        if half_mm < self.shoulder_half_mm:
            return half_mm / self.sharpen_slope
        if half_mm >= self.face.spine_half_mm:
            return self.face.height_mm
        return self.face.up_mm(half_mm)

    def slope(self, up_mm: float) -> float:
        """Tangent of the half-angle of the surface at that height."""
        return self.sharpen_slope if up_mm < self.shoulder_mm else self.face.slope(up_mm)

    def wave_mm(self, up_mm: float, *, valley_mm: float) -> float:
        """How far a line at that height moves between a die's ridge and its valley [mm].

        From trough to crest, at most the blade's height.
        """
        slope, most_mm = self.slope(up_mm), self.face.height_mm
        return most_mm if slope * most_mm <= valley_mm else valley_mm / slope

    def along_mm(self, low_mm: float, high_mm: float) -> float:
        """Length of the surface itself [mm] between two heights on it.

        Source: plane geometry.
        """
        turn_mm = min(max(self.shoulder_mm, low_mm), high_mm)
        return (turn_mm - low_mm) * math.hypot(1.0, self.sharpen_slope) + self.face.along_mm(
            turn_mm, high_mm
        )


@dataclass(frozen=True)
class Section:
    """A blade's two faces and its sharpening. Made by `section`, which checks them."""

    right: Face
    left: Face
    sharpen_deg: float

    @cached_property
    def sharp(self) -> Mapping[str, SharpFace]:
        """The face of each side, "right" and "left", with its share of the sharpened edge."""
        return {
            side: SharpFace(one, self.sharpen_slope, shoulder_mm(one, sharpen_deg=self.sharpen_deg))
            for side, one in (("right", self.right), ("left", self.left))
        }

    @property
    def height_mm(self) -> float:
        """Edge to spine [mm]."""
        return self.right.height_mm

    @property
    def middle_mm(self) -> float:
        """How far the middle of the spine lies right of the plane through the edge [mm]."""
        return (self.right.spine_half_mm - self.left.spine_half_mm) / 2

    @property
    def sharpen_slope(self) -> float:
        """Tangent of the sharpening angle of one side."""
        return math.tan(math.radians(self.sharpen_deg))


def section(*, right: Face, left: Face | None = None, sharpen_deg: float) -> Section:
    """A blade from one face (both alike) or two, and its sharpening.

    Args:
        right: the face towards which drift counts as above 0.
        left: the other face, of the same height; None: the same as the right one.
        sharpen_deg: sharpening angle of one side [°], 5 to 45.

    Returns:
        The section. The sharpened bevel ends below the top of both grinds.

    Raises:
        BevelError: unequal heights, or an angle flatter than the bevel itself.

    Source:
        Plane geometry; sharpened evenly from both sides, so that the edge stays on the
        centre plane, and from the ground side alone where the other is not ground: common
        practice.
    """
    left = right if left is None else left
    if not math.isclose(right.height_mm, left.height_mm, rel_tol=1e-12):
        raise BevelError(
            "The right face is {right} high and the left one {left}; give both one height.",
            lengths_mm={"right": right.height_mm, "left": left.height_mm},
        )
    flattest_deg = max(
        math.degrees(math.atan(one.spine_half_mm / one.bevel_mm)) for one in (right, left)
    )
    least_deg = max(LEAST_SHARPEN_DEG, flattest_deg)
    if not least_deg < sharpen_deg <= MOST_SHARPEN_DEG:
        raise BevelError(
            GRIND_SAYS["sharpen" if least_deg < MOST_SHARPEN_DEG else "steep"],
            plain={
                "given": f"{sharpen_deg:g}",
                "least": f"{math.ceil(10 * least_deg) / 10:g}",
                "most": f"{MOST_SHARPEN_DEG:g}",
            },
        )
    return Section(right, left, sharpen_deg)


def shoulder_mm(one: Face, *, sharpen_deg: float, worn_mm: float = 0.0) -> float:
    """Height at which the sharpened bevel meets the face.

    Args:
        one: the face.
        sharpen_deg: sharpening angle of one side [°], steeper than the whole bevel.
        worn_mm: edge worn away so far [mm], 0 or more.

    Returns:
        Height [mm] above where the edge was when new; the top of the bevel when the
        sharpened bevel has eaten it all, 0 on a face that is not ground.

    Raises:
        BevelError: worn below 0.
    """
    if not worn_mm >= 0:
        raise BevelError(
            "An edge cannot be worn by {worn}; enter 0 or more.", lengths_mm={"worn": worn_mm}
        )
    if not one.is_ground:
        return 0.0
    slope = math.tan(math.radians(sharpen_deg))
    low_mm, high_mm = 0.0, one.bevel_mm
    for _ in range(HALVINGS):
        middle_mm = (low_mm + high_mm) / 2
        if one.half_mm(middle_mm) >= (middle_mm - worn_mm) * slope:
            low_mm = middle_mm
        else:
            high_mm = middle_mm
    return high_mm


def band(blade: Section, *, low_mm: float, high_mm: float) -> Moments:
    """Area and moments of the part of a section between two planes, before sharpening.

    Args:
        blade: the section.
        low_mm: depth of the one plane [mm], above 0 on the right half, below 0 on the left.
        high_mm: depth of the other [mm], not below `low_mm`.

    Returns:
        Area [mm²] and first moments [mm³] about the edge and about the centre plane.

    Raises:
        BevelError: the planes are the wrong way round.
    """
    if not high_mm >= low_mm:
        raise BevelError(
            "A layer from {low} to {high} is inside out; give the lower depth first.",
            lengths_mm={"low": low_mm, "high": high_mm},
        )
    right = blade.right.under(high_mm) - blade.right.under(low_mm)
    left = blade.left.under(-low_mm) - blade.left.under(-high_mm)
    return right + left.mirrored()


def whole(blade: Section) -> Moments:
    """Area and moments of the whole section, before sharpening.

    Args:
        blade: the section.

    Returns:
        Area [mm²] and first moments [mm³] about the edge and about the centre plane.
    """
    return band(blade, low_mm=-blade.left.spine_half_mm, high_mm=blade.right.spine_half_mm)


def centroid_mm(part: Moments) -> tuple[float, float] | None:
    """Centroid of a part of a section.

    Args:
        part: its area and moments.

    Returns:
        Height above the edge and depth to the right of the centre plane [mm]; None for
        a part without area.
    """
    if part.area_mm2 <= 0:
        return None
    return (part.up_mm3 / part.area_mm2, part.across_mm3 / part.area_mm2)


@dataclass(frozen=True)
class Line:
    """A layer between the core and the outside of one half, as distances from the stack's centre.

    `inner_mm` equals `outer_mm` for a weld with nothing in it: the boundary of the core.
    """

    inner_mm: float
    outer_mm: float
    name: str = ""


def moved(line: Line, *, shift_mm: float) -> Line:
    """The same line with its core off centre.

    Args:
        line: distances from the middle of the core.
        shift_mm: how far the core lies towards this face [mm]; below 0 away from it.

    Returns:
        Distances from the blade's centre plane [mm]; below 0 beyond it.
    """
    return Line(line.inner_mm + shift_mm, line.outer_mm + shift_mm, line.name)


def check_order(side: str, lines: Sequence[Line]) -> None:
    """Refuse lines that do not follow each other from the core outwards.

    Args:
        side: "right" or "left", for the sentence.
        lines: distances from the middle of the core [mm].

    Returns:
        Nothing where they are in order.

    Raises:
        BevelError: a line begins inside the one before it, or is inside out.
    """
    depth_mm = 0.0
    for line in lines:
        if not (0 < line.inner_mm <= line.outer_mm and line.inner_mm >= depth_mm):
            raise BevelError(
                "A line from {inner} to {outer} on the {side} half does not lie outside {depth}; "
                "give the lines from the core outwards.",
                lengths_mm={"inner": line.inner_mm, "outer": line.outer_mm, "depth": depth_mm},
                plain={"side": side},
            )
        depth_mm = line.outer_mm
