"""`manage.py bench buying`: the same cases from a seed, and never dearer than by eye."""

import json
from io import StringIO

import pytest
from django.core.management import call_command

from stock.buying.bench_cases import by_eye_cents, made_cases
from stock.buying.case import AmountNeed, BarNeed, BuyingCase, SheetNeed, SupplierTerms
from stock.cutting.plans.plan import Wanted
from tests.stock.buying_builders import ALDER, MM, make_bar, make_wire


def bench(*words: str) -> str:
    out = StringIO()
    call_command("bench", "buying", *words, stdout=out)
    return out.getvalue()


def test_a_seed_makes_the_same_cases_again_and_another_seed_others() -> None:
    assert made_cases(4, seed=7) == made_cases(4, seed=7)
    assert made_cases(1, seed=7)[0][1] != made_cases(1, seed=8)[0][1]


def test_the_cases_have_bars_amounts_and_sometimes_copper() -> None:
    kinds = [{type(need) for need in case.needs} for _, case in made_cases(4, seed=1)]

    assert kinds[0] == kinds[3] == {BarNeed, AmountNeed, SheetNeed}
    assert kinds[1] == {BarNeed, AmountNeed}


def test_by_eye_takes_what_is_cheapest_alone_and_pays_each_delivery() -> None:
    # Three pieces of 300 mm: one bar of 1 m for 20.00 at Alder's, delivery 15.00. Wire is 1.00
    # cheaper at Birch's and costs a delivery of 9.00 for it: 20 + 15 + 39 + 9.
    birch = SupplierTerms("Birch Supply", days=3, delivery_cents=900)
    case = BuyingCase(
        (BarNeed("steel", "steel", (Wanted(300 * MM, 3),)), AmountNeed("wire", "wire", 5_000)),
        (
            make_bar("bar", cents=2_000, length_nm=1_000 * MM),
            make_wire("dear", cents=4_000, amount=5_000),
            make_wire("cheap", cents=3_900, amount=5_000, supplier="Birch Supply"),
        ),
        (ALDER, birch),
    )

    assert by_eye_cents(case) == 8_300


def test_by_eye_fills_an_order_up_to_the_suppliers_minimum() -> None:
    # One spool for 39.00 is under the minimum of 50.00, so there are two: 78 + 9.
    birch = SupplierTerms("Birch Supply", days=3, delivery_cents=900, minimum_cents=5_000)
    wire = make_wire("wire", cents=3_900, amount=5_000, supplier="Birch Supply")
    case = BuyingCase((AmountNeed("wire", "wire", 5_000),), (wire,), (birch,))

    assert by_eye_cents(case) == 8_700


@pytest.mark.slow
def test_the_command_writes_a_line_of_json_a_case_and_is_never_dearer_than_by_eye() -> None:
    lines = [json.loads(line) for line in bench("--made", "2", "--json").splitlines()]

    assert [line["name"] for line in lines] == ["buying-1-0", "buying-1-1"]
    assert all(line["cents"] <= line["by_eye_cents"] for line in lines)
    assert all(line["at_least_cents"] <= line["cents"] for line in lines)


@pytest.mark.slow
def test_people_get_a_summary() -> None:
    told = bench("--made", "1", "--seed", "3")

    assert "1 cases:" in told
    assert "by eye" in told
