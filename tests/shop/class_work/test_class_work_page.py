"""What the work page of a class offers, and what it leaves out."""

from __future__ import annotations

from datetime import timedelta

import pytest
from bs4 import BeautifulSoup
from django.urls import reverse

from billets.history import writing as history
from billets.hours import writing as hours
from billets.models import StepKind
from shop.knives import writing as knives
from shop.models import ForgeClass, Knife
from stock import clock
from tests.kinds import Client, DjangoAssertNumQueries, MakeClass, Person
from tests.pages import one
from tests.shop.knife_posts import T0
from tests.shop.work_posts import address, billets_of, stages


def test_a_withdrawn_billet_is_no_part_of_it(as_owner: Client, worked_class: ForgeClass) -> None:
    out = billets_of(worked_class)[2]
    history.withdraw(billets=[out])

    page = as_owner.get(address("", worked_class)).text
    as_owner.post(address("-stage", worked_class), {"next-kind": "cleaned"})

    assert f"<b>{out.mark}</b>" not in page
    assert stages(worked_class) == ["cleaned", "cleaned", "cut", "cleaned"]


@pytest.mark.slow
def test_other_pages_lead_to_the_work_of_the_class(
    as_helper: Client, worked_class: ForgeClass, owner: Person
) -> None:
    lonely = history.make_billet(layup=worked_class.layup, by=owner)
    mark, work = billets_of(worked_class)[0].mark, address("", worked_class)

    pages = [
        reverse("billets:billet-detail", args=[mark]),
        reverse("shop:class-detail", args=[worked_class.pk]),
        reverse("shop:cut-list", args=[worked_class.pk]),
    ]

    assert [url for url in pages if f'href="{work}"' not in as_helper.get(url).text] == []
    alone = as_helper.get(reverse("billets:billet-detail", args=[lonely.mark])).text
    assert "/hours/" not in alone


def test_a_class_without_billets_leads_to_its_plan(as_owner: Client, make_class: MakeClass) -> None:
    row = make_class()

    page = as_owner.get(address("", row)).text

    assert "No billet of this class is planned yet" in page
    assert reverse("shop:plan", args=[row.pk]) in page


def test_the_page_offers_what_is_left_to_do_and_no_money(
    as_helper: Client, worked_class: ForgeClass, owner: Person
) -> None:
    history.record_step(billet=billets_of(worked_class)[0], kind="cleaned", by=owner)

    page = BeautifulSoup(as_helper.get(address("", worked_class)).text, "html.parser")

    steps = {one["value"]: " ".join(one.text.split()) for one in page.select('[name="step"]')}
    assert steps == {
        "clean": "Start the clock: Clean · 3",
        "weld": "Start the clock: Weld shut · 4",
        "forge": "Start the clock: Forge · 4",
        "finish": "Start the clock: Finish · 4",
    }
    kinds = {one["value"]: one.text.strip() for one in page.select('[name="next-kind"]')}
    assert kinds == {StepKind.CLEANED: "Cleaned · 3", StepKind.WELDED: "Welded shut · 1"}
    assert "$" not in page.text


def test_the_minutes_that_are_folded_away_hold_no_other_button_back(
    as_helper: Client, worked_class: ForgeClass
) -> None:
    page = BeautifulSoup(as_helper.get(address("", worked_class)).text, "html.parser")
    form = one(page, "form:has([name=typed-minutes])")

    judged = [act.text.strip() for act in form.select("button:not([formnovalidate])")]
    unjudged = [act["name"] for act in form.select("button[formnovalidate][name]")]

    assert form.select("details:not([open]) [name=typed-minutes][required]")
    assert judged == ["Write it down"]
    assert set(unjudged) == {"step", "next-kind"}


def test_return_in_a_field_presses_no_button_of_the_page(
    as_helper: Client, worked_class: ForgeClass
) -> None:
    page = BeautifulSoup(as_helper.get(address("", worked_class)).text, "html.parser")

    form = page.select_one("form.settings")
    assert form is not None
    first = form.select_one("button[type=submit]")
    assert first is not None
    assert (form["action"], first.get("formaction"), first.get("name")) == (
        address("", worked_class),
        None,
        None,
    )


@pytest.mark.slow
def test_the_page_of_twelve_billets_takes_few_queries(
    as_owner: Client,
    owner: Person,
    make_class: MakeClass,
    django_assert_max_num_queries: DjangoAssertNumQueries,
) -> None:
    row = make_class(students=12)
    for seat in row.seats.all():
        seat.billet = history.make_billet(layup=row.layup, by=owner)
        seat.save()
        hours.add_minutes(billets=[seat.billet], step="cut", minutes=seat.number, person=owner)

    with django_assert_max_num_queries(28):
        as_owner.get(address("", row))


def test_no_clock_is_offered_while_one_that_was_left_on_is_unanswered(
    as_owner: Client, owner: Person, worked_class: ForgeClass, knife: Knife
) -> None:
    with clock.as_of(T0):
        knives.start_clock(knife=knife, step="grind", person=owner)
    with clock.as_of(T0 + timedelta(hours=13)):
        page = BeautifulSoup(as_owner.get(address("", worked_class)).text, "html.parser")

    assert page.select('[name="step"]') == []
    assert "Say first how long the clock really ran that was left on." in page.text
    assert page.select('[name="next-kind"]') != []
