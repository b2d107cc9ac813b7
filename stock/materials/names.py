"""A material in the words of the trade, such as "1084 · flat bar 1/8 × 1-1/4 in"."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

from stock.alloys.book import Book, alloy_name
from stock.house import House
from stock.materials.matching import is_worth_keeping
from stock.models import Form, Material, Piece
from stock.quantities import units


def section_words(material: Material, *, system: str) -> str:
    """Its section in the system that it was rolled to; nothing for a counted thing."""
    section = material.section_nm
    return units.section_as_sold(section, system=system) if section else ""


def material_title(material: Material, *, book: Book, system: str) -> str:
    """Alloy, form and section; a name of its own comes first."""
    if material.form == "counted":
        return material.name
    shape = f"{material.get_form_display()} {section_words(material, system=system)}".strip()
    title = f"{alloy_name(material.alloy, book=book)} · {shape}"
    return f"{title} · {material.name}" if material.name else title


def usable_areas(*, house: House) -> dict[int, int]:
    """Area of the usable sheets of each material [nm²].

    Added up here, for square nanometres pass 64 bits in a sum. A part-cut sheet counts once
    what is left of it is measured and marked; one that is set aside is a plan's.
    """
    found: dict[int, int] = defaultdict(int)
    rows = Piece.objects.standing().filter(material__form=Form.SHEET, set_aside=0)
    for material_id, on_hand, width_nm, length_nm, keep_nm in rows.values_list(
        "material_id", "on_hand", "width_nm", "length_nm", "material__keep_from_nm"
    ):
        keep_from_nm = house.keep_from_nm if keep_nm is None else keep_nm
        is_whole = on_hand == width_nm * length_nm
        if is_whole and is_worth_keeping(width_nm, length_nm=length_nm, keep_from_nm=keep_from_nm):
            found[material_id] += on_hand
    return dict(found)


def sheets_of(roll: Material, *, among: Iterable[Material]) -> list[Material]:
    """The sheets that stand for a roll: of its alloy and thickness."""
    return [
        one
        for one in among
        if one.form == Form.SHEET
        and (one.alloy, one.thickness_nm) == (roll.alloy, roll.thickness_nm)
    ]
