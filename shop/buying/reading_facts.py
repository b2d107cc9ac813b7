"""Reads what shopping rests on: blanks without metal, free metal, levels, wire, price lists.

Metal on order counts as there, so that nothing is bought twice. It leaves out what follows
from the facts (`shop.buying.shortages`, `shop.buying.case`).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date

from shop.buying.facts import Asked, ClassFacts, ClassNeed, OfferFacts
from shop.buying.shelves import stocked
from shop.calendar import opening_hours, preparing
from shop.calendar.supplier_days import WORKING, calendar_days
from shop.models import ForgeClass, Seat
from shop.planning import metal
from shop.planning.cut_plan import FreePiece
from shop.rates import writing as rates
from stock.alloys.book import Book
from stock.buying.case import SupplierTerms
from stock.house import House
from stock.materials import by_length
from stock.materials.names import material_title
from stock.models import (
    Form,
    Offer,
    Purchase,
    PurchaseLine,
    Supplier,
    alloy_book,
)

COMING = (ForgeClass.State.OPEN, ForgeClass.State.PLANNED)
MOST_ON_ONE_LINE = 1_000


def asked(*, house: House, today: date) -> Asked:
    """All facts, as they are now."""
    rows = coming_classes(today)
    seats = seats_of(rows)
    book = alloy_book()
    needs = unplanned_needs(seats)
    lines = lines_on_order()
    classes = class_facts(rows, seats, today=today)
    alloys = {one.need.alloy for one in needs}
    free = metal.free_pieces(plan="", house=house, alloys=alloys)
    return Asked(
        today=today,
        kerf_nm=metal.kerf_nm(),
        classes=tuple(classes),
        needs=tuple(needs),
        pieces=(*free, *pieces_on_order(lines, house=house, alloys=alloys)),
        offers=tuple(offer_facts(house=house, book=book)),
        suppliers=tuple(supplier_terms(today)),
        stocked=tuple(stocked(seats, classes, lines, house=house, book=book, today=today)),
        alloy_names={key: book[key].name for key in sorted(alloys) if key in book},
        system=house.system,
        keep_from_nm=house.keep_from_nm,
    )


def coming_classes(today: date) -> list[ForgeClass]:
    """Classes that are on and have not begun, soonest first."""
    rows = ForgeClass.objects.filter(state__in=COMING, starts_on__gte=today)
    return list(rows.order_by("starts_on", "id"))


def class_facts(
    rows: Sequence[ForgeClass], seats: Sequence[Seat], *, today: date
) -> list[ClassFacts]:
    """Each class, and by when its metal is wanted: before the work on it must begin."""
    hours, history = opening_hours.hours(), rates.history()
    found = []
    for row in rows:
        own = [seat for seat in seats if seat.forge_class_id == row.pk]
        work = preparing.preparation_of(row, own, hours=hours, history=history, today=today)
        by_day = preparing.metal_by(work, opening=hours.opening, today=today)
        found.append(ClassFacts(row.pk, row.title, row.starts_on, by_day))
    return found


def seats_of(rows: Sequence[ForgeClass]) -> list[Seat]:
    """Seats of these classes with layups, billets and blanks; in the order of planning."""
    seats = Seat.objects.filter(forge_class__in=rows, is_cancelled=False)
    order = ("forge_class__starts_on", "forge_class_id", "is_spare", "number")
    return list(metal.with_metal(seats).order_by(*order))


def unplanned_needs(seats: Sequence[Seat]) -> list[ClassNeed]:
    """Blanks that no metal is set aside for."""
    classes = {seat.pk: seat.forge_class_id for seat in seats}
    tied = {
        f"{seat.pk}/{position}"
        for seat in seats
        for position, blank in metal.blanks_by_position(seat).items()
        if blank.has_metal
    }
    return [
        ClassNeed(need, classes[need.seat_id])
        for need in metal.needs_of(seats)
        if need.key not in tied
    ]


def lines_on_order() -> list[PurchaseLine]:
    """What has been ordered and has not come."""
    rows = PurchaseLine.objects.filter(purchase__state=Purchase.State.ORDERED)
    return list(rows.select_related("purchase", "material"))


def pieces_on_order(
    lines: Iterable[PurchaseLine], *, house: House, alloys: Iterable[str]
) -> list[FreePiece]:
    """Ordered bars, rolls and sheets as planning will see them once they are here."""
    wanted = set(alloys)
    found = []
    for line in lines:
        material = line.material
        if material.form not in metal.PLANNED_FORMS or material.alloy not in wanted:
            continue
        keep_nm = material.keep_from_nm
        for number in range(line.count):
            found.append(
                FreePiece(
                    piece_id=-(line.pk * MOST_ON_ONE_LINE + number),  # no piece has such an id
                    mark="on order",
                    material_id=material.pk,
                    form=material.form,
                    alloy=material.alloy,
                    thickness_nm=material.thickness_nm,
                    width_nm=line.width_nm if material.form == Form.SHEET else material.width_nm,
                    length_nm=line.length_nm,
                    keep_from_nm=house.keep_from_nm if keep_nm is None else keep_nm,
                    grain_matters=material.grain_matters,
                )
            )
    return found


def offer_facts(*, house: House, book: Book) -> list[OfferFacts]:
    """Price lists as they hold now."""
    rows = Offer.objects.filter(is_current=True, material__is_retired=False)
    rows = rows.select_related("supplier", "material").order_by("material", "supplier", "id")
    return [offer_fact(row, house=house, book=book) for row in rows]


def offer_fact(row: Offer, *, house: House, book: Book) -> OfferFacts:
    """One row of a price list; what is cut to order counts in steps, as packs."""
    facts = OfferFacts(
        offer_id=row.pk,
        supplier=row.supplier.name,
        material_id=row.material_id,
        form=row.material.form,
        alloy=row.material.alloy,
        thickness_nm=row.material.thickness_nm,
        width_nm=row.width_nm if row.material.form == Form.SHEET else row.material.width_nm,
        length_nm=row.length_nm,
        mass_ug=row.mass_ug,
        count=row.count,
        price_cents=row.price_cents,
        from_packs=row.from_packs,
        grain_matters=row.material.grain_matters,
        title=material_title(row.material, book=book, system=house.system),
    )
    if not row.is_by_length:
        return facts
    return replace(
        facts,
        is_by_length=True,
        length_nm=row.step_nm,
        price_cents=by_length.step_cents(
            row.price_cents, length_nm=row.length_nm, step_nm=row.step_nm
        ),
        from_packs=by_length.fewest_steps(row.least_nm, step_nm=row.step_nm),
    )


def supplier_terms(today: date) -> list[SupplierTerms]:
    """Days from today, delivery and minimum of each supplier."""
    return [
        SupplierTerms(
            row.name,
            calendar_days(today, days=row.days_to_deliver, counts=row.counts),
            row.delivery_cents, row.free_delivery_from_cents, row.minimum_order_cents,
            row.days_to_deliver if row.counts == WORKING else None,
        )
        for row in Supplier.objects.order_by("name")
    ]  # fmt: skip
