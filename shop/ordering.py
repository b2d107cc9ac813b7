"""A supplier's part of a shopping list becomes an order, once. The only writer of it.

OrderingError
├── NotThere     the list, the way or the supplier is not there to be ordered
├── OtherWay     orders were placed from another way of the same list
├── FactsChanged what the list rests on has changed since
└── AlreadyOrdered  this part was ordered already; `.purchase_id`
"""

from __future__ import annotations

from django.db import transaction

from shop import shopping
from shop.models import BuyingRun
from shop.shopping_list import BuyLine, BuyOrder, ShoppingList
from stock import clock, receiving
from stock.house import House
from stock.models import Form, Material, Purchase, Supplier
from stock.who import Person

State = BuyingRun.State


class OrderingError(ValueError):
    """Nothing was ordered; the text is the sentence for the user."""


class NotThere(OrderingError):
    """The list, the way or the supplier is not there to be ordered."""


class OtherWay(OrderingError):
    """Orders were placed from another way of the same list."""


class FactsChanged(OrderingError):
    """What the list rests on has changed since."""


class AlreadyOrdered(OrderingError):
    """This part was ordered already; `.purchase_id` is that order."""

    def __init__(self, supplier: str, purchase_id: int) -> None:
        self.purchase_id = purchase_id
        super().__init__(f"This order with {supplier} was placed already.")


@transaction.atomic
def place_order(*, run: BuyingRun, way: str, supplier: str, house: House, by: Person) -> Purchase:
    """Turn one supplier's part of one way into an order.

    Args:
        run: a look that is ready.
        way: which of its ways.
        supplier: whose part.
        house: the shop's settings, to see whether the facts still hold.
        by: who orders.

    Raises:
        OrderingError: it cannot be ordered from this list; nothing was ordered.
    """
    held = BuyingRun.objects.select_for_update(of=("self",)).get(pk=run.pk)
    if supplier in held.ordered:
        raise AlreadyOrdered(supplier, held.ordered[supplier])
    part = part_of(held, way=way, supplier=supplier)
    if held.chosen and held.chosen != way:
        raise OtherWay(
            "Part of another choice from this list is on order, so this one would buy some of "
            "it twice. Look again to see what is still short."
        )
    is_newest = not BuyingRun.objects.filter(pk__gt=held.pk, state=State.READY).exists()
    if not is_newest or facts_changed(held, house=house):
        raise FactsChanged(
            "The rack, a class or a price has changed since this list was made. Look again."
        )
    purchase = ordered(part, by=by)
    held.chosen, held.ordered = way, {**held.ordered, supplier: purchase.pk}
    # the order itself is a change; what is left of the list still holds after it
    held.asked_print = shopping.asked(house=house, today=clock.today()).fingerprint()
    held.save(update_fields=["chosen", "ordered", "asked_print"])
    return purchase


def part_of(run: BuyingRun, *, way: str, supplier: str) -> BuyOrder:
    """One supplier's part of one way of a list."""
    if run.state != State.READY:
        raise NotThere("This list is not ready. Look again.")
    chosen = ShoppingList.from_json(run.result).way(way)
    for order in chosen.orders if chosen else ():
        if order.supplier == supplier:
            return order
    raise NotThere(f"This list has nothing to order from {supplier}. Look again.")


def facts_changed(run: BuyingRun, *, house: House) -> bool:
    """Whether what a list rests on is not what it was."""
    return shopping.asked(house=house, today=clock.today()).fingerprint() != run.asked_print


def ordered(part: BuyOrder, *, by: Person) -> Purchase:
    """Write the order down."""
    supplier = Supplier.objects.filter(name=part.supplier).first()
    if supplier is None:
        raise NotThere(f"{part.supplier} is not among the suppliers any more. Look again.")
    materials = Material.objects.in_bulk([line.material_id for line in part.lines])
    today = clock.today()
    return receiving.order(
        supplier=supplier,
        lines=[one for line in part.lines for one in lines_of(line, materials[line.material_id])],
        delivery_cents=part.delivery_cents,
        on=today,
        due=part.arrives(today),
        by=by,
        note="from the shopping list",
    )


def lines_of(line: BuyLine, material: Material) -> list[receiving.Line]:
    """One line of the list as lines of a purchase, none with more pieces than can be marked."""
    most = line.pieces if material.form == Form.COUNTED else receiving.MOST_PIECES
    found, done, paid = [], 0, 0
    while done < line.pieces:
        count = min(most, line.pieces - done)
        done += count
        upto = line.cents * done // line.pieces
        found.append(
            receiving.Line(
                material=material, count=count, price_cents=upto - paid,
                length_nm=line.length_nm, width_nm=line.width_nm, mass_ug=line.mass_ug,
            )
        )  # fmt: skip
        paid = upto
    return found
