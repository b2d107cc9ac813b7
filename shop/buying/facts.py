"""What shopping rests on, as plain data: blanks without metal, what is free, who sells what.

Pure. It leaves out how it is read (`shop.buying.reading_facts`) and what follows from it
(`shop.buying.shortages`, `shop.buying.case`).
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta

from shop.planning.cut_plan import FreePiece, Need
from stock.buying.case import SupplierTerms
from stock.materials.matching import roll_length_nm
from stock.materials.reorder import Change


@dataclass(frozen=True)
class ClassFacts:
    """A class that is coming, and the last day on which its metal may arrive."""

    class_id: int
    title: str
    starts_on: date
    metal_by: date


@dataclass(frozen=True)
class ClassNeed:
    """One blank that has no metal, and whose class it is."""

    need: Need
    class_id: int


@dataclass(frozen=True)
class OfferFacts:
    """One row of a supplier's price list."""

    offer_id: int
    supplier: str
    material_id: int
    form: str
    alloy: str
    thickness_nm: int
    width_nm: int  # across: the bar's or roll's width, the sheet's own
    length_nm: int
    mass_ug: int
    count: int  # pieces in a pack
    price_cents: int  # a pack
    from_packs: int
    grain_matters: bool = False
    title: str = ""  # of the material
    is_by_length: bool = False  # a roll cut to order: length, price and packs are those of steps

    @property
    def size(self) -> tuple[int, ...]:
        """What tells two rows apart that are not only price breaks of each other."""
        sizes = (self.material_id, self.length_nm, self.width_nm, self.mass_ug, self.count)
        return (*sizes, int(self.is_by_length))

    @property
    def amount(self) -> int:
        """What one pack holds, in the unit of its form."""
        each = {
            "counted": 1,
            "wire": self.mass_ug,
            "sheet": self.length_nm * self.width_nm,
        }.get(self.form, self.length_nm)
        return each * self.count

    def as_piece(self) -> FreePiece:
        """The offer as planning would see a piece of it."""
        return FreePiece(
            piece_id=-self.offer_id,
            mark="",
            material_id=self.material_id,
            form=self.form,
            alloy=self.alloy,
            thickness_nm=self.thickness_nm,
            width_nm=self.width_nm,
            length_nm=self.length_nm,
            keep_from_nm=0,
            grain_matters=self.grain_matters,
        )


@dataclass(frozen=True)
class Stocked:
    """One material that has a level, or wire that is used up: what is there, comes and goes."""

    key: str
    label: str
    form: str
    material_ids: tuple[int, ...]  # any of these will do
    on_hand: int
    level: int
    changes: tuple[Change, ...] = ()
    sheet_ids: tuple[int, ...] = ()  # of a roll: sheets that stand for it, by area over its width
    width_nm: int = 0  # of that roll

    def amount_of(self, material_id: int, amount: int) -> int:
        """An amount of one of its materials, or of a sheet that stands for it, in its own unit."""
        if material_id in self.material_ids:
            return amount
        return roll_length_nm(amount, width_nm=self.width_nm)


@dataclass(frozen=True)
class Asked:
    """Everything that a look at what to buy rests on."""

    today: date
    kerf_nm: int
    classes: tuple[ClassFacts, ...]
    needs: tuple[ClassNeed, ...]  # earlier classes first, seats in their order
    pieces: tuple[FreePiece, ...]  # free, and on order
    offers: tuple[OfferFacts, ...]
    suppliers: tuple[SupplierTerms, ...]
    stocked: tuple[Stocked, ...]
    alloy_names: Mapping[str, str]
    system: str = "inch"
    keep_from_nm: int = 0  # shorter offcuts are scrap

    def alloy_name(self, key: str) -> str:
        """Name of an alloy; its key where the book has no name."""
        return self.alloy_names.get(key, key)

    def class_of(self, class_id: int) -> ClassFacts:
        """A class by its id."""
        return next(one for one in self.classes if one.class_id == class_id)

    def fingerprint(self) -> str:
        """A short print of what a list rests on, to see whether any of it has changed since.

        Metal that was on order counts as there, so its coming changes nothing; nor does another
        day, as long as the same suppliers still deliver in time.
        """
        facts = (
            self.kerf_nm,
            self.classes,
            self.needs,
            self.offers,
            [replace(one, days=one.said_days) for one in self.suppliers],
            sorted(self.alloy_names.items()),
            self.system,
            self.keep_from_nm,
            sorted(metal_of(piece) for piece in self.pieces),
            in_time(self),
            [shelf_print(self, one) for one in self.stocked],
        )
        return hashlib.sha256(repr(facts).encode()).hexdigest()


def metal_of(piece: FreePiece) -> tuple[object, ...]:
    """What a piece is to a list: neither its mark nor its place, nor whether it has come."""
    return (
        piece.material_id,
        piece.form,
        piece.alloy,
        piece.thickness_nm,
        piece.width_nm,
        piece.length_nm,
        piece.keep_from_nm,
        piece.grain_matters,
    )


def in_time(asked: Asked) -> list[tuple[bool, bool]]:
    """Of each supplier and class: whether metal comes by the day wanted, or before it begins."""
    return [
        (arrives <= one.metal_by, arrives < one.starts_on)
        for supplier in asked.suppliers
        for arrives in [asked.today + timedelta(days=supplier.days)]
        for one in asked.classes
    ]


def shelf_print(asked: Asked, stocked: Stocked) -> tuple[object, ...]:
    """What matters of a material with a level: what is there whenever something is taken.

    Today only how far it is below its level does; an order that comes sooner than the next
    class changes nothing else.
    """
    goes = {max(one.day, asked.today) for one in stocked.changes if one.amount < 0}
    days = sorted(goes | {max(one.metal_by, asked.today) for one in asked.classes})
    there = [
        stocked.on_hand
        + sum(one.amount for one in stocked.changes if max(one.day, asked.today) <= day)
        for day in (asked.today, *days)
    ]
    takes = sorted(
        (max(one.day, asked.today), one.why) for one in stocked.changes if one.amount < 0
    )
    named = (stocked.key, stocked.label, stocked.form, stocked.material_ids, stocked.level)
    is_taken_today = asked.today in days
    first = there[0] if is_taken_today else min(there[0], stocked.level)
    return (*named, first, list(zip(days, there[1:], strict=True)), takes)
