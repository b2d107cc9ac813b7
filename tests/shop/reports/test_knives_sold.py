"""The report of knives that were sold: each with its margin, their total, the file, who sees it."""

from __future__ import annotations

import csv
import io
from datetime import date
from typing import Any

import pytest
from django.urls import reverse

from shop.knives import writing as knives
from shop.models import Knife
from shop.rates import writing as rates
from shop.reports import knives_sold
from shop.reports.span import Span
from stock.house import House
from tests.kinds import Client, DjangoAssertNumQueries, Person
from tests.shop.knife_posts import SHEET

FILE = "shop:report-csv"


@pytest.fixture
def two_sold(owner: Person) -> tuple[Knife, Knife]:
    """Two hours at one that brought 160.00, and one at 50.00 without hours, a year later."""
    rates.set_rates(from_date=date(2020, 1, 1), values=SHEET, by=owner)
    first = knives.make_knife(pattern="petty", by=owner)
    knives.add_minutes(knife=first, step="grind", minutes=120, person=owner)
    knives.add_service(knife=first, name="engraving", cents=2400, by=owner)
    second = knives.make_knife(pattern="paring", by=owner)
    knives.add_service(knife=second, name="hardening", cents=1000, by=owner)
    knives.make_knife(pattern="not sold", by=owner)
    sell: dict[str, Any] = {"sold_to": "Ada Quince"}
    return (
        knives.sell(knife=first, sold_on=date(2025, 4, 1), price_cents=16_000, **sell),
        knives.sell(knife=second, sold_on=date(2026, 4, 1), price_cents=5000, **sell),
    )


def test_each_knife_sold_has_its_money_and_what_an_hour_earned(two_sold: Any) -> None:
    second, first = knives_sold.sold_knives(house=House())

    # 160.00 less 3 % card fee and 96.00: engraving 24.00, 2 h at 30.00 and at 6.00.
    assert (first.knife, first.money.cost_cents, first.money.profit_cents) == (
        two_sold[0],
        9600,
        5920,
    )
    assert (first.hours, first.earned_cents_per_hour) == ("2 h 00", 5960)
    assert (second.knife, second.money.profit_cents) == (two_sold[1], 3850)
    assert (second.hours, second.earned_cents_per_hour) == ("", None)


def test_the_total_is_of_all_money_and_of_the_hours_that_there_are(two_sold: Any) -> None:
    found = knives_sold.together(knives_sold.sold_knives(house=House()))

    assert (found.money.price_cents, found.money.cost_cents) == (21_000, 10_600)
    assert found.money.profit_cents == 9770
    assert found.earned_cents_per_hour == 5960


def test_only_sales_of_the_days_that_are_asked_for_count(two_sold: Any) -> None:
    year = Span(date(2025, 1, 1), date(2025, 12, 31))

    assert [row.knife for row in knives_sold.sold_knives(house=House(), span=year)] == [two_sold[0]]


def test_the_page_shows_the_total_and_both_shares(as_owner: Client, two_sold: Any) -> None:
    shown = as_owner.get(reverse("shop:reports")).text
    of_year = as_owner.get(reverse("shop:reports"), {"year": "2025"}).text
    of_none = as_owner.get(reverse("shop:reports"), {"year": "2020"}).text

    assert "2 for $210.00" in shown
    assert "46.5 %" in shown  # 97.70 of 210.00
    assert "87.0 %" in shown  # 97.70 on 112.30 with the card fee
    assert "1 for $160.00" in of_year
    assert "No knife was sold in these days." in of_none


def test_the_file_has_a_row_for_each_knife(as_owner: Client, two_sold: Any) -> None:
    response = as_owner.get(reverse(FILE, args=["knives-sold"]), {"year": "2025"})

    rows = list(csv.reader(io.StringIO(response.content.decode("utf-8-sig"))))
    assert rows[0][3] == "Price without tax (USD)"
    assert rows[1:] == [
        [
            "2025-04-01",
            str(two_sold[0]),
            "petty",
            "160.00",
            "96.00",
            "4.80",
            "59.20",
            "0.3700",
            "0.5873",
            "2.000",
            "59.60",
        ],
    ]


def test_a_helper_and_a_stranger_see_no_sales(as_helper: Client, two_sold: Any) -> None:
    page = as_helper.get(reverse("shop:reports")).text

    assert "Knives sold" not in page
    assert as_helper.get(reverse(FILE, args=["knives-sold"])).status_code == 403
    as_helper.logout()
    assert as_helper.get(reverse(FILE, args=["knives-sold"])).status_code == 302


def test_a_knife_sold_takes_few_queries(
    as_owner: Client, two_sold: Any, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    with django_assert_max_num_queries(10):  # four a knife, the rates, the list
        knives_sold.sold_knives(house=House())
