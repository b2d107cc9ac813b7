"""Reads the dates of a class: what is short of it, who delivers it, what is still to be done.

Short is told by area, alloy by alloy; a cut plan may find that a little more is wanted.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date

from shop import rack
from shop.backward import Delivery
from shop.class_facts import ClassFacts, class_facts
from shop.class_standing import Standing, standing_of, standing_words
from shop.cutplan import FreePiece, Need
from shop.models import ForgeClass
from shop.opening_hours import Hours
from shop.preparing import billet_minutes, preparation_of, unwelded
from shop.rates import History
from shop.supplier_days import pace
from shop.timeline import Event, Timeline, Timetable, events, timeline, timetable
from stock.alloys import Book, alloy_name
from stock.house import House
from stock.matching import is_as_thick
from stock.models import Form, Offer, PurchaseLine
from stock.units import length_text

Metal = tuple[str, int]  # alloy, thickness


@dataclass(frozen=True)
class Lacking:
    """Metal that is short and that nobody on the list sells."""

    label: str


@dataclass(frozen=True)
class ClassDates:
    """The dates of one class, and what they rest on."""

    row: ForgeClass
    found: Timeline
    table: Timetable
    events: tuple[Event, ...]
    hours: Hours
    billet_minutes: int
    is_guess: bool
    unsold: tuple[Lacking, ...]


def class_dates(
    row: ForgeClass, *, history: History, house: House, today: date,
    facts: ClassFacts | None = None,
) -> ClassDates:  # fmt: skip
    """When to order, when to begin, and whether it can still be done.

    `facts` are those of several classes with this one among them, where they were read already.

    Raises:
        OpeningError: the work does not fit into ten years, or the like.
    """
    facts = facts or class_facts([row], history=history, house=house, today=today)
    hours, seats = facts.hours, facts.seats[row.pk]
    minutes, is_guess = billet_minutes(history, today=today)
    preparation = preparation_of(
        row, seats, hours=hours, history=history, today=today, terms=facts.terms_of(row)
    )
    deliveries, unsold = deliveries_of(row, facts=facts)
    found = timeline(preparation, opening=hours.opening, today=today, deliveries=deliveries)
    days = (row.ends_on - row.starts_on).days + 1
    return ClassDates(
        row=row,
        found=found,
        table=timetable(found.schedule, title=row.title, class_days=days),
        events=events(found.schedule, title=row.title, class_days=days),
        hours=hours,
        billet_minutes=minutes,
        is_guess=is_guess,
        unsold=unsold,
    )


def deliveries_of(
    row: ForgeClass, *, facts: ClassFacts
) -> tuple[list[Delivery], tuple[Lacking, ...]]:
    """Metals that are short with who delivers them soonest; those that nobody sells."""
    found, unsold = [], []
    needs = [one.need for one in facts.needs[row.pk]]
    for metal, area in short_metals(needs, free=facts.free).items():
        label = metal_words(metal, book=facts.book, house=facts.house)
        delivery = delivery_of(metal, area, label=label, offers=facts.offers, ordered=facts.ordered)
        if delivery is None:
            unsold.append(Lacking(label))
        else:
            found.append(replace(delivery, key="-".join(map(str, metal))))
    return found, tuple(unsold)


def short_metals(needs: Iterable[Need], *, free: Sequence[FreePiece]) -> dict[Metal, int]:
    """Area of each metal that the rack does not have free [nm²]."""
    wanted: dict[Metal, int] = defaultdict(int)
    for need in needs:
        wanted[need.alloy, need.thickness_nm] += need.width_nm * need.length_nm
    short = {}
    for (alloy, thickness), area in wanted.items():
        there = sum(
            piece.width_nm * piece.length_nm
            for piece in free
            if is_like((piece.alloy, piece.thickness_nm), (alloy, thickness))
        )
        if there < area:
            short[alloy, thickness] = area - there
    return short


def is_like(one: Metal, other: Metal) -> bool:
    """Whether one stock serves for the other."""
    return one[0] == other[0] and is_as_thick(one[1], other[1])


def delivery_of(
    metal: Metal, area_nm2: int, *, label: str, offers: Sequence[Offer],
    ordered: Sequence[PurchaseLine],
) -> Delivery | None:  # fmt: skip
    """What is on order already where it is enough; else who delivers it soonest."""
    coming = [
        line
        for line in ordered
        if is_like((line.material.alloy, line.material.thickness_nm), metal)
    ]
    due = [line.purchase.due_on for line in coming if line.purchase.due_on]
    if due and sum(line_area_nm2(line) for line in coming) >= area_nm2:
        supplier = str(coming[0].purchase.supplier)
        return Delivery(material=label, supplier=supplier, days=0, due_on=max(due))
    like = [
        offer.supplier
        for offer in offers
        if is_like((offer.material.alloy, offer.material.thickness_nm), metal)
    ]
    if not like:
        return None
    seller = min(like, key=lambda one: pace(one.days_to_deliver, counts=one.counts))
    return Delivery(
        material=label, supplier=str(seller), days=seller.days_to_deliver, counts=seller.counts
    )


def line_area_nm2(line: PurchaseLine) -> int:
    """Area that a line of an order brings."""
    width = line.width_nm if line.material.form == Form.SHEET else line.material.width_nm
    return line.count * width * line.length_nm


def metal_words(metal: Metal, *, book: Book, house: House) -> str:
    """A metal with its thickness."""
    alloy, thickness = metal
    name = alloy_name(alloy, book=book)
    return f"{name} {length_text(thickness, system=house.system)}"


def standing_sentence(row: ForgeClass, *, today: date) -> str:
    """What to say of a class that is on, over or called off; nothing of one to come."""
    standing = standing_of(row.state, row.starts_on, last=row.ends_on, today=today)
    left = len(unwelded(rack.active_seats(row))) if standing is Standing.NOW else 0
    return standing_words(standing, first=row.starts_on, last=row.ends_on, unwelded=left)
