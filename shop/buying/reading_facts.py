"""Reads what shopping rests on: blanks without metal, free metal, levels, wire, price lists.

Metal on order counts as there, so that nothing is bought twice. It leaves out what follows
from the facts (`shop.buying.shortages`, `shop.buying.case`).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date

from billets.layup import seam
from shop.buying.facts import Asked, ClassFacts, ClassNeed, OfferFacts, Stocked
from shop.calendar import reading as calendar_reading
from shop.calendar.opening import WORKING, calendar_days
from shop.models import ForgeClass, Seat
from shop.planning import metal
from shop.planning.cut_plan import FreePiece
from shop.rates import writing as rates
from stock.alloys.book import Book
from stock.buying.case import SupplierTerms
from stock.house import House
from stock.ledger.receiving import piece_amount
from stock.materials import by_length, saw
from stock.materials.matching import roll_length_nm
from stock.materials.names import material_title, sheets_of, usable_areas
from stock.materials.reorder import Change
from stock.models import (
    Form,
    Material,
    Offer,
    Piece,
    Purchase,
    PurchaseLine,
    SetAside,
    Supplier,
    alloy_book,
)


def stocked(
    seats: Sequence[Seat],
    classes: Sequence[ClassFacts],
    lines: Sequence[PurchaseLine],
    *,
    house: House,
    book: Book,
    today: date,
) -> list[Stocked]:
    """Materials with a level, and the wire that the coming billets use."""
    materials = list(Material.objects.filter(is_retired=False))
    on_hand = amounts_on_hand(house=house)
    wire = wire_material(materials, on_hand, house=house)
    known = known_changes(classes, lines, today=today)
    burned = wire_changes(seats, classes, house=house, book=book)
    found = []
    for row in materials:
        if row.reorder_below is None and row != wire:
            continue
        alike = [row]
        if row == wire:
            alike = [one for one in materials if one.form == Form.WIRE and one.alloy == row.alloy]
        changes = [one for same in alike for one in known.get(same.pk, ())]
        shelf = Stocked(
            key=str(row.pk),
            label=material_title(row, book=book, system=house.system),
            form=row.form,
            material_ids=tuple(one.pk for one in alike),
            on_hand=sum(on_hand.get(one.pk, 0) for one in alike),
            level=row.reorder_below or 0,
            changes=(*changes, *(burned if row == wire else ())),
        )
        sheets = sheets_of(row, among=materials) if row.form == Form.ROLL else []
        found.append(with_sheets(shelf, row, sheets, on_hand=on_hand, known=known))
    return found


def with_sheets(
    shelf: Stocked,
    roll: Material,
    sheets: Sequence[Material],
    *,
    on_hand: Mapping[int, int],
    known: Mapping[int, Sequence[Change]],
) -> Stocked:
    """A roll's shelf with the sheets that stand for it, as lengths of the roll."""
    if not sheets:
        return shelf
    width_nm = roll.width_nm
    beside = roll_length_nm(sum(on_hand.get(one.pk, 0) for one in sheets), width_nm=width_nm)
    to_come = tuple(
        replace(change, amount=roll_length_nm(change.amount, width_nm=width_nm))
        for one in sheets
        for change in known.get(one.pk, ())
    )
    return replace(
        shelf,
        on_hand=shelf.on_hand + beside,
        changes=(*shelf.changes, *to_come),
        sheet_ids=tuple(one.pk for one in sheets),
        width_nm=width_nm,
    )


def amounts_on_hand(*, house: House) -> dict[int, int]:
    """What is there of each material; of sheets what can still be planned on."""
    found: dict[int, int] = defaultdict(int, usable_areas(house=house))
    rows = Piece.objects.standing().exclude(material__form=Form.SHEET)
    for material_id, amount in rows.values_list("material_id", "on_hand"):
        found[material_id] += amount
    return found


def wire_material(
    materials: Iterable[Material], on_hand: Mapping[int, int], *, house: House
) -> Material | None:
    """The wire that seams are welded with: of the shop's alloy, the one there is most of."""
    wires = [row for row in materials if row.form == Form.WIRE and row.alloy == house.wire_alloy]
    return max(wires, key=lambda row: (on_hand.get(row.pk, 0), -row.pk), default=None)


def known_changes(
    classes: Sequence[ClassFacts], lines: Iterable[PurchaseLine], *, today: date
) -> dict[int, list[Change]]:
    """By material: what confirmed plans take, and what is on order.

    A sheet that a plan has set aside is not counted as there, so it takes nothing away either.
    """
    by_plan = {f"class:{one.class_id}": one for one in classes}
    found: dict[int, list[Change]] = defaultdict(list)
    rows = SetAside.objects.filter(state=SetAside.State.STANDING, amount__gt=0)
    rows = rows.exclude(piece__material__form=Form.SHEET)
    for material_id, plan, amount in rows.values_list("piece__material_id", "plan", "amount"):
        facts = by_plan.get(plan)
        day, why = (facts.metal_by, facts.title) if facts else (today, "set aside")
        found[material_id].append(Change(day, -amount, why))
    for line in lines:
        pieces = 1 if line.material.form == Form.COUNTED else line.count
        day = line.purchase.due_on or today
        found[line.material_id].append(Change(day, pieces * piece_amount(line), "on order"))
    return found


def wire_changes(
    seats: Sequence[Seat], classes: Sequence[ClassFacts], *, house: House, book: Book
) -> list[Change]:
    """Wire that the seams of each coming class take, of billets that are not welded yet."""
    by_class: dict[int, int] = defaultdict(int)
    for seat in calendar_reading.unwelded(seats):
        by_class[seat.forge_class_id] += seam.wire_ug(seat.design(), house=house, alloys=book)
    return [
        Change(one.metal_by, -by_class[one.class_id], one.title)
        for one in classes
        if by_class[one.class_id]
    ]


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
        kerf_nm=saw.kerf_nm(),
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
    return list(ForgeClass.objects.to_come(today).order_by("starts_on", "id"))


def class_facts(
    rows: Sequence[ForgeClass], seats: Sequence[Seat], *, today: date
) -> list[ClassFacts]:
    """Each class, and by when its metal is wanted: before the work on it must begin."""
    hours, history = calendar_reading.hours(), rates.history()
    found = []
    for row in rows:
        own = [seat for seat in seats if seat.forge_class_id == row.pk]
        work = calendar_reading.preparation_of(row, own, hours=hours, history=history, today=today)
        by_day = calendar_reading.metal_by(work, opening=hours.opening, today=today)
        found.append(ClassFacts(row.pk, row.title, row.starts_on, by_day))
    return found


def seats_of(rows: Sequence[ForgeClass]) -> list[Seat]:
    """Seats of these classes with layups, billets and blanks; in the order of planning."""
    seats = Seat.objects.active().filter(forge_class__in=rows)
    order = ("forge_class__starts_on", "forge_class_id", "is_spare", "number")
    return list(seats.with_metal().order_by(*order))


def unplanned_needs(seats: Sequence[Seat]) -> list[ClassNeed]:
    """Blanks that no metal is set aside for."""
    classes = {seat.pk: seat.forge_class_id for seat in seats}
    tied = {
        f"{seat.pk}/{position}"
        for seat in seats
        for position, blank in seat.blanks_by_position().items()
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
            row.delivery_cents,
            row.free_delivery_from_cents,
            row.minimum_order_cents,
            row.days_to_deliver if row.counts == WORKING else None,
        )
        for row in Supplier.objects.order_by("name")
    ]
