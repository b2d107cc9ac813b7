"""What buying holds a level against: a roll with its sheets, and sheets by their area."""

from __future__ import annotations

import pytest

from shop.buying import reading_facts
from shop.buying.answer import shopping_list
from stock.buying.worker_process import answer
from stock.house import House
from stock.ledger import by_hand, receiving, set_asides
from stock.models import Material, Piece
from tests.kinds import ClassMetal, Client, MakeClass, MakeMaterial, MakePiece, Person, Supplier
from tests.shop.buying_builders import IN, JUNE_27, TODAY, ends, facts, make_offer, put

FT2 = 144 * IN * IN


@pytest.fixture
def sheet(class_metal: ClassMetal, make_material: MakeMaterial, make_piece: MakePiece) -> Piece:
    """12 x 12 in of the roll's own copper: 24 in of a roll that is 6 in wide."""
    copper = make_material(form="sheet", alloy="c10200", thickness_nm=IN // 50, width_nm=0)
    made: Piece = make_piece(material=copper, width_nm=12 * IN, length_nm=12 * IN, price_cents=3000)
    return made


def lay_level(material: Material, level: int) -> None:
    """Give a material a reorder level."""
    Material.objects.filter(pk=material.pk).update(reorder_below=level)


def roll_of(class_metal: ClassMetal) -> Material:
    """The roll's material."""
    found: Material = class_metal["roll"].material
    return found


def test_sheets_count_towards_the_level_of_their_roll(
    class_metal: ClassMetal, sheet: Piece
) -> None:
    lay_level(roll_of(class_metal), 84 * IN)

    (stocked,) = facts().stocked

    # 60 in of roll and 144 in² over 6 in.
    assert (stocked.on_hand, stocked.level) == (84 * IN, 84 * IN)
    assert put().lacks == ()


def test_a_sheet_that_is_gone_takes_the_roll_below_its_level(
    class_metal: ClassMetal, sheet: Piece, owner: Person
) -> None:
    lay_level(roll_of(class_metal), 84 * IN)
    by_hand.scrap(piece=sheet, amount=sheet.on_hand, why="torn", by=owner)

    (lack,) = put().lacks

    assert lack.reorder is not None
    assert (lack.reorder.left, lack.reorder.missing) == (60 * IN, 24 * IN)


def test_sheets_on_order_count_for_the_roll_when_they_come(
    class_metal: ClassMetal, sheet: Piece, supplier: Supplier, owner: Person
) -> None:
    lay_level(roll_of(class_metal), 84 * IN)
    receiving.order(
        supplier=supplier,
        delivery_cents=0,
        on=TODAY,
        due=TODAY,
        by=owner,
        lines=[receiving.Line(sheet.material, 1, 3000, length_nm=12 * IN, width_nm=12 * IN)],
    )

    (stocked,) = facts().stocked

    assert [(one.amount, one.why) for one in stocked.changes] == [(24 * IN, "on order")]


def test_what_a_class_without_a_plan_takes_of_a_sheet_is_taken_from_the_roll(
    class_metal: ClassMetal, sheet: Piece, make_class: MakeClass, supplier: Supplier
) -> None:
    # Four copper blanks of 6 x 1-1/4 in come off the sheet, which planning takes first; all of
    # it counts as taken: 84 - 24 = 60 in are left, and 10 are missing.
    make_class(students=2, **ends(JUNE_27))
    lay_level(roll_of(class_metal), 70 * IN)

    (lack,) = put().lacks

    assert lack.reorder is not None
    assert (lack.reorder.left, lack.reorder.missing) == (60 * IN, 10 * IN)
    assert lack.reorder.why == "Copper blades"


def test_sheets_have_a_level_of_their_own_and_are_bought_by_area(
    class_metal: ClassMetal, sheet: Piece, supplier: Supplier
) -> None:
    # One square foot is there of two and a half: sheets of 1 ft² at 31.00, two of them.
    lay_level(sheet.material, FT2 * 5 // 2)
    make_offer(supplier, sheet.material, cents=3_100, length_nm=12 * IN, width_nm=12 * IN)

    asked = facts()
    found = shopping_list(asked, put(), answer(put().case, limit_s=5, tell=lambda _: None))

    assert found.best is not None
    (line,) = found.best.orders[0].lines
    assert (line.packs, line.width_nm, line.length_nm, line.cents) == (2, 12 * IN, 12 * IN, 6200)
    assert found.lacks[0].amount == FT2 * 3 // 2


@pytest.mark.slow
def test_the_buying_page_says_the_area_that_is_missing(
    as_owner: Client, class_metal: ClassMetal, sheet: Piece, supplier: Supplier, weighed_here: None
) -> None:
    lay_level(sheet.material, FT2 * 5 // 2)
    make_offer(supplier, sheet.material, cents=3_100, length_nm=12 * IN, width_nm=12 * IN)

    page = as_owner.post("/buying/", follow=True).text

    assert "<b>1.5 ft²</b> of" in page
    assert "1 ft² there, below the level of 2.5 ft²" in page


def test_a_sheet_that_a_plan_has_promised_is_not_there_for_a_level(
    sheet: Piece, owner: Person
) -> None:
    promise = set_asides.Promise(
        piece_id=sheet.pk,
        kind="blank",
        amount=IN * IN,
        length_nm=IN,
        width_nm=IN,
        job="billet:1",
        position=1,
    )
    set_asides.set_aside(plan="class:1", promises=[promise], by=owner)
    assert sheet.material_id not in reading_facts.amounts_on_hand(house=House())
