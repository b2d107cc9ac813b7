"""Reads what there is of the materials that have a level, and of the wire that seams take.

Part of `shop.buying.reading_facts`. The sheets that come off a roll count towards its level, by
area over its width. It leaves out what falls below (`stock.materials.reorder`).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date

from billets.layup import seam
from shop.buying.facts import ClassFacts, Stocked
from shop.calendar import preparing
from shop.models import Seat
from shop.planning import metal
from stock.alloys.book import Book
from stock.house import House
from stock.ledger.receiving import piece_amount
from stock.materials.names import material_title
from stock.materials.offcuts import roll_length_nm
from stock.materials.reorder import Change
from stock.materials.usable_sheets import sheets_of, usable_areas
from stock.models import Form, Material, Piece, PurchaseLine, SetAside


def stocked(
    seats: Sequence[Seat], classes: Sequence[ClassFacts], lines: Sequence[PurchaseLine], *,
    house: House, book: Book, today: date,
) -> list[Stocked]:  # fmt: skip
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
    shelf: Stocked, roll: Material, sheets: Sequence[Material], *,
    on_hand: Mapping[int, int], known: Mapping[int, Sequence[Change]],
) -> Stocked:  # fmt: skip
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
    for seat in preparing.unwelded(seats):
        by_class[seat.forge_class_id] += seam.wire_ug(
            metal.design_of(seat), house=house, alloys=book
        )
    return [
        Change(one.metal_by, -by_class[one.class_id], one.title)
        for one in classes
        if by_class[one.class_id]
    ]
