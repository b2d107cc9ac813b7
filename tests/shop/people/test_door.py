"""The door: first run once only, sign-in, roles, people."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from django.contrib.sessions.backends.db import SessionStore
from django.contrib.sessions.models import Session
from django.core.cache import cache
from django.utils import timezone

from shop.management.commands import start
from shop.models import Person, ShopSettings
from shop.people import first_run
from stock.models import Saw
from tests.kinds import Client, MakeClass, Settings
from tests.pages import Browser

ANSWERS = {
    "name": "Fennel Lane Forge",
    "system": "metric",
    "currency": "EUR",
    "locale": "de_DE",
    "first_name": "Orla",
    "username": "orla",
    "password": "anvil-and-tongs-9",
}


@pytest.fixture(autouse=True)
def own_data_folder(settings: Settings, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The one-time code lives in the data folder; misses are forgotten."""
    settings.DATA_DIR = tmp_path
    monkeypatch.setitem(ANSWERS, "code", first_run.code())
    cache.clear()


def test_a_new_shop_sends_every_page_to_the_first_run(client: Client, db: None) -> None:
    response = client.get("/rack/")

    assert response.status_code == 302
    assert response["Location"] == "/first-run/"


@pytest.mark.slow
def test_the_first_run_makes_the_shop_and_signs_the_owner_in(client: Client, db: None) -> None:
    response = client.post("/first-run/", ANSWERS)

    assert response.status_code == 302
    house = ShopSettings.objects.get().house(person=Person.objects.get())
    assert (house.name, house.system, house.currency, house.paper) == (
        "Fennel Lane Forge",
        "metric",
        "EUR",
        "A4",
    )
    assert house.is_owner
    assert client.get("/").status_code == 200


def test_the_first_run_works_once_only(client: Client, shop_row: ShopSettings) -> None:
    response = client.post("/first-run/", ANSWERS)

    assert response.status_code == 302
    assert response["Location"] == "/sign-in/"
    assert not Person.objects.exists()


@pytest.mark.parametrize(
    "sent",
    [
        {"REMOTE_ADDR": "127.0.0.1"},
        {"REMOTE_ADDR": "::1"},
        {"REMOTE_ADDR": "10.1.2.3"},
        {"HTTP_X_FORWARDED_FOR": "203.0.113.9"},
        {"HTTP_X_REAL_IP": "203.0.113.9"},
        {"HTTP_FORWARDED": "for=203.0.113.9"},
        {"HTTP_VIA": "1.1 gate"},
    ],
    ids="-".join,
)
def test_the_first_run_asks_for_the_code_wherever_the_browser_is(
    client: Client, db: None, sent: dict[str, Any]
) -> None:
    without = {name: value for name, value in ANSWERS.items() if name != "code"}

    page = client.get("/first-run/", None, **sent)
    refused = client.post("/first-run/", without, **sent)
    wrong = client.post("/first-run/", ANSWERS | {"code": "AAAA"}, **sent)

    assert 'name="code"' in page.text
    assert (refused.status_code, wrong.status_code) == (422, 422)
    assert "is not the code" in wrong.text
    assert not ShopSettings.objects.exists()


def test_a_page_that_gave_its_name_our_address_gets_nothing(client: Client, db: None) -> None:
    """The browser at the machine asks under the page's own name, and would let it read."""
    sent: dict[str, Any] = {"REMOTE_ADDR": "127.0.0.1", "HTTP_HOST": "rebound.example:8000"}

    page = client.get("/first-run/", **sent)
    response = client.post("/first-run/", ANSWERS | {"code": first_run.code()}, **sent)

    assert (page.status_code, response.status_code) == (400, 400)
    assert not ShopSettings.objects.exists()


def test_the_code_from_the_terminal_opens_the_shop_once(client: Client, db: None) -> None:
    given = ANSWERS | {"code": first_run.code().lower()}

    response = client.post("/first-run/", given, REMOTE_ADDR="10.1.2.3")

    assert response.status_code == 302
    assert not first_run.code_path().exists()


def test_a_short_password_is_refused_and_the_rest_comes_back_as_typed(
    client: Client, db: None
) -> None:
    response = client.post("/first-run/", ANSWERS | {"password": "short"})

    assert response.status_code == 422
    assert "Fennel Lane Forge" in response.text
    assert not Person.objects.exists()


def test_a_stranger_is_sent_to_the_door(client: Client, shop_row: ShopSettings) -> None:
    for url in ("/", "/shop/", "/shop/people/"):
        assert client.get(url)["Location"].startswith("/sign-in/")


def test_signing_in_goes_where_the_person_wanted_but_never_off_the_site(
    client: Client, owner: Person
) -> None:
    given = {"username": "orla", "password": "anvil-and-tongs-9"}

    inside = client.post("/sign-in/", given | {"next": "/shop/"})
    outside = client.post("/sign-in/", given | {"next": "https://example.org/"})

    assert inside["Location"] == "/shop/"
    assert outside["Location"] == "/"


def test_guessing_a_password_is_slowed_down(client: Client, owner: Person) -> None:
    for _ in range(8):
        client.post("/sign-in/", {"username": "orla", "password": "wrong"})

    response = client.post("/sign-in/", {"username": "orla", "password": "anvil-and-tongs-9"})

    assert response.status_code == 422
    assert "Wait a minute" in response.text


def guess(stranger: Client, *, times: int) -> None:
    """A stranger who tries many names from the same address, and one of them often."""
    for number in range(times):
        name = "orla" if number % 2 else f"name{number}"
        stranger.post("/sign-in/", {"username": name, "password": "wrong"})


def test_a_stranger_behind_the_same_proxy_does_not_keep_a_known_device_out(
    client: Client, owner: Person
) -> None:
    given = {"username": "orla", "password": "anvil-and-tongs-9"}
    client.post("/sign-in/", given)
    client.post("/sign-out/")
    guess(Browser(), times=64)

    known = client.post("/sign-in/", given)
    unknown = Browser().post("/sign-in/", given)

    assert known.status_code == 302
    assert unknown.status_code == 422
    assert "Wait a minute" in unknown.text


def test_a_known_device_has_no_more_tries_than_another(client: Client, owner: Person) -> None:
    given = {"username": "orla", "password": "anvil-and-tongs-9"}
    client.post("/sign-in/", given)
    client.post("/sign-out/")
    for _ in range(8):
        client.post("/sign-in/", given | {"password": "wrong"})

    assert "Wait a minute" in client.post("/sign-in/", given).text


def test_a_device_is_known_for_its_own_name_and_only_if_we_signed_it(
    client: Client, owner: Person, helper: Person
) -> None:
    client.post("/sign-in/", {"username": "hugo", "password": "anvil-and-tongs-9"})
    client.post("/sign-out/")
    forged = Browser()
    forged.cookies["known_device"] = "0123456789abcdef:made:up"
    guess(Browser(), times=64)
    given = {"username": "orla", "password": "anvil-and-tongs-9"}

    assert "Wait a minute" in client.post("/sign-in/", given).text
    assert "Wait a minute" in forged.post("/sign-in/", given).text


def test_signing_out_is_a_post(as_owner: Client) -> None:
    assert as_owner.get("/sign-out/").status_code == 405
    assert as_owner.post("/sign-out/")["Location"] == "/sign-in/"


def test_the_app_says_that_it_is_alive_to_anybody(client: Client, db: None) -> None:
    assert client.get("/alive/").content == b"alive\n"


def test_a_form_sent_after_signing_out_comes_back_to_its_own_page(
    client: Client, make_class: MakeClass, owner: Person
) -> None:
    row = make_class()
    sent_to = f"/classes/{row.pk}/seats/fill/"

    sent = client.post(sent_to, headers={"Referer": f"http://testserver/classes/{row.pk}/"})
    door = client.get(sent["Location"])

    assert sent["Location"] == f"/sign-in/?next=http%3A//testserver/classes/{row.pk}/"
    assert "You were signed out, so nothing was written." in door.text
    given = {"username": "orla", "password": "anvil-and-tongs-9"}
    back = client.post("/sign-in/", given | {"next": f"http://testserver/classes/{row.pk}/"})
    assert back["Location"] == f"http://testserver/classes/{row.pk}/"


def test_a_referer_from_elsewhere_is_not_followed(
    client: Client, make_class: MakeClass, owner: Person
) -> None:
    row = make_class()

    sent = client.post(
        f"/classes/{row.pk}/seats/fill/", headers={"Referer": "https://example.org/x"}
    )

    assert sent["Location"] == "/sign-in/?next=/"


def test_htmx_leaves_for_the_door_with_the_whole_page(
    client: Client, make_class: MakeClass, owner: Person
) -> None:
    row = make_class()

    sent = client.post(f"/classes/{row.pk}/seats/fill/", headers={"HX-Request": "true"})

    assert sent.headers["HX-Redirect"] == "/sign-in/?next=/"
    assert "Sign in" not in sent.text


def test_an_address_that_only_takes_forms_says_so_when_opened(as_owner: Client) -> None:
    response = as_owner.get("/sign-out/")

    assert response.status_code == 405
    assert response.headers["Allow"] == "POST"
    assert "It only takes what a button sends." in response.text


def test_an_inch_shop_starts_with_figures_that_it_would_write_itself(
    client: Client, db: None
) -> None:
    client.post("/first-run/", ANSWERS | {"system": "inch", "locale": "en_US"})

    page = client.get("/shop/").text

    for figure in ("0.004 in", "0.02 in", "0.008 in", "0.01 in", "0.001 in", "5/32 in"):
        assert f'value="{figure}"' in page
    assert Saw.objects.get(is_usual=True).kerf_nm == 1_190_625


def test_a_helper_finds_the_way_to_a_new_password(as_helper: Client) -> None:
    assert as_helper.get("/").text.count('href="/shop/password/"') == 2


@pytest.mark.parametrize("name", ["two words", "<b>orla</b>", "🔨"])
def test_a_sign_in_name_is_one_plain_word_from_the_start(
    client: Client, db: None, name: str
) -> None:
    response = client.post("/first-run/", ANSWERS | {"username": name})

    assert response.status_code == 422
    assert response.text.count("Use letters, digits and . _ - + @ only, without spaces.") == 2
    assert not Person.objects.exists()


def test_a_first_run_sent_twice_at_once_leads_to_the_door(
    client: Client, shop_row: ShopSettings, monkeypatch: pytest.MonkeyPatch
) -> None:
    answers = iter([False, True])  # set up by the other press, after this one had looked
    monkeypatch.setattr(first_run, "is_set_up", lambda: next(answers))

    response = client.post("/first-run/", ANSWERS)

    assert response["Location"] == "/sign-in/"
    assert not Person.objects.exists()


def test_somebody_who_may_not_sign_in_any_more_is_out_at_once(
    client: Client, owner: Person, helper: Person
) -> None:
    client.force_login(helper)
    helper.is_active = False
    helper.save()

    assert client.get("/")["Location"] == "/sign-in/?next=/"


def expired_session() -> str:
    """A sign-in that ran out yesterday; its key."""
    store = SessionStore()
    store["who"] = 1
    store.create()
    Session.objects.update(expire_date=timezone.now() - timedelta(days=1))
    return str(store.session_key)


def test_sign_ins_that_ran_out_are_forgotten_when_somebody_signs_in(
    client: Client, owner: Person
) -> None:
    key = expired_session()

    client.post("/sign-in/", {"username": "orla", "password": "anvil-and-tongs-9"})

    kept = list(Session.objects.values_list("session_key", flat=True))
    assert len(kept) == 1
    assert key not in kept


def test_sign_ins_that_ran_out_are_forgotten_at_the_start(as_owner: Client) -> None:
    signed_in = as_owner.session.session_key
    store = SessionStore()
    store["who"] = 1
    store.create()
    Session.objects.filter(session_key=store.session_key).update(
        expire_date=timezone.now() - timedelta(days=1)
    )

    start.sweep_sessions()

    assert list(Session.objects.values_list("session_key", flat=True)) == [signed_in]
