"""One press is one act: sent again it is led to where the first one led, and says so."""

from datetime import timedelta
from typing import Any

import pytest
from bs4 import BeautifulSoup
from django.http import HttpResponse
from django.test import Client as PlainClient
from django.urls import reverse

from billets.models import Billet, Heat
from shop.models import Press
from shop.once import writing
from stock import clock
from tests.at_once import all_at_once
from tests.billets.billet_posts import post, url
from tests.conftest import HTMX
from tests.kinds import Client, MakeBillet, Person

AGAIN = "That was the same press once more; it is written down once."
HEAT = {"work": "draw", "temperature_mdegc": "1600", "once": "a-token-of-one-form"}


@pytest.fixture
def billet(make_billet: MakeBillet) -> Billet:
    """One that may be forged."""
    return make_billet(stage="welded")


def test_every_form_that_acts_has_a_token_of_its_own(as_helper: Client, billet: Billet) -> None:
    page = BeautifulSoup(as_helper.get(url("billet-detail", billet.mark)).text, "html.parser")

    forms = page.select("form[method=post]")
    tokens = [field["value"] for form in forms for field in form.select("[name=once]")]

    assert len(forms) > 5
    assert len(tokens) == len(forms) == len(set(tokens))


def test_the_same_press_twice_writes_once_and_leads_to_the_same_page(
    as_helper: Client, billet: Billet
) -> None:
    first = post(as_helper, "billet-heat", billet, HEAT)
    second = post(as_helper, "billet-heat", billet, HEAT)

    assert Heat.objects.count() == Press.objects.count() == 1
    assert second.status_code == 302
    assert second["Location"] == first["Location"]
    page = as_helper.get(second["Location"]).text
    assert f"Heat 1 of {billet} is written down. {AGAIN}" in page


def test_with_htmx_the_whole_page_is_loaded_again(as_helper: Client, billet: Billet) -> None:
    at = url("billet-detail", billet.mark)
    headers = HTMX | {"Referer": f"http://testserver{at}"}
    post(as_helper, "billet-heat", billet, HEAT, headers=headers)

    second = post(as_helper, "billet-heat", billet, HEAT, headers=headers)

    assert second["HX-Redirect"].endswith(at)
    assert Heat.objects.count() == 1
    assert AGAIN in as_helper.get(at).text


@pytest.mark.parametrize(
    "change", [{"note": "and bent"}, {"once": "the-token-of-another"}, {"once": ""}]
)
def test_another_press_is_another_act(
    as_helper: Client, billet: Billet, change: dict[str, str]
) -> None:
    post(as_helper, "billet-heat", billet, HEAT)

    post(as_helper, "billet-heat", billet, HEAT | change)

    assert Heat.objects.count() == 2


def test_another_person_s_press_is_another_act(
    as_helper: Client, billet: Billet, owner: Person
) -> None:
    post(as_helper, "billet-heat", billet, HEAT)
    as_helper.force_login(owner)

    post(as_helper, "billet-heat", billet, HEAT)

    assert Heat.objects.count() == 2


def test_a_refused_press_is_not_spent(as_helper: Client, billet: Billet) -> None:
    step = {"kind": "finished", "once": "a-token-of-one-form"}

    refused = [post(as_helper, "billet-step", billet, step).status_code for _ in range(2)]

    assert refused == [422, 422]
    assert not Press.objects.exists()


def test_a_look_that_is_sent_as_a_form_is_not_spent(as_owner: Client, billet: Billet) -> None:
    asked = {"layers-TOTAL_FORMS": "0", "layers-INITIAL_FORMS": "0", "once": "a-token-of-one-form"}

    as_owner.post(reverse("billets:layup-panel"), asked, headers=HTMX)

    assert not Press.objects.exists()


def test_an_act_that_breaks_off_is_not_spent(
    as_helper: Client, billet: Billet, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*args: Any, **kwargs: Any) -> None:
        raise RuntimeError("power cut")

    monkeypatch.setattr(Heat, "save", broken)
    as_helper.raise_request_exception = False
    post(as_helper, "billet-heat", billet, HEAT)
    monkeypatch.undo()

    again = post(as_helper, "billet-heat", billet, HEAT)

    assert again.status_code == 302
    assert Heat.objects.count() == 1


def test_the_answer_lost_after_the_act_still_counts_as_one(
    as_helper: Client, billet: Billet, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*args: Any, **kwargs: Any) -> HttpResponse:
        raise RuntimeError("the page could not be drawn")

    monkeypatch.setattr("billets.billet.views.done", broken)
    as_helper.raise_request_exception = False
    lost = post(as_helper, "billet-heat", billet, HEAT)
    monkeypatch.undo()

    again = post(as_helper, "billet-heat", billet, HEAT)

    assert lost.status_code == 500
    assert again.status_code == 302
    assert Heat.objects.count() == 1


def test_a_stranger_spends_nothing(client: Client, billet: Billet) -> None:
    post(client, "billet-heat", billet, HEAT)

    assert not Press.objects.exists()
    assert not Heat.objects.exists()


def test_old_presses_are_let_go(helper: Person) -> None:
    for age_days in (31, 29):
        writing.spend(key=f"{age_days}", by=helper)
        at = clock.now() - timedelta(days=age_days)
        Press.objects.filter(key=f"{age_days}").update(at=at)

    gone = writing.sweep()

    assert gone == 1
    assert Press.objects.get().key == "29"


@pytest.mark.slow
@pytest.mark.django_db(transaction=True)
def test_presses_at_the_same_moment_are_one_act(helper: Person, make_billet: MakeBillet) -> None:
    billet = make_billet(stage="welded")
    answers: list[int] = []

    def press() -> None:
        client = PlainClient()
        client.force_login(helper)
        data = HEAT | {"temperature_mdegc": "1600"}
        answers.append(client.post(url("billet-heat", billet.mark), data).status_code)

    all_at_once([press] * 4, refusals=())

    assert answers == [302] * 4
    assert Heat.objects.count() == Press.objects.count() == 1
