"""Reads the list of materials as its page shows it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from stock.alloys import book as alloys
from stock.house import House
from stock.materials.names import material_title
from stock.materials.offcuts import roll_length_nm
from stock.materials.usable_sheets import sheets_of, usable_areas
from stock.models import Form, Material, alloy_book
from stock.rack.rack_reading import ORDER, glance


@dataclass(frozen=True)
class MaterialRow:
    """One material and what the rack has of it."""

    material: Material
    title: str
    piece_count: int
    free: str  # of sheets the usable ones; empty where nothing is
    beside: str  # what the usable sheets of a roll's metal would be as a length of it
    level: str
    is_low: bool


def material_row(row: Any, *, book: alloys.Book, house: House, sheets_nm2: int = 0) -> MaterialRow:
    """A material read `with_amounts`, in words; `sheets_nm2` is usable of it, or beside a roll."""

    def text(amount: int) -> str:
        return glance(amount, form=row.form, house=house)

    free, beside = row.on_hand_sum - row.set_aside_sum, 0
    if row.form == Form.SHEET:
        free = sheets_nm2
    elif row.form == Form.ROLL:
        beside = roll_length_nm(sheets_nm2, width_nm=row.width_nm)
    level = row.reorder_below or 0
    return MaterialRow(
        material=row,
        title=material_title(row, book=book, system=house.system),
        piece_count=row.piece_count,
        free=text(free) if row.piece_count else "",
        beside=text(beside) if beside else "",
        level=text(level) if level else "",
        is_low=free + beside < level,
    )


def material_list_page(*, house: House) -> dict[str, Any]:
    """Materials in use and retired ones, each with what is there."""
    book, materials = alloy_book(), list(Material.objects.with_amounts())
    areas = usable_areas(house=house)

    def sheets_nm2(row: Material) -> int:
        alike = sheets_of(row, among=materials) if row.form == Form.ROLL else [row]
        return sum(areas.get(one.pk, 0) for one in alike)

    rows = [
        material_row(row, book=book, house=house, sheets_nm2=sheets_nm2(row)) for row in materials
    ]
    rows.sort(key=lambda row: (ORDER.index(Form(row.material.form)), row.title))
    return {
        "in_use": [row for row in rows if not row.material.is_retired],
        "retired": [row for row in rows if row.material.is_retired],
    }
