"""Reads the book of alloys as its page shows it: every figure with its source and mark."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from stock.alloys.book import Alloy, Figure, Said
from stock.catalogue.forms import FAMILY_WORDS
from stock.house import House
from stock.models import OwnAlloy, alloy_book
from stock.quantities import units

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


def alloy_list_page(*, house: House) -> dict[str, Any]:
    """The whole book, the shop's own first, then by family."""
    own = dict(OwnAlloy.objects.values_list("key", "pk"))
    groups: dict[str, list[AlloyWords]] = {}
    for alloy in alloy_book().values():
        word = "The shop's own" if alloy.is_shop_made else FAMILY_WORDS[alloy.family]
        groups.setdefault(word, []).append(alloy_words(alloy, house=house, own=own))
    ordered = sorted(groups.items(), key=lambda one: one[0] != "The shop's own")
    return {"groups": ordered, "place": "rack"}
