"""Requests that nobody sends by hand: numbers past every row, too much of all, strange hosts."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest
from django.urls import get_resolver

from tests.kinds import Client, MakeClass, Settings, ShopSettings

HUGE = {
    "int": str(10**30),
    "str": "ZZ9",
    "slug": "cut",
    "uuid": "00000000-0000-0000-0000-000000000007",
}


def addresses(patterns: Any, before: str = "") -> Iterator[str]:
    """Every address that has a number in it, with a number that no row can have."""
    for one in patterns:
        route = before + str(one.pattern)
        if hasattr(one, "url_patterns"):
            yield from addresses(one.url_patterns, route)
        elif "<int:" in route:
            yield "/" + re.sub(r"<(\w+):\w+>", lambda found: HUGE[found[1]], route)


@pytest.mark.slow
def test_a_number_that_no_row_can_have_is_not_found(as_owner: Client) -> None:
    numbered = sorted(addresses(get_resolver().url_patterns))

    answers = {
        (address, method): getattr(as_owner, method)(address, {"any": "thing"})
        for address in numbered
        for method in ("get", "post")
    }

    assert len(numbered) > 30
    assert [key for key, one in answers.items() if one.status_code not in (404, 405)] == []
    assert [key for key, one in answers.items() if "There is nothing" not in one.text] == []


@pytest.mark.parametrize("named", ["on", "0", "99", "٣", "a\x00b", "1" + "0" * 30])
def test_a_link_to_a_new_offer_that_names_nothing_chooses_nothing(
    as_owner: Client, named: str
) -> None:
    response = as_owner.get("/offers/add/", {"material": named, "supplier": named})

    assert response.status_code == 200
    assert response.text.count('<option value="" selected>') == 2


def test_a_sign_in_without_any_field_asks_for_them(client: Client, shop_row: ShopSettings) -> None:
    response = client.post("/sign-in/", {})

    assert response.status_code == 422
    assert response.text.count("This is needed. Fill it in.") == 2


def test_a_sign_in_name_with_a_space_is_told_what_it_may_hold(as_owner: Client) -> None:
    given = {"first_name": "Ulf", "username": "ulf the smith", "role": "helper"}

    response = as_owner.post("/shop/people/", given | {"password": "anvil-and-tongs-9"})

    assert response.status_code == 422
    assert "Use letters, digits and . _ - + @ only, without spaces." in response.text
    assert "Enter a valid" not in response.text


def test_a_receipt_without_its_lines_is_told_so(as_owner: Client) -> None:
    response = as_owner.post("/receive/", {"supplier": "1"})

    assert response.status_code == 422
    assert "The form came in without its lines." in response.text


@pytest.mark.slow
def test_a_form_with_too_many_fields_is_told_so(as_owner: Client) -> None:
    response = as_owner.post("/receive/", {f"field-{number}": "" for number in range(5001)})

    assert response.status_code == 400
    assert "longer than this app reads at once" in response.text
    assert "Content-Security-Policy" in response


def test_a_form_that_is_too_long_is_told_so(as_owner: Client) -> None:
    sent = "name=" + "a" * 2_700_000

    response = as_owner.post("/shop/", sent, content_type="application/x-www-form-urlencoded")

    assert response.status_code == 400
    assert "longer than this app reads at once" in response.text


def test_a_broken_form_is_told_so(as_owner: Client) -> None:
    response = as_owner.post("/shop/", b"--x\r\n", content_type="multipart/form-data")

    assert response.status_code == 400
    assert "arrived broken, so nothing was saved" in response.text


def test_a_name_that_the_shop_does_not_answer_to_is_told_so(
    client: Client, settings: Settings
) -> None:
    settings.ALLOWED_HOSTS = ["forge.example"]

    response = client.get("/alive/", headers={"Host": "evil.example"})

    assert response.status_code == 400
    assert "add the name to BILLETWRIGHT_HOSTS" in response.text


@pytest.mark.parametrize("sent", ["9" * 5000, "1" + "0" * 30, "-1", "two", ""])
@pytest.mark.parametrize(
    ("address", "name"),
    [("plan/confirm/", "run"), ("seats/1/spare/", "spare"), ("seats/paste/", "seats")],
)
def test_a_number_that_was_sent_and_is_no_row_changes_nothing(
    as_owner: Client, make_class: MakeClass, address: str, name: str, sent: str
) -> None:
    row = make_class(students=1)

    response = as_owner.post(f"/classes/{row.pk}/{address}", {name: sent})

    assert response.status_code in (302, 404, 422)
    seat = row.seats.get()
    assert (seat.student, seat.billet) == ("Student 1", None)


def test_more_lines_are_not_added_than_a_receipt_can_have(as_owner: Client) -> None:
    sent = {"lines-TOTAL_FORMS": "9" * 5000, "lines-INITIAL_FORMS": "0", "add-row": "1"}

    response = as_owner.post("/receive/", sent)

    assert response.status_code == 200
    assert 'name="lines-1-count"' in response.text
    assert 'name="lines-2-count"' not in response.text
