"""A flat-ground blade of five layers, as the drawings of it take it."""

from billets.blade.grind import face
from billets.blade.section import Section, section
from billets.drawings.halves import Skin, halves

KINDS = ("metal-carbon-steel", "metal-copper", "metal-core", "metal-copper", "metal-carbon-steel")
ROLES = ("cladding", "line", "core", "line", "cladding")


def blade() -> Section:
    """4 mm at the spine, 30 mm high."""
    one = face(grind="flat", spine_mm=4.0, height_mm=30.0, edge_mm=0.4)
    return section(right=one, sharpen_deg=20.0)


def five() -> tuple[tuple[Skin, ...], tuple[Skin, ...]]:
    """Its two halves."""
    return halves([1.4, 0.2, 2.0, 0.2, 1.4], kinds=KINDS, roles=ROLES)
