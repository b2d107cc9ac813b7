"""What buying is asked: price lists, breaks, areas, and cases that cannot be."""

import pytest

from stock.buying.case import Break, BuyingCase, Goods, SupplierTerms, area_prices, merged_breaks
from stock.quantities.money import MoneyError
from tests.stock.buying_builders import ALDER, make_wire


def test_a_key_that_stands_twice_is_refused() -> None:
    with pytest.raises(MoneyError, match="'spool' stands twice"):
        BuyingCase((), (make_wire("spool", cents=1, amount=1),) * 2, (ALDER,))


def test_an_unknown_supplier_is_refused_by_name() -> None:
    with pytest.raises(MoneyError, match="'Alder Metals', who is not among the suppliers"):
        BuyingCase((), (make_wire("spool", cents=1, amount=1),), ())


def test_goods_and_breaks_that_cannot_be_are_refused() -> None:
    with pytest.raises(MoneyError, match="has no price"):
        Goods("spool", "Alder Metals", "wire", "amount", ())
    with pytest.raises(MoneyError, match="holds 0; give 1"):
        make_wire("spool", cents=1, amount=0)
    with pytest.raises(MoneyError, match="from 0 packs on"):
        Break(0, 1)
    with pytest.raises(MoneyError, match="days to deliver was given as -1"):
        SupplierTerms("Alder Metals", -1)


def test_rows_of_a_price_list_become_one_goods_with_breaks() -> None:
    rows = (
        make_wire("a", cents=1_400, amount=1_000),
        make_wire("b", cents=0, amount=1_000, prices=(Break(5, 1_200),)),
        make_wire("c", cents=900, amount=500),
    )

    merged = merged_breaks(rows)

    assert [one.key for one in merged] == ["a", "c"]
    assert merged[0].prices == (Break(1, 1_400), Break(5, 1_200))


def test_roll_against_sheet_by_the_area() -> None:
    foot_nm = 304_800_000
    roll = Goods(
        "roll",
        "Alder Metals",
        "copper",
        "by-length",
        (Break(3, 1_200), Break(10, 1_000)),
        length_nm=foot_nm,
        width_nm=foot_nm,
    )
    sheet = Goods(
        "sheet",
        "Alder Metals",
        "copper",
        "sheet",
        (Break(1, 9_200),),
        length_nm=4 * foot_nm,
        width_nm=2 * foot_nm,
    )

    found = area_prices([roll, sheet, make_wire("spool", cents=1, amount=1)])

    assert [one.goods.key for one in found] == ["sheet", "roll"]
    assert [one.cents_per_ft2 for one in found] == [1_150, 1_200]
    assert found[1].best_cents_per_m2 < found[0].cents_per_m2
