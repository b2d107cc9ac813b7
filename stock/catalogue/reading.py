"""Reads the list of materials as its page shows it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, TypedDict

from stock.alloys import book as alloys
from stock.alloys.book import FAMILY_WORDS, Alloy, Figure, Said
from stock.house import House
from stock.materials.matching import roll_length_nm
from stock.materials.names import material_title, sheets_of, usable_areas
from stock.models import Form, Material, OwnAlloy, alloy_book
from stock.quantities import units
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


class MaterialListPage(TypedDict):
    """The materials, by form and name."""

    in_use: list[MaterialRow]
    retired: list[MaterialRow]


def material_list_page(*, house: House) -> MaterialListPage:
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
    return MaterialListPage(
        in_use=[row for row in rows if not row.material.is_retired],
        retired=[row for row in rows if row.material.is_retired],
    )


MARK_WORDS = {
    "read": "read in the source",
    "memory": "from memory",
    "practice": "common practice",
    "shop": "the shop's own",
}
TEMPERATURES = {
    "solidus_c": "starts to melt",
    "liquidus_c": "all molten",
    "forge_max_c": "forge at most",
    "forge_min_c": "do not forge below",
    "normalise_c": "normalise",
    "austenitise_low_c": "harden from",
    "austenitise_high_c": "harden up to",
    "ac1_c": "Ac1",
    "ms_c": "martensite starts",
}


@dataclass(frozen=True)
class FigureWords:
    """One figure of an alloy with where it comes from."""

    word: str
    text: str
    source: str
    mark: str


@dataclass(frozen=True)
class AlloyWords:
    """One alloy as it is shown."""

    key: str
    name: str
    is_own: bool
    own_id: int
    composition: str
    composition_source: str
    note: str
    hazards: str
    figures: tuple[FigureWords, ...]


def figure_words(word: str, text: str, found: Figure | Said) -> FigureWords:
    """A figure with its source; "as given" where the source writes it otherwise."""
    given = getattr(found, "given", "")
    source = f"{found.source} (given as {given})" if given else found.source
    return FigureWords(word=word, text=text, source=source, mark=MARK_WORDS[found.mark])


def figures_of(alloy: Alloy, *, house: House) -> list[FigureWords]:
    """Density, temperatures, quench and temper."""
    density = alloy.density_kg_m3
    found = [figure_words("density", f"{density.value:,.0f} kg/m³", density)]
    for name, word in TEMPERATURES.items():
        figure = getattr(alloy, name)
        if figure is not None:
            mdegc = round(figure.value * 1000)
            text = units.temperature_text(mdegc, first=house.temperature_unit)
            found.append(figure_words(word, text, figure))
    if alloy.quench is not None:
        found.append(figure_words("quench", alloy.quench.text, alloy.quench))
    for temper in alloy.temper:
        at = units.temperature_text(
            round(temper.temperature_c * 1000), first=house.temperature_unit
        )
        hardness = f"{temper.low_hrc:g}–{temper.high_hrc:g} HRC"
        if temper.low_hrc == temper.high_hrc:
            hardness = f"{temper.low_hrc:g} HRC"
        found.append(
            FigureWords(f"tempered at {at}", hardness, temper.source, MARK_WORDS[temper.mark])
        )
    return found


def alloy_words(alloy: Alloy, *, house: House, own: dict[str, int]) -> AlloyWords:
    """One alloy in words."""
    parts = [f"{figure.value:g} % {element}" for element, figure in alloy.composition.items()]
    sources = {figure.source for figure in alloy.composition.values()}
    return AlloyWords(
        key=alloy.key,
        name=alloy.name,
        is_own=alloy.is_shop_made,
        own_id=own.get(alloy.key, 0),
        composition=", ".join(parts),
        composition_source="; ".join(sorted(sources)),
        note=alloy.note,
        hazards=", ".join(hazard.replace("-", " ") for hazard in alloy.hazards),
        figures=tuple(figures_of(alloy, house=house)),
    )


class AlloyListPage(TypedDict):
    """The book of alloys, under the words of its groups."""

    groups: list[tuple[str, list[AlloyWords]]]
    place: str


def alloy_list_page(*, house: House) -> AlloyListPage:
    """The whole book, the shop's own first, then by family."""
    own = dict(OwnAlloy.objects.values_list("key", "pk"))
    groups: dict[str, list[AlloyWords]] = {}
    for alloy in alloy_book().values():
        word = "The shop's own" if alloy.is_shop_made else FAMILY_WORDS[alloy.family]
        groups.setdefault(word, []).append(alloy_words(alloy, house=house, own=own))
    ordered = sorted(groups.items(), key=lambda one: one[0] != "The shop's own")
    return AlloyListPage(groups=ordered, place="rack")
