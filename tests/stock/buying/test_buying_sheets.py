"""Rolls and sheets: laid out first, then bought by what the layout takes."""

import pytest

from stock.buying.best import buy
from stock.buying.case import Break, BuyingCase, Goods, SheetNeed
from stock.buying.sheets import Laid, laid_on, shop_layout
from stock.cutting.plans.plan import Rectangle
from tests.stock.buying_builders import (
    ALDER,
    MM,
    best_of,
    packs_of,
)


def make_copper(*pieces: tuple[int, int, int], may_turn: bool = True) -> SheetNeed:
    rectangles = tuple(
        Rectangle(width * MM, length * MM, count, may_turn) for width, length, count in pieces
    )
    return SheetNeed("copper", "copper strip", rectangles)


def make_goods(
    key: str,
    form: str,
    *,
    width: int,
    length: int,
    cents: int,
    amount: int = 1,
    from_packs: int = 1,
) -> Goods:
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


def laid(goods: Goods, need: SheetNeed) -> Laid:
    found = laid_on(goods, need, lay=shop_layout)
    assert found is not None
    return found


def test_a_roll_by_the_length_is_bought_in_whole_steps() -> None:
    # four of 38 x 150 side by side on 152 take 150 mm, two more turned another 76: one step
    roll = make_goods("roll", "by-length", width=152, length=305, cents=900)

    found = laid(roll, make_copper((38, 150, 6)))

    assert found.packs == 1
    assert found.plan.roll_length_nm == 226 * MM


def test_a_smallest_length_is_kept() -> None:
    roll = make_goods("roll", "by-length", width=152, length=305, cents=900, from_packs=3)

    assert laid(roll, make_copper((38, 150, 6))).packs == 3


def test_sheets_are_counted_by_the_layout() -> None:
    # four of 100 x 100 on each 200 x 200; nine pieces need three sheets
    sheet = make_goods("sheet", "sheet", width=200, length=200, cents=900)

    assert laid(sheet, make_copper((100, 100, 9))).packs == 3


def test_sheets_in_packs_are_bought_in_packs() -> None:
    pair = make_goods("pair", "sheet", width=200, length=200, cents=900, amount=2)

    assert laid(pair, make_copper((100, 100, 9))).packs == 2


@pytest.mark.slow
def test_a_whole_roll_suffices_or_another_is_taken() -> None:
    roll = make_goods("roll", "roll", width=100, length=1_000, cents=900)

    assert laid(roll, make_copper((100, 300, 3))).packs == 1
    assert laid(roll, make_copper((100, 300, 4))).packs == 2


def test_a_piece_that_fits_on_nothing_is_told() -> None:
    narrow = make_goods("roll", "by-length", width=50, length=305, cents=900)
    case = BuyingCase((make_copper((60, 80, 1)),), (narrow,), (ALDER,))

    bought = buy(case)

    assert bought.best is None
    assert "fit on no roll or sheet" in bought.uncovered[0].sentence


def test_grain_can_keep_a_piece_from_fitting() -> None:
    narrow = make_goods("roll", "by-length", width=50, length=305, cents=900)

    assert laid_on(narrow, make_copper((80, 40, 1)), lay=shop_layout) is not None
    assert laid_on(narrow, make_copper((80, 40, 1), may_turn=False), lay=shop_layout) is None


def test_more_sheets_than_anybody_would_lay_out_are_not_tried() -> None:
    sheet = make_goods("sheet", "sheet", width=100, length=100, cents=900)

    assert laid_on(sheet, make_copper((100, 100, 41)), lay=shop_layout) is None


@pytest.mark.parametrize(("sheet_cents", "chosen"), [(1_700, "sheet"), (1_900, "roll")])
def test_the_cheaper_of_roll_and_sheet_is_bought(sheet_cents: int, chosen: str) -> None:
    # eight of 50 x 100: one sheet of 200 x 200, or 200 mm of the roll in two steps of 9.00
    goods = (
        make_goods("roll", "by-length", width=200, length=100, cents=900),
        make_goods("sheet", "sheet", width=200, length=200, cents=sheet_cents),
    )
    case = BuyingCase((make_copper((50, 100, 8)),), goods, (ALDER,))

    best = best_of(case)

    assert packs_of(best) == {chosen: 2 if chosen == "roll" else 1}
    assert len(best.sheets["copper"].placed) == 8
    assert best.is_proved
