"""The heat treatment of a blade: begun with the steel's figures, written down as done, struck."""

from __future__ import annotations

from typing import Any

import pytest
from django.urls import reverse

from billets.heat.treatment import treatment_card
from billets.history import writing as history
from shop.knives import writing as knives
from shop.knives.recipe import over_ceiling, recipe_of
from shop.models import Knife, KnifeTreatment
from stock.alloys.book import book
from stock.house import House
from tests.conftest import IN
from tests.kinds import Client, MakeLayup, MakePiece, Person, Saw
from tests.shop.knife_posts import page

DONE = {"temperature_mdegc": "1475", "seconds": "10", "times": "1", "medium": "canola at 120 F"}


def step_url(knife: Knife, step: str) -> str:
    """The page of one step."""
    return reverse("shop:knife-treatment", args=[knife.pk, step])


@pytest.fixture
def laminated(owner: Person, make_layup: MakeLayup) -> Knife:
    """A knife of a billet with a 1095 core and copper lines."""
    billet = history.make_billet(layup=make_layup(), by=owner)
    return knives.make_knife(pattern="petty", by=owner, billet=billet)


def test_a_step_begins_with_the_figures_of_the_core(as_helper: Client, laminated: Knife) -> None:
    card = treatment_card(book()["1095"], ceiling_c=None)
    harden = next(step for step in card.steps if step.name == "harden")

    shown = as_helper.get(step_url(laminated, "harden")).text

    assert "petty, 1095" in shown
    assert harden.text("inch") in shown
    assert "the maker&#x27;s sheet for the heat you bought" in shown


def test_a_step_is_kept_as_it_was_typed(
    as_helper: Client, helper: Person, laminated: Knife
) -> None:
    response = as_helper.post(
        step_url(laminated, "harden"), DONE | {"step": "harden", "hrc": "65.5"}
    )

    row = KnifeTreatment.objects.get()
    assert response["Location"] == reverse("shop:knife-detail", args=[laminated.pk])
    # 1475 °F is 801.667 °C; a bare 10 is minutes.
    assert (row.step, row.temperature_mdegc, row.seconds) == ("harden", 801_667, 600)
    assert (row.medium, row.hrc_tenths, row.by) == ("canola at 120 F", 655, helper)


def test_the_knife_s_page_tells_what_was_done(
    as_helper: Client, laminated: Knife, owner: Person
) -> None:
    knives.write_step(
        knife=laminated,
        step="temper",
        times=2,
        temperature_mdegc=204_444,
        seconds=7200,
        hrc_tenths=600,
        by=owner,
    )

    shown = as_helper.get(reverse("shop:knife-detail", args=[laminated.pk])).text

    assert "Temper, 2\u00a0×" in shown
    assert "400 °F · 204 °C" in shown
    assert "held 2 h" in shown
    assert "60 HRC" in shown


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"temperature_mdegc": "2900"}, "is no heat for a blade"),
        ({"temperature_mdegc": "red"}, "red"),
        ({"seconds": "300 h"}, "longer than 100 h"),
        ({"times": "0"}, "from 1 to 20"),
        ({"hrc": "12"}, "Rockwell C runs from 20 to 70"),
        ({"hrc": "99"}, "More than 70"),
        ({"temperature_mdegc": "", "seconds": "", "medium": ""}, "at least one of"),
    ],
)
def test_a_step_that_cannot_be_is_refused(
    as_owner: Client, laminated: Knife, changes: dict[str, str], sentence: str
) -> None:
    response = as_owner.post(step_url(laminated, "harden"), DONE | {"step": "harden"} | changes)

    assert response.status_code == 422
    assert sentence in response.text
    assert not KnifeTreatment.objects.exists()


@pytest.mark.parametrize(
    "wrong",
    [
        {"step": "anneal-it"}, {"times": 0}, {"temperature_mdegc": 2_000_000},
        {"seconds": 0}, {"hrc_tenths": 120}, {"temperature_mdegc": None},
    ],
)  # fmt: skip
def test_the_writer_itself_refuses_what_cannot_be(
    laminated: Knife, owner: Person, wrong: dict[str, Any]
) -> None:
    about: dict[str, Any] = {"step": "harden", "temperature_mdegc": 800_000}

    with pytest.raises(knives.TreatmentRefused):
        knives.write_step(knife=laminated, by=owner, **(about | wrong))

    assert not KnifeTreatment.objects.exists()


def test_a_struck_step_is_told_no_more_and_stays(as_owner: Client, laminated: Knife) -> None:
    as_owner.post(step_url(laminated, "harden"), DONE | {"step": "harden"})
    row = KnifeTreatment.objects.get()

    page(as_owner, "treatment-strike", laminated, row.pk)

    assert knives.lines_of(laminated) == []
    assert KnifeTreatment.objects.count() == 1


def test_another_knife_s_step_is_not_struck(
    as_owner: Client, owner: Person, laminated: Knife, knife: Knife
) -> None:
    row = knives.write_step(knife=laminated, step="cold", seconds=60, by=owner)

    assert page(as_owner, "treatment-strike", knife, row.pk).status_code == 404


def test_a_blade_hotter_than_its_copper_stands_is_asked_about(
    as_owner: Client, laminated: Knife, owner: Person
) -> None:
    knives.write_step(knife=laminated, step="normalise", temperature_mdegc=1_050_000, by=owner)

    shown = as_owner.get(reverse("shop:knife-detail", args=[laminated.pk])).text

    assert "1922 °F · 1050 °C was written down, and this stack must stay under" in shown


def test_the_ceiling_itself_is_not_too_hot() -> None:
    card = treatment_card(book()["1095"], ceiling_c=900.0)

    assert over_ceiling([None, 900_000], card=card, system="metric") == ""
    assert "901 °C" in over_ceiling([901_000], card=card, system="metric")
    assert over_ceiling([901_000], card=None, system="metric") == ""


def test_a_blade_of_bar_takes_the_bar_s_figures(
    owner: Person, knife: Knife, make_bar: MakePiece, saw: Saw
) -> None:
    bar = make_bar()
    act = knives.cut_blade(knife=knife, piece=bar, length_nm=7 * IN, kerf_nm=0, by=owner)

    card = knives.card_of(knife, house=House())
    knives.put_back(knife=knife, act=act, by=owner)

    assert card is not None
    assert (card.alloy, card.ceiling_c) == ("1084", None)
    assert knives.card_of(knife, house=House()) is None


def test_a_step_without_a_recipe_starts_empty() -> None:
    card = treatment_card(book()["1095"], ceiling_c=None)

    assert recipe_of(card, step="cold", system="inch").words == ""
    assert (
        recipe_of(
            treatment_card(book()["80crv2"], ceiling_c=None), step="temper", system="inch"
        ).words
        == ""
    )
    assert recipe_of(None, step="harden", system="inch").temperature_mdegc is None


def test_a_step_that_nobody_knows_leads_back_to_the_knife(as_owner: Client, knife: Knife) -> None:
    response = as_owner.get(step_url(knife, "fry"))

    assert response["Location"] == reverse("shop:knife-detail", args=[knife.pk])


def test_a_stranger_writes_no_treatment(client: Client, knife: Knife) -> None:
    assert client.post(step_url(knife, "harden"), DONE).status_code == 302
    assert page(client, "treatment-strike", knife, 1).status_code == 302
    assert not KnifeTreatment.objects.exists()


def test_nothing_came_of_a_knife_and_it_is_in_work_again(as_helper: Client, knife: Knife) -> None:
    page(as_helper, "lose", knife, why="cracked in the quench")
    knife.refresh_from_db()
    shown = as_helper.get(reverse("shop:knife-list")).text
    lost = as_helper.get(reverse("shop:knife-list"), {"which": "lost"}).text
    reason = knife.lost_why

    page(as_helper, "unlose", knife)
    knife.refresh_from_db()

    assert reason == "cracked in the quench"
    assert "bird and trout" not in shown
    assert "came to nothing" in lost
    assert knife.lost_on is None


def test_a_lost_knife_takes_no_hours_and_is_not_sold(as_owner: Client, knife: Knife) -> None:
    knives.start_clock(knife=knife, step="grind", person=knife.by)
    page(as_owner, "lose", knife, why="begun by mistake")

    page(as_owner, "start", knife, step="grind")
    page(as_owner, "sell", knife, sold_to="Ada", sold_on="2026-04-01", price_cents="160.00")

    knife.refresh_from_db()
    assert knife.sold_on is None
    assert knife.times.get().stopped_at is not None


def test_a_sold_knife_is_not_lost_and_a_reason_is_asked_for(as_owner: Client, knife: Knife) -> None:
    page(as_owner, "sell", knife, sold_to="Ada", sold_on="2026-04-01", price_cents="160.00")

    page(as_owner, "lose", knife, why="dropped")
    unexplained = page(as_owner, "lose", knife, why="")

    knife.refresh_from_db()
    assert knife.lost_on is None
    assert unexplained.status_code == 422
    assert as_owner.get(reverse("shop:knife-lose", args=[knife.pk])).status_code == 405
