"""Reads which pieces the blanks of a billet could be cut from, and proposes one for each."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from billets.models import Billet, Blank
from stock.alloys.book import Alloy, Book, alloy_name
from stock.house import House
from stock.materials.matching import is_stock_for
from stock.models import Form, Material, Piece
from stock.quantities import units
from stock.quantities.areas import amount_text

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


MOST_PIECES = 300


@dataclass(frozen=True)
class BlankChoices:
    """One blank and the pieces that it could come from; `usual` is the one proposed."""

    blank: Blank
    pieces: tuple[Piece, ...]
    usual: Piece | None


def choices_for(billet: Billet) -> list[BlankChoices]:
    """Every blank with its matching free pieces, short ends first, so that they are used up."""
    blanks = list(billet.blanks.select_related("material"))
    rows = (
        Piece.objects.free()
        .select_related("material")
        .filter(material__form__in=LAYER_FORMS, material__alloy__in={one.alloy for one in blanks})
        .order_by("on_hand", "mark")[:MOST_PIECES]
    )
    pieces = [piece for piece in rows if is_whole(piece)]
    left = {piece.pk: piece.free for piece in pieces}
    found = []
    for blank in blanks:
        fitting = tuple(piece for piece in pieces if fits(blank, piece))
        usual = next((piece for piece in fitting if takes(blank, piece, left)), None)
        if usual is not None:
            left[usual.pk] -= need_of(blank, usual)
        found.append(BlankChoices(blank, fitting, usual))
    return found


def is_whole(piece: Piece) -> bool:
    """Whether it can be cut by hand: a sheet only while nothing is cut from it or promised."""
    return piece.form != Form.SHEET or piece.free == piece.width_nm * piece.length_nm


def fits(blank: Blank, piece: Piece) -> bool:
    """Whether a blank can come from a piece: alloy, section, length; only its own stock if tied."""
    material = piece.material
    is_tied = blank.material_id is not None and blank.material_id != material.pk
    is_offcut = piece.form == Form.SHEET and material.alloy == blank.alloy
    if material.alloy != blank.alloy or (is_tied and not is_offcut):
        return False
    if not is_stock_for(
        form=material.form,
        thickness_nm=material.thickness_nm,
        width_nm=material.width_nm,
        wanted_thickness_nm=blank.thickness_nm,
        wanted_width_nm=blank.width_nm,
    ):
        return False
    return is_long_enough(blank, piece)


def is_long_enough(blank: Blank, piece: Piece) -> bool:
    """Whether one blank lies on the piece, either way round on a sheet or a roll."""
    if piece.form == Form.FLAT:
        return blank.length_nm <= piece.free
    is_roll = piece.form == Form.ROLL
    wide = piece.material.width_nm if is_roll else piece.width_nm
    long = piece.free if is_roll else piece.length_nm
    ways = [(blank.width_nm, blank.length_nm), (blank.length_nm, blank.width_nm)]
    may = ways[:1] if piece.material.grain_matters else ways
    return any(across <= wide and along <= long for across, along in may)


def need_of(blank: Blank, piece: Piece) -> int:
    """What a blank takes of a piece, about: for proposing only."""
    if piece.form == Form.FLAT:
        return blank.length_nm
    if piece.form == Form.ROLL:
        return blank.width_nm * blank.length_nm // max(1, piece.material.width_nm)
    return blank.width_nm * blank.length_nm


def takes(blank: Blank, piece: Piece, left: dict[int, int]) -> bool:
    """Whether the piece still has room after what was proposed from it so far."""
    return need_of(blank, piece) <= left[piece.pk]


def piece_words(piece: Piece, *, house: House) -> str:
    """A piece in a list: mark, what is free, where it lies."""
    if piece.form == Form.SHEET:
        sizes = (piece.width_nm, piece.length_nm)
        free = " × ".join(amount_text(nm, form="flat", system=house.system) for nm in sizes)
    else:
        free = amount_text(piece.free, form=piece.form, system=house.system) + " free"
    place = f" · {piece.place}" if piece.place else ""
    lot = f" · lot {piece.heat_lot}" if piece.heat_lot else ""
    return f"{piece.mark} · {piece.material.get_form_display()} · {free}{place}{lot}"
