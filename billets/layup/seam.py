"""Wire for the seams of a billet, from its design and the shop's bead. Pure.

First the arithmetic of one bead, then how many of them the seams of a stack take.
"""

from fractions import Fraction

from billets.layup.design import Design
from stock.alloys.book import Book, Figure
from stock.house import House


class FillerError(ValueError):
    """A bead that cannot be; the text is the sentence for the user."""

    def __init__(self, sentence: str, *, given: object = None) -> None:
        super().__init__(sentence)
        self.given = given


def fillet_section_nm2(leg_nm: int, *, reinforcement_percent: int = 0) -> int:
    """Cross-section of a fillet bead with two equal legs and a flat face.

    Args:
        leg_nm: leg of the bead [nm], above 0.
        reinforcement_percent: what a rounded face adds to the section [%], 0 or more; common
            practice is about 10.

    Returns:
        Section [nm²], rounded down to a whole one.

    Raises:
        FillerError: the leg is not above 0, or the reinforcement is below 0.

    >>> fillet_section_nm2(12_700_000)  # 1/2 in leg: 1/8 in²
    80645000000000
    """
    if leg_nm <= 0:
        raise FillerError(
            f"The bead's leg was given as {leg_nm} nm; it must be above 0.", given=leg_nm
        )
    if reinforcement_percent < 0:
        raise FillerError(
            f"A rounded face cannot add {reinforcement_percent} %; write 0 or more.",
            given=reinforcement_percent,
        )
    return leg_nm * leg_nm * (100 + reinforcement_percent) // 200


def seam_length_nm(*, length_nm: int, width_nm: int, beads: int = 1) -> int:
    """Length of bead that closes a stack all round its four edges.

    Args:
        length_nm: length of the stack [nm], above 0.
        width_nm: width of the stack [nm], above 0.
        beads: beads laid round it, 1 or more (one for each interface, or one over them all).

    Returns:
        Length of all beads together [nm].

    Raises:
        FillerError: a size is not above 0 or there is no bead.
    """
    if length_nm <= 0 or width_nm <= 0:
        raise FillerError(
            f"A stack of {length_nm} x {width_nm} nm has no edges to weld; give both above 0.",
            given=(length_nm, width_nm),
        )
    if beads < 1:
        raise FillerError(f"A closed seam needs at least 1 bead, not {beads}.", given=beads)
    return 2 * (length_nm + width_nm) * beads


def filler_ug(
    *, section_nm2: int, seam_nm: int, density_kg_m3: int | Fraction, deposition_percent: int
) -> int:
    """Filler metal to feed for a seam: P = W · L / E.

    W is the weight of the bead for each length, L the length, E the share of the wire that
    stays in the bead.

    Args:
        section_nm2: section of the bead [nm²], 0 or more.
        seam_nm: length of the bead [nm], 0 or more.
        density_kg_m3: density of the filler [kg/m³], above 0.
        deposition_percent: deposition efficiency [%], 1 to 100. Solid wire under gas loses
            about 2–7 % (from memory); a coated electrode loses far more.

    Returns:
        Mass of filler [µg], rounded up, so that the spool does not run out a drop short.

    Raises:
        FillerError: an amount is outside its limits.

    Source:
        Filler-metal handbooks (published): P = W·L/E.
    """
    if not 1 <= deposition_percent <= 100:
        raise FillerError(
            f"A deposition efficiency of {deposition_percent} % cannot be; "
            "give 1 to 100, about 95 for solid wire under gas.",
            given=deposition_percent,
        )
    if section_nm2 < 0 or seam_nm < 0 or density_kg_m3 <= 0:
        raise FillerError(
            "The bead's section and length must be 0 or more and the filler's density above 0.",
            given=(section_nm2, seam_nm, density_kg_m3),
        )
    # nm³ · kg/m³ = 1e-27 kg = 1e-18 µg
    exact = Fraction(section_nm2 * seam_nm * 100, 10**18 * deposition_percent) * density_kg_m3
    return -(-exact.numerator // exact.denominator)


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
        FillerError: a size or a setting of which no bead can be reckoned.

    Source:
        P = W·L/E, as in `filler_ug`; a bead a joint is common practice.
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
