"""A material in the words of the trade, such as "1084 · flat bar 1/8 × 1-1/4 in"."""

from __future__ import annotations

from stock import units
from stock.alloys import Book, alloy_name
from stock.models import Material


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
