"""Reads what the shop has paid for its metal, to say what a billet will cost before it is cut.

What came in of an alloy and thickness, and what suppliers ask for it; `shop.billet_cost.paid_metal`
makes prices of that. What a billet did cost is the ledger's: the very pieces.
"""

from __future__ import annotations

from collections.abc import Collection

from django.db.models import QuerySet, Sum

from shop.billet_cost.paid_metal import MetalPrices, PaidFor
from stock.models import Entry, Form, Offer

CAME_IN = (Entry.Kind.RECEIVED, Entry.Kind.MADE)


def prices_of(alloys: Collection[str]) -> MetalPrices:
    """What was paid for these alloys so far, and what suppliers ask, in three queries."""
    came = Entry.objects.filter(kind__in=CAME_IN, piece__material__alloy__in=list(alloys))
    return MetalPrices((*long_things(came), *sheets(came)), offers(alloys))


def offers(alloys: Collection[str]) -> tuple[PaidFor, ...]:
    """Current offers of single packs of bar, roll and sheet."""
    rows = Offer.objects.filter(
        is_current=True,
        from_packs=1,
        length_nm__gt=0,
        material__alloy__in=list(alloys),
        material__form__in=(Form.FLAT, Form.ROLL, Form.SHEET),
    )
    found = []
    for row in rows.select_related("material"):
        width_nm = row.width_nm if row.material.form == Form.SHEET else row.material.width_nm
        area_nm2 = row.length_nm * width_nm * row.count
        if area_nm2:
            metal, is_sawn = row.material, row.material.form == Form.FLAT
            found.append(
                PaidFor(metal.alloy, metal.thickness_nm, area_nm2, row.price_cents, is_sawn)
            )
    return tuple(found)


def long_things(came: QuerySet[Entry]) -> list[PaidFor]:
    """Bars and rolls: their lengths add up in SQL."""
    rows = (
        came.filter(piece__material__form__in=(Form.FLAT, Form.ROLL))
        .values(
            "piece__material__alloy",
            "piece__material__thickness_nm",
            "piece__material__width_nm",
            "piece__material__form",
        )
        .annotate(length=Sum("amount"), worth=Sum("value_cents"))
        .order_by()
    )
    return [
        PaidFor(
            alloy=row["piece__material__alloy"],
            thickness_nm=row["piece__material__thickness_nm"],
            area_nm2=row["length"] * row["piece__material__width_nm"],
            cents=row["worth"],
            is_sawn=row["piece__material__form"] == Form.FLAT,
        )
        for row in rows
    ]


def sheets(came: QuerySet[Entry]) -> list[PaidFor]:
    """Sheets, added up here: square nanometres may pass 64 bits in a sum."""
    rows = came.filter(piece__material__form=Form.SHEET).values_list(
        "piece__material__alloy", "piece__material__thickness_nm", "amount", "value_cents"
    )
    return [PaidFor(*row) for row in rows]
