"""Pages for paper about money and knives, put together for `stock.output.pdf` to draw."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import NotRequired, TypedDict

from django.template.loader import render_to_string

from billets.billet.origins import Origin, origins_of
from billets.drawings.side import SideView
from billets.errors import NM_PER_MM
from billets.layup.case import Case, case_of
from billets.models import Billet
from shop.knives import writing as knives
from shop.models import Knife
from shop.sheets.blade import blade_on_paper
from shop.sheets.pdf_answer import moneyless
from shop.sheets.stack import StackOnPaper, stack_on_paper
from stock.alloys.book import Book, alloy_name
from stock.house import House
from stock.models import Material, alloy_book

NO_LOT = "not written down"


@dataclass(frozen=True)
class Lot:
    """One metal on a knife's card, and the heat or lot that it came from."""

    metal: str
    lot: str


@dataclass(frozen=True)
class CardBar:
    """A bought bar on a knife's card."""

    metal: str
    material: Material
    lot: str


class KnifeCard(TypedDict):
    """A knife's card; its stack and its lots where the blade came of a billet."""

    house: House
    title: str
    knife: Knife
    treatments: list[knives.TreatmentLine]
    bars: list[CardBar]
    stack: NotRequired[StackOnPaper | None]
    layer_count: NotRequired[int]
    lots: NotRequired[list[Lot]]
    views: NotRequired[list[SideView]]


def knife_card_html(knife: Knife, *, house: House) -> str:
    """The card that goes with a knife: layup, steel lots, heat treatment, care; no money."""
    book = alloy_book()
    context = KnifeCard(
        house=moneyless(house),
        title=f"{knife}: {knife.pattern}",
        knife=knife,
        treatments=knives.lines_of(knife),
        bars=knife_bars(knife, book=book),
    )
    if knife.billet is not None:
        case = case_of(knife.billet.design(), alloys=book, house=house)
        context |= {
            "stack": stack_on_paper(case),
            "layer_count": len(case.design.layers),
            "lots": card_lots(knife.billet, book=book),
            "views": card_views(knife.billet, case),
        }
    return render_to_string("pdf/knife_card.html", context)


def card_views(billet: Billet, case: Case) -> list[SideView]:
    """The blade that the billet was drawn for; without measures, since a knife has its own."""
    size = billet.measurements.order_by("-id").first()
    blade = blade_on_paper(
        case,
        mark=billet.mark,
        drawn_length_mm=size.length_nm / NM_PER_MM if size else None,
        key="card-blade",
    )
    return [replace(view, measures=()) for view in blade.views] if blade else []


def card_lots(billet: Billet, *, book: Book) -> list[Lot]:
    """The metals of a billet with their heats or lots, from the top face, like ones once."""
    origins = {origin.number: origin for origin in origins_of(billet)}
    found = [
        Lot(alloy_name(layer.alloy, book=book), lot_words(origins.get(number)))
        for number, layer in enumerate(billet.design().layers, start=1)
    ]
    return list(dict.fromkeys(reversed(found)))


def lot_words(origin: Origin | None) -> str:
    """Heat or lot; of a bar made here what it is made of."""
    if origin is None:
        return NO_LOT
    if origin.bar:
        bar = origin.bar
        return f"bar {bar.mark}, made here of billet {bar.billet.mark}, {bar.layer_count} layers"
    return origin.heat_lot or NO_LOT


def knife_bars(knife: Knife, *, book: Book) -> list[CardBar]:
    """Bought bars that a knife's blade was cut from."""
    return [
        CardBar(
            metal=alloy_name(one.material.alloy, book=book) or str(one.material),
            material=one.material,
            lot=one.heat_lot or NO_LOT,
        )
        for one in knives.blade_pieces(knife)
    ]
