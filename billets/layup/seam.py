"""Wire for the seams of a billet, from its design and the shop's bead. Pure.

The arithmetic of beads is `billets.layup.filler`; this only measures the seams of a stack.
"""

from billets.layup.design import Design
from billets.layup.filler import filler_ug, fillet_section_nm2, seam_length_nm
from stock.alloys.book import Book, Figure
from stock.house import House

STEEL_KG_M3 = Figure(7850, "EN 1993-1-2, for a wire whose alloy is not in the book", "read")


def wire_ug(design: Design, *, house: House, alloys: Book) -> int:
    """Filler wire to close a billet's seams: one bead round it for each joint between layers.

    Args:
        design: the billet.
        house: the shop's bead leg and deposition.
        alloys: the book, for the density of the wire.

    Returns:
        Wire to feed [µg]; 0 when the seam is left open.

    Raises:
        FillerError: a size or a setting that `billets.layup.filler` refuses.

    Source:
        P = W·L/E, `billets.layup.filler`; a bead a joint is common practice.
    """
    joints = len(design.layers) - 1
    if not design.seam_closed or joints < 1:
        return 0
    wire = alloys.get(house.wire_alloy)
    density = round((wire.density_kg_m3 if wire else STEEL_KG_M3).value)
    return filler_ug(
        section_nm2=fillet_section_nm2(house.bead_leg_nm),
        seam_nm=seam_length_nm(
            length_nm=design.blank_length_nm, width_nm=design.blank_width_nm, beads=joints
        ),
        density_kg_m3=density,
        deposition_percent=house.deposition_percent,
    )
