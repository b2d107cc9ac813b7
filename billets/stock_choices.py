"""Reads what a layer can be made of: metal on the rack first, then the shop's alloys, the book.

A choice is a text such as "m12" (that material and nothing else) or "a52100" (any stock of that
alloy), so that one field says both. It writes nothing.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from stock import units
from stock.alloys import Alloy, Book, alloy_name
from stock.models import Form, Material

LAYER_FORMS = (Form.FLAT, Form.ROLL, Form.SHEET)
FAMILY_WORDS = {
    "carbon-steel": "Carbon steel",
    "stainless": "Stainless",
    "iron": "Iron",
    "nickel": "Nickel",
    "copper": "Copper",
    "bronze": "Bronze",
    "brass": "Brass",
    "silver": "Silver",
    "other": "Other",
}

Option = tuple[str, str]
Groups = list[tuple[str, list[Option]]]


def material_words(material: Material, *, alloys: Book, system: str) -> str:
    """A material as the trade says it: alloy, form, section."""
    name = alloy_name(material.alloy, book=alloys)
    section = units.section_as_sold(material.section_nm, system=system)
    return f"{name} · {material.get_form_display()} {section}"


def pieces_here(material: Material) -> int:
    """How many pieces of a material lie on the rack; it was read `with_amounts`."""
    return int(getattr(material, "piece_count", 0))


@dataclass
class StockChoices:
    """Everything that a layer of this shop can be made of, read once a request."""

    alloys: Book
    system: str

    @cached_property
    def materials(self) -> dict[int, Material]:
        """Materials that a blank can be cut from and that the shop still uses."""
        rows = Material.objects.with_amounts().filter(form__in=LAYER_FORMS)
        return {row.pk: row for row in rows if not row.is_retired or pieces_here(row)}

    def words(self, material: Material) -> str:
        """A material in words."""
        return material_words(material, alloys=self.alloys, system=self.system)

    @cached_property
    def groups(self) -> Groups:
        """Choices under their headings: on the rack, not on the rack now, then by family."""
        here = [row for row in self.materials.values() if pieces_here(row)]
        gone = [row for row in self.materials.values() if not pieces_here(row)]
        by_family: dict[str, list[Option]] = {}
        for alloy in self.alloys.values():
            heading = "This shop's own" if alloy.is_shop_made else FAMILY_WORDS[alloy.family]
            by_family.setdefault(heading, []).append((f"a{alloy.key}", f"{alloy.name}, any stock"))
        groups = [
            ("On the rack", [(f"m{row.pk}", self.words(row)) for row in here]),
            ("Known, none on the rack", [(f"m{row.pk}", self.words(row)) for row in gone]),
            *sorted(by_family.items(), key=lambda one: one[0] != "This shop's own"),
        ]
        return [(heading, options) for heading, options in groups if options]

    def material_of(self, choice: str) -> Material | None:
        """The material that a choice means; None for an alloy of any stock."""
        is_material = choice[:1] == "m" and choice[1:].isdecimal() and len(choice) < 15
        return self.materials.get(int(choice[1:])) if is_material else None

    def alloy_of(self, choice: str) -> Alloy | None:
        """The alloy that a choice means; None when nobody knows it."""
        material = self.material_of(choice)
        key = material.alloy if material else choice[1:] if choice[:1] == "a" else ""
        return self.alloys.get(key)

    def family_of(self, choice: str) -> str:
        """Family of a choice; empty when nobody knows it."""
        alloy = self.alloy_of(choice)
        return alloy.family if alloy else ""

    def colour_of(self, choice: str) -> str:
        """Family whose colour a choice has in a drawing; empty when nobody knows it."""
        alloy = self.alloy_of(choice)
        return alloy.colour if alloy else ""
