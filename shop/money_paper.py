"""Pages for paper about money and knives, put together for `stock.paper` to draw."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.template.loader import render_to_string

from billets.models import Billet
from billets.origins import Origin, origins_of
from shop.models import Knife
from shop.worksheets import moneyless
from stock.alloys import Book
from stock.house import House
from stock.models import Entry, Material, Piece, alloy_book


@dataclass(frozen=True)
class CardLayer:
    """One layer on a knife's card: what it is, how thick it was stacked, where it came from."""

    role: str
    metal: str
    thickness_nm: int
    lot: str


@dataclass(frozen=True)
class CardBar:
    """A bought bar on a knife's card."""

    metal: str
    material: Material
    lot: str


def class_summary_html(context: dict[str, Any], *, house: House) -> str:
    """The owner's one page about a class: what the money page shows, without its forms."""
    title = f"{context['row']}: money"
    return render_to_string(
        "pdf/class_money.html", context | {"house": house, "title": title, "paper": True}
    )


def knife_card_html(knife: Knife, *, house: House) -> str:
    """The card that goes with a knife: layup, steel lots, heat treatment, care; no money."""
    book = alloy_book()
    context = {
        "house": moneyless(house),
        "title": f"{knife}: {knife.pattern}",
        "knife": knife,
        "layers": card_layers(knife.billet, book=book) if knife.billet else [],
        "bars": knife_bars(knife, book=book),
    }
    return render_to_string("pdf/knife_card.html", context)


def card_layers(billet: Billet, *, book: Book) -> list[CardLayer]:
    """The layers of a billet, the top face first."""
    origins = {origin.number: origin for origin in origins_of(billet)}
    layers = [
        CardLayer(
            role=layer.role,
            metal=named(layer.alloy, book=book),
            thickness_nm=layer.thickness_nm,
            lot=lot_words(origins.get(number)),
        )
        for number, layer in enumerate(billet.design().layers, start=1)
    ]
    return layers[::-1]


def lot_words(origin: Origin | None) -> str:
    """Heat or lot; of a bar made here what it is made of."""
    if origin is None:
        return "–"
    if origin.bar:
        bar = origin.bar
        return f"bar {bar.mark}, made here of billet {bar.billet.mark}, {bar.layer_count} layers"
    return origin.heat_lot or "–"


def knife_bars(knife: Knife, *, book: Book) -> list[CardBar]:
    """Bought bars that a knife's blade was cut from."""
    undone = Entry.objects.filter(job=knife.job).exclude(corrects=None).values("corrects")
    cuts = Entry.objects.filter(job=knife.job, kind=Entry.Kind.BLANK, corrects=None)
    pieces = Piece.objects.filter(pk__in=cuts.exclude(pk__in=undone).values("piece"))
    return [
        CardBar(
            metal=book[one.material.alloy].name
            if one.material.alloy in book
            else str(one.material),
            material=one.material,
            lot=one.heat_lot or "–",
        )
        for one in pieces.select_related("material")
    ]


def named(alloy: str, *, book: Book) -> str:
    """An alloy's name; its key where the book has lost it."""
    return book[alloy].name if alloy in book else alloy
