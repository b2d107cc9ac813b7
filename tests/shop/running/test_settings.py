"""The shop's settings and its people: changed by an owner, refused with a sentence."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from shop.models import Person, ShopSettings
from shop.rates import writing as rates
from shop.settings import machine_zone
from stock import clock
from tests.kinds import Client, MakePiece


def test_a_helper_sees_neither_settings_nor_people(as_helper: Client) -> None:
    assert as_helper.get("/shop/").status_code == 403
    assert as_helper.get("/shop/people/").status_code == 403


@pytest.mark.slow
def test_the_owner_changes_the_settings_in_the_shops_units(as_owner: Client) -> None:
    page = as_owner.get("/shop/")
    form = page.context["form"]
    given = {name: form[name].value() for name in form.fields} | {
        "keep_from_nm": "3 1/2",
        "press_tons": "25",
    }

    response = as_owner.post("/shop/", given)

    assert response.status_code == 302
    house = ShopSettings.objects.get().house()
    assert house.keep_from_nm == 88_900_000
    assert house.press_n == 222_411


@pytest.mark.slow
def test_a_setting_that_is_no_length_is_refused_as_typed(as_owner: Client) -> None:
    page = as_owner.get("/shop/")
    form = page.context["form"]
    given = {name: form[name].value() for name in form.fields} | {"keep_from_nm": "12 smoots"}

    response = as_owner.post("/shop/", given)

    assert response.status_code == 422
    assert "12 smoots" in response.text
    assert "keep_from_nm" not in ShopSettings.objects.get().values


@pytest.mark.slow
def test_the_day_is_the_one_in_the_shops_time_zone(as_owner: Client) -> None:
    form = as_owner.get("/shop/").context["form"]
    given = {name: form[name].value() for name in form.fields} | {"zone": "Pacific/Auckland"}

    with clock.as_of(datetime(2026, 12, 1, 21, tzinfo=UTC)):
        before = as_owner.get("/").text
        response = as_owner.post("/shop/", given)
        after = as_owner.get("/").text

    assert response.status_code == 302
    assert "Tuesday, 1 December" in before
    assert "Wednesday, 2 December" in after  # 10 in the morning there


@pytest.mark.slow
def test_a_time_zone_that_nobody_keeps_is_refused(as_owner: Client) -> None:
    form = as_owner.get("/shop/").context["form"]
    given = {name: form[name].value() for name in form.fields} | {"zone": "Mars/North"}

    response = as_owner.post("/shop/", given)

    assert response.status_code == 422
    assert "zone" not in ShopSettings.objects.get().values


def test_a_machine_that_names_no_time_zone_is_taken_to_keep_utc(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    for named in (None, "Mars/North"):
        monkeypatch.setattr("tzlocal.get_localzone_name", lambda named=named: named)
        assert machine_zone() == "UTC"

    monkeypatch.setattr("tzlocal.get_localzone_name", lambda: "Europe/Oslo")
    assert machine_zone() == "Europe/Oslo"


def test_the_owner_adds_a_helper_who_can_sign_in(as_owner: Client, client: Client) -> None:
    given = {
        "first_name": "Hugo",
        "username": "hugo",
        "role": "helper",
        "password": "tongs-and-anvil-9",
    }

    response = as_owner.post("/shop/people/", given)

    assert response.status_code == 302
    assert Person.objects.get(username="hugo").check_password("tongs-and-anvil-9")


def test_the_last_owner_cannot_become_a_helper(as_owner: Client, owner: Person) -> None:
    response = as_owner.post(
        f"/shop/people/{owner.pk}/",
        {"first_name": "Orla", "username": "orla", "role": "helper", "is_active": "on"},
    )

    assert response.status_code == 422
    assert Person.objects.get(pk=owner.pk).role == "owner"


def test_anybody_changes_their_own_password(as_helper: Client, helper: Person) -> None:
    response = as_helper.post(
        "/shop/password/",
        {
            "old_password": "anvil-and-tongs-9",
            "new_password1": "hammer-and-stone-7",
            "new_password2": "hammer-and-stone-7",
        },
    )

    assert response.status_code == 302
    assert Person.objects.get(pk=helper.pk).check_password("hammer-and-stone-7")


def test_a_name_that_somebody_has_is_refused(as_owner: Client, helper: Person) -> None:
    given = {"first_name": "H", "username": "hugo", "role": "helper", "password": "tongs-anvil-99"}

    response = as_owner.post("/shop/people/", given)

    assert response.status_code == 422
    assert "Somebody signs in as that already. Choose another name." in response.text


def test_a_loss_that_is_emptied_is_none_and_does_not_stay_as_it_was(as_owner: Client) -> None:
    form = as_owner.get("/shop/").context["form"]
    given = {name: form[name].value() for name in form.fields} | {"scale_per_heat_nm": ""}

    as_owner.post("/shop/", given)

    assert ShopSettings.objects.get().house().scale_per_heat_nm == 0


@pytest.mark.slow
def test_the_currency_stays_once_metal_has_a_price(as_owner: Client, make_bar: MakePiece) -> None:
    form = as_owner.get("/shop/").context["form"]
    given = {name: form[name].value() for name in form.fields}

    before = as_owner.post("/shop/", given | {"currency": "NOK"})
    make_bar()
    after = as_owner.post("/shop/", given | {"currency": "EUR"})

    assert before.status_code == 302
    assert after.status_code == 422
    assert "The books are kept in NOK already" in after.text
    assert ShopSettings.objects.get().house().currency == "NOK"


@pytest.mark.slow
def test_any_currency_in_use_may_be_chosen(as_owner: Client) -> None:
    form = as_owner.get("/shop/").context["form"]
    given = {name: form[name].value() for name in form.fields}

    as_owner.post("/shop/", given | {"currency": "KWD", "locale": "nb_NO"})

    house = ShopSettings.objects.get().house()
    assert (house.currency, house.locale) == ("KWD", "nb_NO")


@pytest.mark.slow
def test_a_currency_with_other_decimals_is_refused_once_rates_are_written(
    as_owner: Client, owner: Person
) -> None:
    rates.set_rates(from_date=date(2026, 3, 1), values={"labour_cents_per_hour": 3200}, by=owner)
    form = as_owner.get("/shop/").context["form"]
    given = {name: form[name].value() for name in form.fields}

    yen = as_owner.post("/shop/", given | {"currency": "JPY"})
    euro = as_owner.post("/shop/", given | {"currency": "EUR"})

    assert yen.status_code == 422
    assert "JPY has another number of decimals" in yen.text
    assert euro.status_code == 302
