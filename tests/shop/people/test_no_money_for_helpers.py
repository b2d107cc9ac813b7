"""A helper walks the whole shop by its links, with and without htmx, and meets no money."""

from __future__ import annotations

import re
from collections import Counter
from datetime import date
from typing import Any

import pytest
from django.urls import resolve, reverse

from shop.class_money import writing as class_money
from shop.rates import writing as rates
from tests.conftest import HTMX
from tests.kinds import (
    Client,
    ForgeClass,
    Knife,
    MakeClass,
    Person,
    Piece,
    Response,
    ShopSettings,
    sure,
)

LINK = re.compile(r'(?:href|hx-get)="(/[^"#]*)"')
TOKEN = re.compile(r"[A-Za-z0-9]{64}")
LEFT_ALONE = ("/static/", "/sign-out/")
OF_A_KIND = 2
SIGN = "OMR"
TERMS = {"fee_cents": 40_000, "deposit_cents": 10_000, "place_cents": 30_000, "margin_bp": 3000}


@pytest.fixture
def earning_shop(
    planned_class: MakeClass, shop_row: ShopSettings, owner: Person, knife: Knife, pins: Piece
) -> ForgeClass:
    """A class with fees, a deposit, metal with prices, rates and a knife, in rials."""
    row = planned_class(students=2)
    shop_row.values |= {"currency": SIGN}
    shop_row.save()
    rates.set_rates(from_date=date(2020, 1, 1), values={"labour_cents_per_hour": 9750}, by=owner)
    class_money.set_terms(forge_class=row, changes=TERMS, by=owner)
    class_money.record_payment(
        seat=row.seats.get(number=1), kind="deposit", cents=10_000, day=date(2026, 4, 1), by=owner
    )
    row.state = "held"
    row.save()
    return row


def walked(client: Client, start: list[str]) -> dict[str, Any]:
    """Pages that links lead to, of each kind the first few."""
    found: dict[str, Any] = {}
    kinds: Counter[str] = Counter()
    waiting = list(start)
    while waiting:
        url = waiting.pop(0)
        if url in found or url.startswith(LEFT_ALONE):
            continue
        kind = resolve(url.partition("?")[0]).view_name
        if kinds[kind] >= OF_A_KIND:
            continue
        kinds[kind] += 1
        found[url] = client.get(url)
        if found[url].get("Content-Type", "").startswith("text/html"):
            waiting += [link.replace("&amp;", "&") for link in LINK.findall(found[url].text)]
    return found


def told(response: Response) -> str:
    """What a page says, as far as it is text; a form's token is chance and may spell anything."""
    kind = response.get("Content-Type", "")
    if not kind.startswith("text/") or response.streaming:
        return ""
    return TOKEN.sub("", response.text)


@pytest.mark.slow
def test_no_link_leads_a_helper_to_money(as_helper: Client, earning_shop: ForgeClass) -> None:
    files = [reverse("shop:report-csv", args=[name]) for name in ("metal-used", "yield")]
    pages = walked(as_helper, ["/", *files, reverse("shop:class-csv", args=[earning_shop.pk])])

    assert len(pages) > 30
    for url, response in pages.items():
        assert response.status_code in (200, 302, 404, 409), url
        assert SIGN not in told(response), url
        assert SIGN not in told(as_helper.get(url, headers=HTMX)), url


@pytest.mark.slow
def test_the_owner_meets_money_on_the_same_walk(as_owner: Client, earning_shop: ForgeClass) -> None:
    pages = walked(as_owner, ["/"])

    with_money = [url for url, response in pages.items() if SIGN in told(response)]
    assert reverse("shop:class-money", args=[earning_shop.pk]) in with_money
    assert len(with_money) > 6


@pytest.mark.slow
def test_addresses_of_money_turn_a_helper_away(as_helper: Client, earning_shop: ForgeClass) -> None:
    mark = sure(earning_shop.seats.get(number=1).billet).mark
    urls = [
        reverse("shop:rates"),
        reverse("shop:class-money", args=[earning_shop.pk]),
        reverse("shop:class-money-pdf", args=[earning_shop.pk]),
        reverse("shop:billet-cost", args=[mark]),
        reverse("shop:report-csv", args=["money"]),
    ]

    assert {as_helper.get(url).status_code for url in urls} == {403}
    assert {as_helper.get(url, headers=HTMX).status_code for url in urls} == {403}
