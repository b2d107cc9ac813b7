"""Whoever tries to come in, to stay in, to rise, or to lead somebody away."""

from __future__ import annotations

from typing import Any

import pytest
from django.core.cache import cache
from django.test import Client

from tests.kinds import Person


@pytest.fixture(autouse=True)
def misses_are_forgotten() -> None:
    """Each test starts without any."""
    cache.clear()


@pytest.mark.slow
@pytest.mark.parametrize("spelled", ["ORLA", " orla", "orla  ", "\uff4frla"])
def test_another_spelling_of_a_name_has_no_tries_of_its_own(
    client: Client, owner: Person, spelled: str
) -> None:
    for _ in range(8):
        client.post("/sign-in/", {"username": "orla", "password": "wrong"})

    response = client.post("/sign-in/", {"username": spelled, "password": "anvil-and-tongs-9"})

    assert response.status_code == 422
    assert "Too many tries. Wait a minute, then try again." in response.text


@pytest.mark.slow
def test_trying_many_names_from_one_address_is_slowed_down_too(
    client: Client, owner: Person
) -> None:
    for number in range(60):
        client.post("/sign-in/", {"username": f"name{number}", "password": "wrong"})
    given = {"username": "orla", "password": "anvil-and-tongs-9"}

    there = client.post("/sign-in/", given)
    elsewhere = client.post("/sign-in/", given, REMOTE_ADDR="10.1.2.3")

    assert (there.status_code, elsewhere.status_code) == (422, 302)


def test_a_changed_password_ends_what_was_signed_in_elsewhere(
    client: Client, helper: Person
) -> None:
    client.force_login(helper)
    elsewhere: Any = Client()
    elsewhere.force_login(helper)
    new = "tongs-and-anvil-8"
    given = {"old_password": "anvil-and-tongs-9", "new_password1": new, "new_password2": new}

    assert client.post("/shop/password/", given).status_code == 302

    assert client.get("/rack/").status_code == 200
    assert elsewhere.get("/rack/").url.startswith("/sign-in/")


def test_a_helper_cannot_make_an_owner_of_themselves(client: Client, helper: Person) -> None:
    client.force_login(helper)
    given = {"first_name": "Hugo", "username": "hugo", "role": "owner", "is_active": "on"}
    new = "tongs-and-anvil-8"
    password = {"old_password": "anvil-and-tongs-9", "new_password1": new, "new_password2": new}

    by_the_page_of_people = client.post(f"/shop/people/{helper.pk}/", given)
    by_the_password = client.post("/shop/password/", password | given | {"is_superuser": "on"})

    helper.refresh_from_db()
    assert (by_the_page_of_people.status_code, by_the_password.status_code) == (403, 302)
    assert (helper.role, helper.is_superuser) == ("helper", False)


@pytest.mark.parametrize(
    "wanted",
    ["https://evil.example", "//evil.example", "/\\evil.example", "https:evil.example",
     "http:///evil.example", "\t//evil.example", "javascript:alert(1)"],
)  # fmt: skip
def test_signing_in_never_leads_off_the_site(client: Client, owner: Person, wanted: str) -> None:
    given = {"username": "orla", "password": "anvil-and-tongs-9", "next": wanted}

    assert client.post("/sign-in/", given)["Location"] == "/"


@pytest.mark.parametrize(
    "address",
    ["/", "/nothing/here/", "/static/shop/base.css", "/static/nothing.css", "/classes/1/cancel/",
     "/alive/", "/ledger/file/", "/sign-in/"],
)  # fmt: skip
def test_every_answer_has_the_content_policy(client: Client, owner: Person, address: str) -> None:
    client.force_login(owner)

    response = client.get(address)

    assert "default-src 'self'" in response["Content-Security-Policy"]
    assert response["X-Content-Type-Options"] == "nosniff"


def test_a_browser_keeps_no_page_with_money_for_whoever_signs_in_next(
    client: Client, owner: Person, helper: Person
) -> None:
    client.force_login(owner)
    with_money = client.get("/rack/")
    client.force_login(helper)
    without = client.get("/rack/")

    assert with_money["Cache-Control"] == "private, no-store"
    assert "Cache-Control" not in without
    assert '"historyCacheSize": 0' in with_money.text
