"""Purchases that become marked pieces, worth what was paid to the cent."""

from datetime import date
from typing import Any

import pytest

from stock.ledger import by_hand, receiving
from stock.ledger.proof import proved
from stock.ledger.receiving import Line
from stock.ledger.refusals import BadAmount, CannotUndo
from stock.models import Entry, Piece, Purchase
from tests.kinds import MakeMaterial, MakePiece, Person, Supplier

IN = 25_400_000
MM = 1_000_000
DAY = date(2026, 3, 2)
pytestmark = pytest.mark.django_db


def test_three_bars_share_the_price_and_the_delivery_to_the_cent(
    make_material: MakeMaterial, supplier: Supplier, owner: Person
) -> None:
    bars = Line(material=make_material(), count=3, price_cents=1000, length_nm=36 * IN)
    other = Line(material=make_material(alloy="1095"), count=1, price_cents=3000, length_nm=36 * IN)

    pieces = receiving.buy(
        supplier=supplier, lines=[bars, other], delivery_cents=101, on=DAY, by=owner
    )

    # 101 cents by value: 25.25 and 75.75, so 25 and 76. 10.25 over three bars: 342, 342, 341.
    worth = [Piece.objects.get(pk=piece.pk).value_cents for piece in pieces]
    assert worth == [342, 342, 341, 3076]
    assert sum(worth) == 4101


def test_delivery_of_things_that_cost_nothing_is_shared_equally(
    make_material: MakeMaterial, supplier: Supplier, owner: Person
) -> None:
    gifts = [
        Line(material=make_material(), count=1, price_cents=0, length_nm=IN),
        Line(material=make_material(alloy="1095"), count=1, price_cents=0, length_nm=IN),
    ]

    pieces = receiving.buy(supplier=supplier, lines=gifts, delivery_cents=101, on=DAY, by=owner)

    assert [Piece.objects.get(pk=piece.pk).value_cents for piece in pieces] == [51, 50]


def test_each_piece_knows_its_purchase_lot_and_place(
    make_material: MakeMaterial, supplier: Supplier, owner: Person
) -> None:
    line = Line(
        material=make_material(),
        count=2,
        price_cents=10,
        length_nm=IN,
        heat_lot="H 7",
        place="rack 2",
    )

    pieces = receiving.buy(
        supplier=supplier, lines=[line], delivery_cents=0, on=DAY, by=owner, reference="A-1"
    )

    assert {(p.heat_lot, p.place) for p in pieces} == {("H 7", "rack 2")}
    assert {p.line.purchase.reference for p in pieces if p.line} == {"A-1"}
    assert len({p.mark for p in pieces}) == 2


def test_counted_things_are_one_box(
    make_material: MakeMaterial, supplier: Supplier, owner: Person
) -> None:
    belts = make_material(form="counted", alloy="", name="belt 36 grit", thickness_nm=0, width_nm=0)
    line = Line(material=belts, count=1000, price_cents=2500)

    pieces = receiving.buy(supplier=supplier, lines=[line], delivery_cents=0, on=DAY, by=owner)

    (box,) = pieces
    box.refresh_from_db()
    assert (box.on_hand, box.value_cents) == (1000, 2500)


def test_an_order_brings_nothing_before_it_is_received(
    make_material: MakeMaterial, supplier: Supplier, owner: Person
) -> None:
    line = Line(material=make_material(), count=2, price_cents=10, length_nm=IN)

    order = receiving.order(
        supplier=supplier, lines=[line], delivery_cents=0, on=DAY, due=None, by=owner
    )

    assert Piece.objects.count() == 0
    assert len(receiving.receive(purchase=order, on=DAY, by=owner)) == 2
    order.refresh_from_db()
    assert (order.state, order.received_on) == ("received", DAY)


def test_an_order_is_received_once_and_a_dropped_one_never(
    make_material: MakeMaterial, supplier: Supplier, owner: Person
) -> None:
    line = Line(material=make_material(), count=1, price_cents=10, length_nm=IN)
    came, gone = (
        receiving.order(
            supplier=supplier, lines=[line], delivery_cents=0, on=DAY, due=None, by=owner
        )
        for _ in range(2)
    )
    receiving.receive(purchase=came, on=DAY, by=owner)
    receiving.drop(purchase=gone)

    with pytest.raises(BadAmount, match="was received already"):
        receiving.receive(purchase=came, on=DAY, by=owner)
    with pytest.raises(BadAmount, match="was dropped already"):
        receiving.receive(purchase=gone, on=DAY, by=owner)
    with pytest.raises(BadAmount, match="was received already"):
        receiving.drop(purchase=came)

    assert Piece.objects.count() == 1


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"length_nm": 0}, "above nothing"),
        ({"count": 0}, "above nothing"),
        ({"count": 201}, "201 pieces are more than the 200"),
    ],
)
def test_a_line_without_metal_or_with_too_many_marks_is_refused(
    make_material: MakeMaterial,
    supplier: Supplier,
    owner: Person,
    change: dict[str, int],
    told: str,
) -> None:
    given: dict[str, Any] = {"count": 1, "price_cents": 10, "length_nm": IN} | change
    line = Line(material=make_material(), **given)

    with pytest.raises(BadAmount, match=told):
        receiving.buy(supplier=supplier, lines=[line], delivery_cents=0, on=DAY, by=owner)

    assert (Purchase.objects.count(), Piece.objects.count()) == (0, 0)


def test_a_sheet_too_large_for_the_books_is_refused(
    make_material: MakeMaterial, supplier: Supplier, owner: Person
) -> None:
    sheet = make_material(form="sheet", alloy="c11000", thickness_nm=MM, width_nm=0)
    line = Line(material=sheet, count=1, price_cents=10, length_nm=4000 * MM, width_nm=3000 * MM)

    with pytest.raises(BadAmount, match="at most 9 m²"):
        receiving.buy(supplier=supplier, lines=[line], delivery_cents=0, on=DAY, by=owner)


def test_a_purchase_without_a_line_is_refused(supplier: Supplier, owner: Person) -> None:
    with pytest.raises(BadAmount, match="at least one line"):
        receiving.buy(supplier=supplier, lines=[], delivery_cents=0, on=DAY, by=owner)


def test_a_receipt_taken_back_drops_its_purchase_and_the_books_add_up(
    make_bar: MakePiece, owner: Person
) -> None:
    bar = make_bar(price_cents=2400)
    act = Entry.objects.get(piece=bar).act

    by_hand.undo(act=act, by=owner, why="entered twice")

    bar.refresh_from_db()
    assert (bar.on_hand, bar.value_cents) == (0, 0)
    assert Purchase.objects.get().state == "dropped"
    proof = proved()
    assert (proof.faults, proof.bought_cents) == ((), 0)


def test_a_receipt_is_not_taken_back_once_metal_of_it_is_cut(
    make_bar: MakePiece, owner: Person
) -> None:
    bar = make_bar()
    by_hand.scrap(piece=bar, amount=IN, why="bent", by=owner)

    with pytest.raises(CannotUndo, match=bar.mark):
        by_hand.undo(act=bar.entries.get(kind="received").act, by=owner)

    assert Purchase.objects.get().state == "received"
