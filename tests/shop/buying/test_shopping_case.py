"""The buying problem as it is put to the solver, and its answer: goods, needs, what nobody sells.

The rack holds one 36 in bar of cladding, enough for five blanks of 6 in.
"""

import json

from shop.buying import reading_facts
from shop.buying.answer import shopping_list
from shop.buying.list import ShoppingList
from stock.buying.case import AmountNeed, Break, SheetNeed
from stock.buying.worker_process import answer
from stock.house import House
from stock.ledger import by_hand, receiving
from stock.models import Material
from tests.kinds import (
    ClassMetal,
    DjangoAssertNumQueries,
    MakeClass,
    MakeLayup,
    MakeMaterial,
    MakePiece,
    Person,
    Saw,
    Supplier,
)
from tests.shop.buying_builders import (
    IN,
    JUNE_13,
    JUNE_27,
    LB,
    TODAY,
    cladding,
    ends,
    facts,
    make_offer,
    put,
)


def test_needs_are_rounded_up_and_packs_down_in_the_solvers_units(
    make_piece: MakePiece, make_material: MakeMaterial, supplier: Supplier
) -> None:
    wire = Material.objects.create(form="wire", alloy="er70s-6", diameter_nm=762_000)
    make_piece(material=wire, mass_ug=LB)
    Material.objects.update(reorder_below=2 * LB)
    make_offer(supplier, wire, cents=4590, mass_ug=LB)

    asked = put()

    need, goods = asked.case.needs[0], asked.case.goods[0]
    assert isinstance(need, AmountNeed)
    assert (need.amount, goods.amount) == (453_593, 453_592)


def test_price_breaks_are_one_goods_and_another_length_is_not(
    saw: Saw, make_class: MakeClass, make_material: MakeMaterial, supplier: Supplier
) -> None:
    make_class(students=1, **ends(JUNE_27))
    bar = make_material(alloy="1084")
    first = make_offer(supplier, bar, cents=1640, length_nm=72 * IN)
    make_offer(supplier, bar, cents=1500, length_nm=72 * IN, from_packs=4)
    make_offer(supplier, bar, cents=920, length_nm=36 * IN)

    asked = put()

    goods = [one for one in asked.case.goods if asked.offers[one.key].alloy == "1084"]
    assert [one.prices for one in goods] == [(Break(1, 1640), Break(4, 1500)), (Break(1, 920),)]
    assert asked.offers[goods[0].key].offer_id == first.pk


def test_copper_is_bought_as_roll_or_sheet_and_their_areas_are_compared(
    saw: Saw,
    make_layup: MakeLayup,
    make_class: MakeClass,
    make_material: MakeMaterial,
    supplier: Supplier,
) -> None:
    # A roll 12 in x 10 ft for 174.00 is 17.40 a square foot; a sheet 1 x 2 ft for 41.50, 20.75.
    make_class(students=1, layup=make_layup(layers=[("c11000", IN // 50, "line")]), **ends(JUNE_27))
    roll = make_material(form="roll", alloy="c11000", thickness_nm=IN // 50, width_nm=12 * IN)
    sheet = make_material(form="sheet", alloy="c11000", thickness_nm=IN // 50, width_nm=0)
    make_offer(supplier, roll, cents=17_400, length_nm=120 * IN)
    make_offer(supplier, sheet, cents=4_150, width_nm=12 * IN, length_nm=24 * IN)

    asked = facts()
    asked_for = put()
    found = shopping_list(asked, asked_for, answer(asked_for.case, limit_s=5, tell=lambda _: None))

    assert isinstance(asked_for.case.needs[0], SheetNeed)
    assert [(one.form, one.cents_per_ft2) for one in found.areas] == [
        ("roll", 1_740),
        ("sheet", 2_075),
    ]
    assert found.best is not None
    assert [line.form for order in found.best.orders for line in order.lines] == ["sheet"]
    assert ShoppingList.from_json(json.loads(json.dumps(found.to_json()))) == found


def test_what_nobody_sells_is_told_and_the_rest_is_bought(
    saw: Saw,
    make_layup: MakeLayup,
    make_class: MakeClass,
    make_material: MakeMaterial,
    supplier: Supplier,
) -> None:
    layers = [("1095", IN // 4, "core"), ("1084", IN // 8, "cladding")]
    make_class(students=1, layup=make_layup(layers=layers), **ends(JUNE_27))
    make_offer(supplier, make_material(alloy="1084"), cents=920, length_nm=36 * IN)

    asked_for = put()
    told = answer(asked_for.case, limit_s=5, tell=lambda _: None)
    found = shopping_list(facts(), asked_for, told)

    assert {lack.label: lack.uncovered for lack in found.lacks} == {
        "1084 1/8 × 1-1/4 in": "",
        "1095 1/4 × 1-1/4 in": "Nobody offers 1095 1/4 × 1-1/4 in; enter an offer for it.",
    }
    assert found.best is not None
    assert found.best.cents == 920
    assert found.leftovers[0].lengths_nm == (761_000_000,)  # 914.4 less 152.4 and a kerf


def test_the_facts_print_changes_with_a_price_and_not_by_itself(
    class_metal: ClassMetal, make_class: MakeClass, supplier: Supplier
) -> None:
    make_class(students=3, **ends(JUNE_27))
    offer = make_offer(supplier, cladding(), cents=900, length_nm=12 * IN)
    before = facts().fingerprint()

    assert facts().fingerprint() == before
    offer.price_cents = 901
    offer.save()
    assert facts().fingerprint() != before


def test_reading_takes_as_many_queries_for_many_seats(
    class_metal: ClassMetal,
    make_class: MakeClass,
    django_assert_max_num_queries: DjangoAssertNumQueries,
) -> None:
    layup = make_class(students=6, **ends(JUNE_13)).layup
    make_class(students=8, layup=layup, **ends(JUNE_27))

    with django_assert_max_num_queries(24):
        reading_facts.asked(house=House(), today=TODAY)


def test_a_roll_cut_to_order_is_bought_as_one_length_at_its_whole_price(
    make_class: MakeClass,
    class_metal: ClassMetal,
    make_material: MakeMaterial,
    supplier: Supplier,
    owner: Person,
) -> None:
    # Six copper blanks of 6 x 1-1/4 in lie turned across the 6 in of the roll: 7-1/2 in of it.
    # Sold from 6 in on in steps of 3 in at 4.00 a step: three steps, one roll of 9 in, 12.00,
    # and 1-1/2 in of it are left.
    make_class(students=3, **ends(JUNE_27))
    by_hand.scrap(piece=class_metal["roll"], amount=60 * IN, why="lost", by=owner)
    for key in ("cladding", "core"):
        receiving.buy(
            supplier=supplier,
            delivery_cents=0,
            on=TODAY,
            by=owner,
            lines=[receiving.Line(class_metal[key].material, 3, 6000, length_nm=36 * IN)],
        )
    make_offer(
        supplier,
        class_metal["roll"].material,
        cents=1_600,
        length_nm=12 * IN,
        step_nm=3 * IN,
        least_nm=6 * IN,
    )

    asked = facts()
    found = shopping_list(asked, put(), answer(put().case, limit_s=5, tell=lambda _: None))

    assert found.best is not None
    (line,) = found.best.orders[0].lines
    assert (line.packs, line.per_pack, line.length_nm, line.cents) == (1, 1, 9 * IN, 1200)
    assert found.is_proved
    (left,) = found.leftovers
    assert [(area.width_nm, area.length_nm) for area in left.areas] == [(6 * IN, 38_100_000)]


def test_a_level_is_filled_up_by_a_roll_cut_to_order(
    class_metal: ClassMetal, supplier: Supplier
) -> None:
    # 60 in are there of 100: 40 in are missing, 14 steps of 3 in at 4.00, one roll of 42 in.
    roll = class_metal["roll"].material
    Material.objects.filter(pk=roll.pk).update(reorder_below=100 * IN)
    make_offer(supplier, roll, cents=1_600, length_nm=12 * IN, step_nm=3 * IN, least_nm=6 * IN)

    asked = facts()
    found = shopping_list(asked, put(), answer(put().case, limit_s=5, tell=lambda _: None))

    assert found.best is not None
    (line,) = found.best.orders[0].lines
    assert (line.packs, line.length_nm, line.cents) == (1, 42 * IN, 5600)
