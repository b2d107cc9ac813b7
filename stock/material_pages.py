"""Reads the list of materials as its page shows it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from stock import alloys
from stock.house import House
from stock.material_words import material_title
from stock.models import Form, Material, alloy_book
from stock.rack_pages import ORDER, glance


@dataclass(frozen=True)
class MaterialRow:
    """One material and what the rack has of it."""

    material: Material
    title: str
    piece_count: int
    free: str  # empty for sheets, whose areas are not added up, and where nothing is
    level: str
    is_low: bool


def material_row(row: Any, *, book: alloys.Book, house: House) -> MaterialRow:
    """A material read `with_amounts`, in words."""

    def text(amount: int) -> str:
        return glance(amount, form=row.form, house=house)

    is_summed = row.form != Form.SHEET
    free = row.on_hand_sum - row.set_aside_sum
    level = row.reorder_below or 0
    return MaterialRow(
        material=row,
        title=material_title(row, book=book, system=house.system),
        piece_count=row.piece_count,
        free=text(free) if is_summed and row.piece_count else "",
        level=text(level) if level and is_summed else "",
        is_low=is_summed and free < level,
    )


def material_list_page(*, house: House) -> dict[str, Any]:
    """Materials in use and retired ones, each with what is there."""
    book = alloy_book()
    rows = [material_row(row, book=book, house=house) for row in Material.objects.with_amounts()]
    rows.sort(key=lambda row: (ORDER.index(Form(row.material.form)), row.title))
    return {
        "in_use": [row for row in rows if not row.material.is_retired],
        "retired": [row for row in rows if row.material.is_retired],
    }
