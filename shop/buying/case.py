"""From what is short to what buying is asked: needs with their last day, goods, terms. Pure.

Amounts go to the solver in coarser units than the books keep, so that its numbers stay small:
µm, mg, mm². Needs are rounded up and packs down, so nothing is bought too small.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta

from shop.buying.facts import Asked, OfferFacts, Stocked
from shop.buying.shortages import SHEET, Shortages, ShortGroup
from stock.buying.case import (
    AmountNeed,
    BarNeed,
    Break,
    BuyingCase,
    Goods,
    Need,
    SheetNeed,
    SupplierTerms,
    merged_breaks,
)
from stock.cutting.plans.plan import OnHand, Rectangle, Wanted
from stock.materials.reorder import Change, Reorder, Shelf, reorders
from stock.quantities import units

COARSE = {"counted": 1, "wire": 1_000, "sheet": 10**12}
COARSE_LENGTH = 1_000


@dataclass(frozen=True)
class Deadline:
    """By when something must have come; `is_tight` when only the class itself can be met."""

    day: date | None
    is_tight: bool = False

    def days_left(self, today: date) -> int | None:
        """Days until then, 0 when it is past; None when there is no hurry."""
        return None if self.day is None else max(0, (self.day - today).days)


@dataclass(frozen=True)
class Lack:
    """One thing that is short: for whom or why, and by when."""

    key: str
    label: str
    form: str  # "bar" | "sheet" | the form of a material that is bought by amount
    deadline: Deadline
    group: ShortGroup | None = None
    reorder: Reorder | None = None
    stocked: Stocked | None = None


@dataclass(frozen=True)
class Question:
    """What buying is asked, and what each part of it stands for."""

    case: BuyingCase
    lacks: tuple[Lack, ...]
    offers: dict[str, OfferFacts] = field(default_factory=dict)  # by goods key


def coarse(form: str) -> int:
    """How many units of the books one unit of the solver is.

    Args:
        form: of the material, such as "flat" or "wire".

    Returns:
        A whole number, 1 or more.
    """
    return COARSE.get(form, COARSE_LENGTH)


def question(asked: Asked, found: Shortages) -> Question:
    """What buying is asked.

    Args:
        asked: the facts.
        found: what is short of them.

    Returns:
        The case, with what each need and each goods stands for.
    """
    lacks = [group_lack(asked, group, f"cut-{n}") for n, group in enumerate(found.groups)]
    lacks += stock_lacks(asked, found)
    needs: list[Need] = []
    goods: list[Goods] = []
    offers: dict[str, OfferFacts] = {}
    for lack in lacks:
        usable = offers_for(asked, lack)
        needs.append(need_of(asked, lack, usable))
        sold = goods_of(lack, usable)
        goods += sold
        by_key = {f"{lack.key}/{one.offer_id}": one for one in usable}
        offers |= {one.key: by_key[one.key] for one in sold}
    case = BuyingCase(tuple(needs), tuple(goods), asked.suppliers)
    return Question(case, tuple(lacks), offers)


def group_lack(asked: Asked, group: ShortGroup, key: str) -> Lack:
    """Blanks that are short, with the day on which the first class must have them."""
    first = group.first
    name = asked.alloy_name(first.alloy)
    is_sheet = group.group.kind == SHEET
    sizes = [first.thickness_nm] if is_sheet else [first.thickness_nm, first.width_nm]
    label = f"{name} {units.section_as_sold(sizes, system=asked.system)}"
    classes = [asked.class_of(one.class_id) for one in group.waiting]
    soonest = min(classes, key=lambda one: one.metal_by)
    days = [days_of(asked, one.supplier) for one in group.group.offers]
    deadline = deadline_of(
        soonest.metal_by, soonest.starts_on, today=asked.today, fastest_days=min(days, default=0)
    )
    form = "sheet" if is_sheet else "bar"
    return Lack(key, label, form, deadline, group=group)


def deadline_of(metal_by: date, starts_on: date, *, today: date, fastest_days: int) -> Deadline:
    """The day wanted; the day before the class where only that can still be met."""
    last = starts_on - timedelta(days=1)
    arrives = today + timedelta(days=fastest_days)
    if metal_by < arrives <= last:
        return Deadline(last, is_tight=True)
    return Deadline(metal_by)


def stock_lacks(asked: Asked, found: Shortages) -> list[Lack]:
    """Wire that runs out, and materials that fall below their level."""
    by_key = {one.key: one for one in asked.stocked}
    shelves = [shelf_of(asked, found, one) for one in asked.stocked]
    empty = {
        one.key: one
        for one in reorders([replace(shelf, level=0) for shelf in shelves], today=asked.today)
    }
    lacks = []
    for low in reorders(shelves, today=asked.today):
        runs_out = empty.get(low.key)
        deadline = Deadline(runs_out.day if runs_out else None)
        stocked = by_key[low.key]
        lacks.append(
            Lack(
                f"level-{low.key}", low.label, stocked.form, deadline, reorder=low, stocked=stocked
            )
        )
    return lacks


def shelf_of(asked: Asked, found: Shortages, stocked: Stocked) -> Shelf:
    """One material with all that is known to come and go, classes without a plan included."""
    taken = [
        Change(
            asked.class_of(one.class_id).metal_by,
            -stocked.amount_of(one.material_id, one.amount),
            asked.class_of(one.class_id).title,
        )
        for one in found.taken
        if one.material_id in (*stocked.material_ids, *stocked.sheet_ids)
    ]
    return Shelf(
        stocked.key, stocked.label, stocked.on_hand, stocked.level, (*stocked.changes, *taken)
    )


def offers_for(asked: Asked, lack: Lack) -> tuple[OfferFacts, ...]:
    """Who sells it, in a form that this lack can be bought in.

    Args:
        asked: the facts.
        lack: what is short.

    Returns:
        Offers, in the order of the facts.
    """
    if lack.group is not None:
        is_sheet = lack.form == "sheet"
        return tuple(one for one in lack.group.group.offers if (one.form != "flat") == is_sheet)
    assert lack.stocked is not None
    return tuple(one for one in asked.offers if one.material_id in lack.stocked.material_ids)


def need_of(asked: Asked, lack: Lack, offers: Sequence[OfferFacts]) -> Need:
    """The need as the solver takes it."""
    days_left = lack.deadline.days_left(asked.today)
    if lack.group is None:
        assert lack.reorder is not None
        amount = -(-lack.reorder.missing // coarse(lack.form))
        return AmountNeed(lack.key, lack.label, amount, days_left)
    to_cut = lack.group.to_cut
    if lack.form == "sheet":
        sizes = Counter((need.width_nm, need.length_nm) for need in to_cut)
        may_turn = not any(one.grain_matters for one in offers)
        rectangles = tuple(
            Rectangle(width, length, count, may_turn)
            for (width, length), count in sorted(sizes.items(), reverse=True)
        )
        return SheetNeed(lack.key, lack.label, rectangles, days_left)
    lengths = Counter(need.length_nm for need in to_cut)
    bars = Counter(bar.length_nm for bar in lack.group.bars) if offers else Counter[int]()
    return BarNeed(
        key=lack.key,
        label=lack.label,
        pieces=tuple(Wanted(nm, count) for nm, count in sorted(lengths.items(), reverse=True)),
        kerf_nm=asked.kerf_nm,
        on_hand=tuple(OnHand(nm, count) for nm, count in sorted(bars.items(), reverse=True)),
        keep_from_nm=max((bar.keep_from_nm for bar in lack.group.bars), default=0),
        days_left=days_left,
    )


def goods_of(lack: Lack, offers: Sequence[OfferFacts]) -> list[Goods]:
    """The offers as goods for one lack; rows that differ only in their price break are one."""
    least = coarse(lack.form) if lack.group is None else 1
    usable = [one for one in offers if one.amount >= least]
    sold: list[Goods] = []
    for size in dict.fromkeys((one.supplier, one.size) for one in usable):
        rows = [one for one in usable if (one.supplier, one.size) == size]
        sold += merged_breaks([one_goods(lack, row) for row in rows])
    return sold


def one_goods(lack: Lack, offer: OfferFacts) -> Goods:
    """One row of a price list as goods."""
    key = f"{lack.key}/{offer.offer_id}"
    prices = (Break(offer.from_packs, offer.price_cents),)
    if lack.group is None:
        amount = offer.amount // coarse(lack.form)
        return Goods(key, offer.supplier, lack.key, "amount", prices, amount=amount)
    if lack.form == "bar":
        return Goods(
            key,
            offer.supplier,
            lack.key,
            "bar",
            prices,
            length_nm=offer.length_nm,
            amount=offer.count,
        )
    form = "by-length" if offer.is_by_length else offer.form
    return Goods(
        key,
        offer.supplier,
        lack.key,
        form,
        prices,
        length_nm=offer.length_nm,
        width_nm=offer.width_nm,
        amount=offer.count,
    )


def terms_of(asked: Asked, supplier: str) -> SupplierTerms:
    """What a supplier asks for.

    Args:
        asked: the facts.
        supplier: its name.

    Returns:
        Its days and charges.
    """
    return next(one for one in asked.suppliers if one.name == supplier)


def days_of(asked: Asked, supplier: str) -> int:
    """Days that a supplier takes.

    Args:
        asked: the facts.
        supplier: its name.

    Returns:
        Days of the calendar from an order today to its delivery.
    """
    return terms_of(asked, supplier).days
