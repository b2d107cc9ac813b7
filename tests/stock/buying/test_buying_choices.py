"""What else could be bought, and how it compares."""

from stock.buying.alternatives import choices
from stock.buying.best import buy
from stock.buying.case import AmountNeed, BuyingCase
from tests.stock.buying_builders import (
    ALDER,
    BIRCH,
    MM,
    make_bar,
    make_steel,
    make_wire,
    packs_of,
    the_best,
)


def test_who_cannot_deliver_in_time_is_passed_over_and_told_as_late() -> None:
    case = BuyingCase(
        needs=(AmountNeed("wire", "wire", 900, days_left=4),),
        goods=(
            make_wire("spool", cents=1_000, amount=1_000),
            make_wire("spool elsewhere", cents=2_100, amount=1_000, supplier="Birch Supply"),
        ),
        suppliers=(ALDER, BIRCH),
    )

    bought = buy(case)

    assert packs_of(the_best(bought)) == {"spool elsewhere": 1}
    late = choices(case, bought=bought)[-1]
    assert late.kind == "late"
    # 10.00 + 15.00 against 21.00 + 9.00
    assert late.sentence == (
        "All from Alder Metals it costs 17 % less, but some of it comes too late."
    )


def test_the_runner_up_says_what_it_costs_and_when_it_comes() -> None:
    # Alder: 11.00 + 14.00 + 15.00 = 40.00 in five days; Birch: 15.00 + 18.40 + 9.00 = 42.40
    case = BuyingCase(
        needs=(make_steel((900 * MM, 1)), AmountNeed("wire", "wire", 900)),
        goods=(
            make_bar("bar", cents=1_100, length_nm=1_000 * MM),
            make_bar("bar elsewhere", cents=1_500, length_nm=1_000 * MM, supplier="Birch Supply"),
            make_wire("spool", cents=1_400, amount=1_000),
            make_wire("spool elsewhere", cents=1_840, amount=1_000, supplier="Birch Supply"),
        ),
        suppliers=(ALDER, BIRCH),
    )

    bought = buy(case)
    found = choices(case, bought=bought)

    assert the_best(bought).cents == 4_000
    assert found[0].sentence == "All from Birch Supply it costs 6 % more and arrives 2 days sooner."
    assert (found[0].dearer_cents, found[0].days_sooner) == (240, 2)


def test_a_hardly_dearer_and_faster_supplier_is_offered() -> None:
    # 9.00 + 15.00 against 15.10 + 9.00
    case = BuyingCase(
        needs=(AmountNeed("wire", "wire", 900),),
        goods=(
            make_wire("spool", cents=900, amount=1_000),
            make_wire("spool elsewhere", cents=1_510, amount=1_000, supplier="Birch Supply"),
        ),
        suppliers=(ALDER, BIRCH),
    )

    found = choices(case, bought=buy(case))

    assert [one.kind for one in found] == ["one-supplier"]
    assert found[0].sentence == (
        "All from Birch Supply it costs under half a percent more and arrives 2 days sooner."
    )
