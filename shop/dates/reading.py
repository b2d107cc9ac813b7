"""Reads the dates of a class: what is short of it, who delivers it, what is still to be done.

Short is told by area, alloy by alloy; a cut plan may find that a little more is wanted.
"""

from __future__ import annotations

import uuid
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from shop.buying import reading_facts
from shop.buying.facts import ClassNeed
from shop.calendar import reading as calendar_reading
from shop.calendar.backward import Delivery
from shop.calendar.class_day import Standing, standing_of, standing_words
from shop.calendar.opening import OpeningError, pace
from shop.calendar.reading import Hours, billet_minutes, preparation_of, unwelded
from shop.calendar.timeline import (
    Event,
    Timeline,
    Timetable,
    class_event,
    events,
    timeline,
    timetable,
)
from shop.models import CalendarLink, ClassTerms, ForgeClass, Seat, ShopSettings
from shop.planning import metal as rack
from shop.planning.cut_plan import FreePiece, Need
from shop.rates.writing import History
from stock.alloys.book import Book, alloy_name
from stock.house import House
from stock.materials.matching import is_as_thick
from stock.models import Form, Offer, PurchaseLine, alloy_book
from stock.quantities.units import length_text


@dataclass(frozen=True)
class ClassFacts:
    """The shop's own side of the dates, and each class's seats, blanks without metal and terms."""

    house: House
    history: History
    today: date
    hours: Hours
    book: Book
    free: Sequence[FreePiece]
    offers: Sequence[Offer]  # of all metals in question, soonest first
    ordered: Sequence[PurchaseLine]
    seats: Mapping[int, Sequence[Seat]]  # by class
    needs: Mapping[int, Sequence[ClassNeed]]  # by class
    terms: Mapping[int, ClassTerms]  # by class, where some are written down

    def terms_of(self, row: ForgeClass) -> ClassTerms:
        """The terms of a class; empty ones, unsaved, when none are written down."""
        return self.terms.get(row.pk) or ClassTerms(forge_class=row)


def class_facts(
    classes: Sequence[ForgeClass], *, history: History, house: House, today: date
) -> ClassFacts:
    """Everything that the dates of these classes rest on."""
    seats = Seat.objects.active().with_metal().by_class(classes)
    needs = {pk: reading_facts.unplanned_needs(found) for pk, found in seats.items()}
    alloys = {one.need.alloy for found in needs.values() for one in found}
    return ClassFacts(
        house=house,
        history=history,
        today=today,
        hours=calendar_reading.hours(),
        book=alloy_book(),
        free=rack.free_pieces(plan="", house=house, alloys=alloys),
        offers=soonest_offers(alloys),
        ordered=reading_facts.lines_on_order(),
        seats=seats,
        needs=needs,
        terms={row.forge_class_id: row for row in ClassTerms.objects.filter(forge_class__in=seats)},
    )


def soonest_offers(alloys: set[str]) -> list[Offer]:
    """What is sold of these alloys, the soonest supplier first."""
    rows = Offer.objects.filter(is_current=True, material__alloy__in=alloys)
    rows = rows.select_related("supplier", "material")
    return list(rows.order_by("supplier__days_to_deliver", "id"))


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
    row: ForgeClass,
    *,
    history: History,
    house: House,
    today: date,
    facts: ClassFacts | None = None,
) -> ClassDates:
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
    metal: Metal,
    area_nm2: int,
    *,
    label: str,
    offers: Sequence[Offer],
    ordered: Sequence[PurchaseLine],
) -> Delivery | None:
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
    left = len(unwelded(row.seats.active().with_metal())) if standing is Standing.NOW else 0
    return standing_words(standing, first=row.starts_on, last=row.ends_on, unwelded=left)


KEPT_DAYS = 366  # so long a class stays in calendars after it


def feed_events(*, history: History, house: House, today: date) -> list[tuple[int, Event]]:
    """Every event with the number of its class."""
    rows = ForgeClass.objects.select_related("layup").filter(
        ends_on__gte=today - timedelta(days=KEPT_DAYS)
    )
    found = list(rows.order_by("starts_on", "id"))
    coming = [row for row in found if standing_on(row, today=today) is Standing.COMING]
    facts = class_facts(coming, history=history, house=house, today=today)
    return [(row.pk, event) for row in found for event in class_events(row, facts=facts)]


def standing_on(row: ForgeClass, *, today: date) -> Standing:
    """Whether a class is to come, on, over or called off."""
    return standing_of(row.state, row.starts_on, last=row.ends_on, today=today)


def class_events(row: ForgeClass, *, facts: ClassFacts) -> Iterator[Event]:
    """The events of one class; `facts` are those of the classes to come."""
    standing = standing_on(row, today=facts.today)
    if standing is Standing.COMING:
        try:
            yield from class_dates(
                row, history=facts.history, house=facts.house, today=facts.today, facts=facts
            ).events
            return
        except OpeningError:  # its page says why; the class itself still has its day
            pass
    yield class_event(
        row.title, row.starts_on, row.ends_on, is_cancelled=standing is Standing.CANCELLED
    )


NAMES = uuid.UUID("5f0c1a52-3c7e-4a53-9d0a-6b1d3f2e8c47")  # made once, for this app


def standing() -> CalendarLink | None:
    """The link that works now."""
    return CalendarLink.objects.filter(withdrawn_at=None).first()


def shop_name() -> str:
    """What makes the shop's events its own: the same on every address, link and backup of it."""
    row = ShopSettings.objects.first()
    begun = row.set_up_at.isoformat() if row else ""
    return f"{uuid.uuid5(NAMES, begun)}.billetwright"
