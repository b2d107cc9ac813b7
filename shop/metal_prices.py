"""Reads what the shop has paid for its metal, to say what a billet will cost before it is cut.

An average over all that came in of an alloy and thickness, for each area of it, so that bar,
roll and sheet are told alike; where nothing came in yet, the cheapest offer of the suppliers,
without delivery. What a billet did cost is the ledger's: the very pieces.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from fractions import Fraction

from django.db.models import QuerySet, Sum

from billets import layup as stack
from stock.matching import is_as_thick
from stock.models import Entry, Form, Offer
from stock.money import whole_cents

CAME_IN = (Entry.Kind.RECEIVED, Entry.Kind.MADE)


@dataclass(frozen=True)
class PaidFor:
    """Area of an alloy in one thickness that came in, and what it cost."""

    alloy: str
    thickness_nm: int
    area_nm2: int
    cents: int
    is_sawn: bool = False  # bar; roll and sheet are sheared and lose no kerf


@dataclass(frozen=True)
class Expected:
    """What the metal of a stack will cost; `unpriced` are alloys that nothing was paid for.

    `listed` are those that the price list stood in for.
    """

    cents: int
    unpriced: tuple[str, ...] = ()
    listed: tuple[str, ...] = ()


@dataclass(frozen=True)
class MetalPrices:
    """Average prices by alloy and thickness; `offered` are the suppliers' for the same."""

    paid: tuple[PaidFor, ...]
    offered: tuple[PaidFor, ...] = ()

    def like(self, alloy: str, *, thickness_nm: int) -> list[PaidFor]:
        """What was paid for an alloy in a thickness, whatever form it came in; else an offer."""
        return self.paid_like(alloy, thickness_nm=thickness_nm) or self.cheapest(
            alloy, thickness_nm=thickness_nm
        )

    def paid_like(self, alloy: str, *, thickness_nm: int) -> list[PaidFor]:
        """What was paid for an alloy in a thickness, whatever form it came in."""
        return [one for one in self.paid if is_like(one, alloy, thickness_nm)]

    def cheapest(self, alloy: str, *, thickness_nm: int) -> list[PaidFor]:
        """The offer with the lowest price for its area, or none."""
        found = [one for one in self.offered if is_like(one, alloy, thickness_nm)]
        return [min(found, key=lambda one: Fraction(one.cents, one.area_nm2))] if found else []

    def of_area(self, alloy: str, *, thickness_nm: int, area_nm2: int) -> int:
        """What an area will cost [minor units]; 0 where nothing was ever paid for it."""
        like = self.like(alloy, thickness_nm=thickness_nm)
        area = sum(one.area_nm2 for one in like)
        return whole_cents(Fraction(sum(one.cents for one in like) * area_nm2, area)) if area else 0

    def of_stack(self, design: stack.Design, *, kerf_nm: int = 0) -> Expected:
        """What the blanks of a stack will cost, those of bar with one kerf each."""
        total, unpriced, listed = Fraction(0), [], []
        for layer in design.layers:
            like = self.like(layer.alloy, thickness_nm=layer.thickness_nm)
            area = sum(one.area_nm2 for one in like)
            if area <= 0:
                unpriced.append(layer.alloy)
                continue
            if not self.paid_like(layer.alloy, thickness_nm=layer.thickness_nm):
                listed.append(layer.alloy)
            kerf = kerf_nm if any(one.is_sawn for one in like) else 0
            blank = (stack.cut_length_nm(design) + kerf) * design.blank_width_nm
            total += Fraction(sum(one.cents for one in like) * blank, area)
        named = (tuple(dict.fromkeys(names)) for names in (unpriced, listed))
        return Expected(whole_cents(total), *named)


def is_like(one: PaidFor, alloy: str, thickness_nm: int) -> bool:
    """Whether a price is for an alloy in a thickness."""
    return one.alloy == alloy and is_as_thick(one.thickness_nm, thickness_nm)


def prices_of(alloys: Collection[str]) -> MetalPrices:
    """What was paid for these alloys so far, and what suppliers ask, in three queries."""
    came = Entry.objects.filter(kind__in=CAME_IN, piece__material__alloy__in=list(alloys))
    return MetalPrices((*long_things(came), *sheets(came)), offers(alloys))


def offers(alloys: Collection[str]) -> tuple[PaidFor, ...]:
    """Current offers of single packs of bar, roll and sheet."""
    rows = Offer.objects.filter(
        is_current=True, from_packs=1, length_nm__gt=0, material__alloy__in=list(alloys),
        material__form__in=(Form.FLAT, Form.ROLL, Form.SHEET),
    )  # fmt: skip
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
