"""One ground face of a blade: half-thickness against height above the edge.

A blade lies with its edge at height 0 and the plane through it, its centre plane where both
faces are alike, at depth 0. One face rises from its share of the edge thickness to its share of
the spine over its bevel; above it the face is parallel to that plane. It leaves
out how sizes become a face (`billets.blade.grind`), the layers and the sharpened edge
(`billets.blade.bevel`).
"""

import math
from dataclasses import dataclass


@dataclass(frozen=True)
class Moments:
    """Area of a piece of a section and its first moments, which add up over pieces.

    `area_mm2` [mm²]; `up_mm3` is the integral of height, `across_mm3` of depth [mm³].
    """

    area_mm2: float = 0.0
    up_mm3: float = 0.0
    across_mm3: float = 0.0

    def __add__(self, other: "Moments") -> "Moments":
        return Moments(
            self.area_mm2 + other.area_mm2,
            self.up_mm3 + other.up_mm3,
            self.across_mm3 + other.across_mm3,
        )

    def __sub__(self, other: "Moments") -> "Moments":
        return self + Moments(-other.area_mm2, -other.up_mm3, -other.across_mm3)

    def mirrored(self) -> "Moments":
        """The same piece on the other side of the centre plane."""
        return Moments(self.area_mm2, self.up_mm3, -self.across_mm3)


@dataclass(frozen=True)
class Face:
    """One ground face. Made by `billets.blade.grind.face`, which checks the sizes.

    `bend` is 0 for a straight bevel, -1 for a hollow one and +1 for a convex one; the arc of
    `radius_mm` then has its centre at height `centre_up_mm` and depth `centre_across_mm`.
    """

    grind: str
    height_mm: float
    bevel_mm: float
    edge_half_mm: float
    spine_half_mm: float
    bend: int = 0
    radius_mm: float = 0.0
    centre_up_mm: float = 0.0
    centre_across_mm: float = 0.0

    def half_mm(self, up_mm: float) -> float:
        """Half-thickness h(y) [mm] at a height above the edge [mm], 0 to the spine.

        Source: plane geometry; straight line, or circle through both ends of the bevel.
        """
        if up_mm >= self.bevel_mm:
            return self.spine_half_mm
        if not self.bend:
            return self.edge_half_mm + up_mm * self.rise_mm / self.bevel_mm
        return self.centre_across_mm + self.bend * self._chord(up_mm - self.centre_up_mm)

    def slope(self, up_mm: float) -> float:
        """Tangent of the half-angle there: how fast the face leaves the centre plane.

        Source: derivative of `half_mm`; 0 on the flat above the bevel.
        """
        if up_mm > self.bevel_mm:
            return 0.0
        if not self.bend:
            return self.rise_mm / self.bevel_mm
        offset_mm = up_mm - self.centre_up_mm
        return -self.bend * offset_mm / max(self._chord(offset_mm), 1e-12)

    def up_mm(self, half_mm: float) -> float:
        """Height [mm] at which the face is this far from the centre plane: the inverse of h.

        Below the edge's half-thickness it is 0, from the spine's on the top of the bevel.
        Source: plane geometry.
        """
        if half_mm <= self.edge_half_mm:
            return 0.0
        if half_mm >= self.spine_half_mm:
            return self.bevel_mm
        if not self.bend:
            return (half_mm - self.edge_half_mm) * self.bevel_mm / self.rise_mm
        return self.centre_up_mm - self.bend * self._chord(half_mm - self.centre_across_mm)

    def along_mm(self, low_mm: float, high_mm: float) -> float:
        """Length of the face itself [mm] between two heights on it [mm].

        Source: k / sin θ on a straight bevel; radius times angle on an arc.
        """
        top_mm = min(high_mm, self.bevel_mm)
        flat_mm = max(0.0, high_mm - max(low_mm, self.bevel_mm))
        if top_mm <= low_mm:
            return flat_mm
        if not self.bend:
            return flat_mm + (top_mm - low_mm) * math.hypot(1.0, self.slope(0.0))
        turn = self._angle(top_mm) - self._angle(low_mm)
        return flat_mm + self.radius_mm * turn

    def under(self, depth_mm: float) -> Moments:
        """The part of this half of the section between the centre plane and a depth [mm].

        Source: exact integrals of min(h(y), depth) over the height.
        """
        level_mm = min(depth_mm, self.spine_half_mm)
        if level_mm <= 0:
            return Moments()
        turn_mm = self.up_mm(level_mm)
        rest_mm = self.height_mm - turn_mm
        flat = Moments(
            level_mm * rest_mm,
            level_mm * rest_mm * (self.height_mm + turn_mm) / 2,
            level_mm**2 * rest_mm / 2,
        )
        return flat + (self._arc_to(turn_mm) if self.bend else self._straight_to(turn_mm))

    @property
    def is_ground(self) -> bool:
        """Whether it rises at all; one that does not lies in the plane of the edge."""
        return self.spine_half_mm > 0

    @property
    def rise_mm(self) -> float:
        """How much thicker this half is at the spine than at the edge."""
        return self.spine_half_mm - self.edge_half_mm

    def _chord(self, offset_mm: float) -> float:
        return math.sqrt(max(0.0, (self.radius_mm - offset_mm) * (self.radius_mm + offset_mm)))

    def _angle(self, up_mm: float) -> float:
        return math.asin((up_mm - self.centre_up_mm) / self.radius_mm)

    def _straight_to(self, top_mm: float) -> Moments:
        edge_mm, slope = self.edge_half_mm, self.rise_mm / self.bevel_mm
        return Moments(
            edge_mm * top_mm + slope * top_mm**2 / 2,
            edge_mm * top_mm**2 / 2 + slope * top_mm**3 / 3,
            ((edge_mm + slope * top_mm) ** 3 - edge_mm**3) / (6 * slope),
        )

    def _arc_to(self, top_mm: float) -> Moments:
        """Integrals of h = zc ± s, y·h and h²/2 from the edge, with s² = R² - (y - yc)²."""
        low, high = -self.centre_up_mm, top_mm - self.centre_up_mm
        across, radius, bend = self.centre_across_mm, self.radius_mm, self.bend
        swept = radius**2 * (math.asin(high / radius) - math.asin(low / radius))
        chords = (high * self._chord(high) - low * self._chord(low) + swept) / 2
        moment = (self._chord(low) ** 3 - self._chord(high) ** 3) / 3
        area = across * top_mm + bend * chords
        up = across * (high**2 - low**2) / 2 + bend * moment + self.centre_up_mm * area
        squares = radius**2 * top_mm - (high**3 - low**3) / 3
        half_square = (across**2 * top_mm + 2 * bend * across * chords + squares) / 2
        return Moments(area, up, half_square)
