"""Reads what the dates of classes rest on, for any number of them in a fixed number of queries."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from shop.buying import reading_facts
from shop.buying.facts import ClassNeed
from shop.calendar import opening_hours
from shop.calendar.opening_hours import Hours
from shop.models import ClassTerms, ForgeClass, Seat
from shop.planning import metal
from shop.planning.cut_plan import FreePiece
from shop.rates.writing import History
from stock.alloys.book import Book
from stock.house import House
from stock.models import Offer, PurchaseLine, alloy_book


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
    seats = metal.seats_by_class(classes)
    needs = {pk: reading_facts.unplanned_needs(found) for pk, found in seats.items()}
    alloys = {one.need.alloy for found in needs.values() for one in found}
    return ClassFacts(
        house=house,
        history=history,
        today=today,
        hours=opening_hours.hours(),
        book=alloy_book(),
        free=metal.free_pieces(plan="", house=house, alloys=alloys),
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
