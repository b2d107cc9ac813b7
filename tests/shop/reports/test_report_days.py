"""Reports of some days: the shop's own months, what was there before, other ways to value."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import Any

import pytest
from django.db.models import Sum
from django.urls import reverse
from django.utils import timezone

from billets.history import writing as history
from billets.models import StepKind
from shop.reports import reading as reports_reading
from shop.reports.metal_used import valued
from shop.reports.span import ALL_DAYS, Span, asked_span
from stock import clock
from stock.ledger import by_hand
from stock.ledger.valuation import Bought, Used
from stock.models import Piece
from tests.conftest import IN
from tests.kinds import Client, DjangoAssertNumQueries, MakeLayup, MakePiece, Person, Saw


@pytest.mark.parametrize(
    ("given", "first", "last"),
    [
        ({"year": "2026"}, date(2026, 1, 1), date(2026, 12, 31)),
        ({"from": "2026-04-06", "to": "2027-04-05"}, date(2026, 4, 6), date(2027, 4, 5)),
        ({"from": "2027-04-05", "to": "2026-04-06"}, date(2026, 4, 6), date(2027, 4, 5)),
        ({"from": "2026-04-06", "year": "2020"}, date(2026, 4, 6), None),
        ({"to": "2026-04-06"}, None, date(2026, 4, 6)),
        ({"from": "6 April", "to": "9999-99-99"}, None, None),
        ({"year": "9**9"}, None, None),
        ({"year": "0000"}, None, None),
        ({}, None, None),
    ],
)
def test_an_address_asks_for_days(
    given: dict[str, str], first: date | None, last: date | None
) -> None:
    assert asked_span(given) == Span(first, last)


def test_a_span_says_its_days_and_comes_back_from_its_address() -> None:
    span = Span(date(2026, 4, 6), date(2027, 4, 5))

    assert span.words == "from Mon 6 Apr 2026 to Mon 5 Apr 2027"
    assert span.query == "from=2026-04-06&to=2027-04-05"
    assert Span(date(2026, 1, 1), date(2026, 12, 31)).words == "in 2026"
    assert [span.holds(date(2027, 4, day)) for day in (5, 6)] == [True, False]
    assert (ALL_DAYS.words, ALL_DAYS.query, ALL_DAYS.is_all) == ("", "", True)


def test_a_month_is_the_month_of_the_shop_s_own_zone(make_bar: MakePiece, owner: Person) -> None:
    bar = make_bar()
    with clock.as_of(datetime(2026, 1, 1, 2, tzinfo=UTC)):  # nine in the evening in New York
        by_hand.scrap(piece=bar, amount=6 * IN, why="bent", by=owner)

    with timezone.override("America/New_York"):
        there = reports_reading.used_cells(span=asked_span({"year": "2025"}))
    with timezone.override("Europe/Oslo"):
        here = reports_reading.used_cells(span=asked_span({"year": "2025"}))
        new_year = reports_reading.used_cells(span=asked_span({"year": "2026"}))

    assert [cell.month for cell in there] == ["2025-12"]
    assert here == ()
    assert [cell.month for cell in new_year] == ["2026-01"]


@pytest.fixture
def two_months(make_bar: MakePiece, make_layup: MakeLayup, owner: Person, saw: Saw) -> Any:
    """A bar of 36 in for 24.00 bought in March; 12 in of it go into a billet that fails in May."""
    with clock.as_of(datetime(2026, 3, 2, 9, tzinfo=UTC)):
        bar = make_bar()
        billet = history.make_billet(layup=make_layup(), by=owner)
    with clock.as_of(datetime(2026, 4, 5, 9, tzinfo=UTC)):
        by_hand.scrap(piece=bar, amount=6 * IN, why="bent", by=owner)
    with clock.as_of(datetime(2026, 5, 5, 9, tzinfo=UTC)):
        by_hand.cut_by_hand(piece=bar, length_nm=12 * IN, kerf_nm=0, job=billet.job, by=owner)
        history.record_step(billet=billet, kind=StepKind.FAILED, cause="cracked", by=owner)
    bar.refresh_from_db()
    return bar


def test_money_of_some_days_begins_with_what_was_there(two_months: Any) -> None:
    may = Span(date(2026, 5, 1), date(2026, 5, 31))

    before = reports_reading.worth_before(may)
    paid, went, rack = reports_reading.where_it_went(span=may)

    assert (before, paid, rack) == (2000, 0, 1200)
    assert [(one.name, one.cents) for one in went] == [("Other billets", 800)]
    assert reports_reading.where_it_went(span=Span(None, date(2026, 3, 31))) == (2400, [], 2400)


def test_the_page_and_its_files_keep_to_the_days(as_owner: Client, two_months: Any) -> None:
    days = "from=2026-05-01&to=2026-05-31"

    page = as_owner.get(reverse("shop:reports") + f"?{days}").text
    money = as_owner.get(reverse("shop:report-csv", args=["money"]) + f"?{days}").content.decode()
    used = as_owner.get(reverse("shop:report-csv", args=["metal-used"]) + f"?{days}").content

    assert "Metal used from Fri 1 May 2026 to Sun 31 May 2026" in page
    assert "On the rack before" in page
    assert "metal-used.csv?comma=1&amp;from=2026-05-01" in page
    assert "On the rack before,20.00" in money
    assert b"2026-05" in used
    assert b"2026-04" not in used


def test_a_year_without_anything_says_so(as_owner: Client, two_months: Any) -> None:
    page = as_owner.get(reverse("shop:reports") + "?year=2024").text

    assert "Nothing was used in these days." in page
    assert "No billet has ended in these days." in page
    assert "Nothing was bought or used in these days." in page


def test_an_empty_shop_has_reports_that_say_so(as_owner: Client) -> None:
    page = as_owner.get(reverse("shop:reports"))

    assert page.status_code == 200
    assert "Nothing was used yet." in page.text
    assert "No billet has ended yet." in page.text
    assert "Nothing was bought yet." in page.text
    for name in ("metal-used", "yield", "money"):
        assert as_owner.get(reverse("shop:report-csv", args=[name])).status_code == 200


def test_metal_in_failed_billets_is_lost_beside_the_scrap(two_months: Any) -> None:
    by_month = {cell.month: cell for cell in reports_reading.used_cells()}

    april, may = by_month["2026-04"], by_month["2026-05"]
    assert (april.failed_ug, april.scrap_ug) == (0, april.mass_ug)
    assert (may.failed_ug, may.scrap_ug) == (may.mass_ug, 0)


def test_yield_of_some_days_counts_billets_that_ended_in_them(two_months: Any) -> None:
    assert reports_reading.yield_rows(span=Span(date(2026, 4, 1), date(2026, 4, 30))) == []
    assert reports_reading.yield_rows(span=Span(date(2026, 5, 5), None))[0].failed == 1


def test_the_books_own_way_leaves_what_the_rack_is_worth(
    two_months: Any, make_bar: MakePiece
) -> None:
    make_bar(price_cents=3333)

    found = valued(reports_reading.moves_of(two_months.material))

    pieces = Piece.objects.filter(material=two_months.material)
    assert found.rows[0].found.left_cents == pieces.aggregate(worth=Sum("value_cents"))["worth"]
    assert found.left_amount == pieces.aggregate(left=Sum("on_hand"))["left"]


def test_each_way_is_told_in_words_with_what_it_changes() -> None:
    # 10 for 10.00 and 10 for 20.00; 10 used, from the second lot.
    found = valued([Bought(10, 1000), Bought(10, 2000), Used(10, 2000)])

    assert [row.found.left_cents for row in found.rows] == [1000, 2000, 1500]
    assert [row.more_cents for row in found.rows] == [0, 1000, 500]
    assert (found.bought_amount, found.bought_cents, found.used_amount) == (20, 3000, 10)


def test_the_page_says_what_each_way_means(as_owner: Client, two_months: Any) -> None:
    url = reverse("shop:reports") + f"?material={two_months.material_id}"

    page = as_owner.get(url).text

    assert "36 in bought for $24.00, 18 in used, 18 in left" in page
    assert "as if the oldest metal were always cut first" in page
    assert "the same" in page


def test_moves_that_cannot_be_valued_are_told_in_a_sentence(
    as_owner: Client, two_months: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(reports_reading, "moves_of", lambda material: [Used(5, 100)])
    query = f"?material={two_months.material_id}"

    page = as_owner.get(reverse("shop:reports") + query)
    file = as_owner.get(reverse("shop:report-csv", args=["valuation"]) + query)

    assert page.status_code == 200
    assert "in the order in which they happened" in page.text
    assert (file.status_code, file["Content-Type"]) == (409, "text/plain; charset=utf-8")


def test_a_busy_year_takes_no_more_queries_than_a_quiet_one(
    as_owner: Client,
    owner: Person,
    make_bar: MakePiece,
    saw: Saw,
    django_assert_max_num_queries: DjangoAssertNumQueries,
) -> None:
    for _ in range(12):
        bar = make_bar()
        for amount in (IN, 2 * IN):
            by_hand.scrap(piece=bar, amount=amount, why="bent", by=owner)

    with django_assert_max_num_queries(25):
        assert as_owner.get(reverse("shop:reports")).status_code == 200
