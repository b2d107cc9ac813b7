"""Reads the price lists: each supplier's offers in words."""

from __future__ import annotations

from dataclasses import dataclass

from stock.alloys.book import Book
from stock.house import House
from stock.materials.names import material_title
from stock.models import Offer, alloy_book
from stock.quantities import units


@dataclass(frozen=True)
class OfferLine:
    """One offer in words."""

    row: Offer
    title: str
    size: str
    steps: str = ""  # of a roll that is cut to order


def offer_lines(*, house: House) -> list[OfferLine]:
    """Offers that hold, supplier by supplier."""
    rows = Offer.objects.filter(is_current=True).select_related("supplier", "material")
    book = alloy_book()
    found = [offer_line(row, book=book, system=house.system) for row in rows]
    return sorted(
        found,
        key=lambda one: (
            one.row.supplier.name, one.title, one.row.length_nm, one.row.count, one.row.from_packs,
            one.row.least_nm,
        ),
    )  # fmt: skip


def offer_line(row: Offer, *, book: Book, system: str) -> OfferLine:
    """One offer."""
    sizes = [nm for nm in (row.width_nm, row.length_nm) if nm]
    size = units.section_as_sold(sizes, system=system) if sizes else ""
    if row.mass_ug:
        size = units.mass_text(row.mass_ug, system=system)
    title = material_title(row.material, book=book, system=system)
    if not row.is_by_length:
        return OfferLine(row, title, size)
    least, step = (
        units.section_as_sold((nm,), system=system) for nm in (row.least_nm, row.step_nm)
    )
    return OfferLine(row, title, size, f"cut to order from {least} on, in steps of {step}")
