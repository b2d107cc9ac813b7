"""Rolls and sheets: laid out first, then bought by what the layout takes."""

import pytest

from stock.buying import buy
from stock.buying_case import Break, BuyingCase, Goods, SheetNeed
from stock.buying_sheets import laid_on, shop_layout
from stock.cutting.plan import Rectangle
from tests.stock.buying_builders import ALDER, MM, packs_of


def make_copper(*pieces, may_turn=True):
    rectangles = tuple(
        Rectangle(width * MM, length * MM, count, may_turn) for width, length, count in pieces
    )
    return SheetNeed("copper", "copper strip", rectangles)


def make_goods(key, form, *, width, length, cents, amount=1, from_packs=1):
    return Goods(
        key,
        "Alder Metals",
        "copper",
        form,
        (Break(from_packs, cents),),
        length_nm=length * MM,
        width_nm=width * MM,
        amount=amount,
    )


def test_a_roll_by_the_length_is_bought_in_whole_steps():
    # four of 38 x 150 side by side on 152 take 150 mm, two more turned another 76: one step
    roll = make_goods("roll", "by-length", width=152, length=305, cents=900)

    laid = laid_on(roll, make_copper((38, 150, 6)), lay=shop_layout)

    assert laid.packs == 1
    assert laid.plan.roll_length_nm == 226 * MM


def test_a_smallest_length_is_kept():
    roll = make_goods("roll", "by-length", width=152, length=305, cents=900, from_packs=3)

    assert laid_on(roll, make_copper((38, 150, 6)), lay=shop_layout).packs == 3


def test_sheets_are_counted_by_the_layout():
    # four of 100 x 100 on each 200 x 200; nine pieces need three sheets
    sheet = make_goods("sheet", "sheet", width=200, length=200, cents=900)

    assert laid_on(sheet, make_copper((100, 100, 9)), lay=shop_layout).packs == 3


def test_sheets_in_packs_are_bought_in_packs():
    pair = make_goods("pair", "sheet", width=200, length=200, cents=900, amount=2)

    assert laid_on(pair, make_copper((100, 100, 9)), lay=shop_layout).packs == 2


def test_a_whole_roll_suffices_or_another_is_taken():
    roll = make_goods("roll", "roll", width=100, length=1_000, cents=900)

    assert laid_on(roll, make_copper((100, 300, 3)), lay=shop_layout).packs == 1
    assert laid_on(roll, make_copper((100, 300, 4)), lay=shop_layout).packs == 2


def test_a_piece_that_fits_on_nothing_is_told():
    narrow = make_goods("roll", "by-length", width=50, length=305, cents=900)
    case = BuyingCase((make_copper((60, 80, 1)),), (narrow,), (ALDER,))

    bought = buy(case)

    assert bought.best is None
    assert "fit on no roll or sheet" in bought.uncovered[0].sentence


def test_grain_can_keep_a_piece_from_fitting():
    narrow = make_goods("roll", "by-length", width=50, length=305, cents=900)

    assert laid_on(narrow, make_copper((80, 40, 1)), lay=shop_layout) is not None
    assert laid_on(narrow, make_copper((80, 40, 1), may_turn=False), lay=shop_layout) is None


def test_more_sheets_than_anybody_would_lay_out_are_not_tried():
    sheet = make_goods("sheet", "sheet", width=100, length=100, cents=900)

    assert laid_on(sheet, make_copper((100, 100, 41)), lay=shop_layout) is None


@pytest.mark.parametrize(("sheet_cents", "chosen"), [(1_700, "sheet"), (1_900, "roll")])
def test_the_cheaper_of_roll_and_sheet_is_bought(sheet_cents, chosen):
    # eight of 50 x 100: one sheet of 200 x 200, or 200 mm of the roll in two steps of 9.00
    goods = (
        make_goods("roll", "by-length", width=200, length=100, cents=900),
        make_goods("sheet", "sheet", width=200, length=200, cents=sheet_cents),
    )
    case = BuyingCase((make_copper((50, 100, 8)),), goods, (ALDER,))

    best = buy(case).best

    assert packs_of(best) == {chosen: 2 if chosen == "roll" else 1}
    assert len(best.sheets["copper"].placed) == 8
    assert best.is_proved
