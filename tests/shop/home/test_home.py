"""The first page: what is next, for a new shop and for one at work."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from django.urls import reverse

from billets.history import writing as history
from billets.models import Billet
from shop.cut_list import reading as cut_list_reading
from shop.cut_list import writing as cut_list
from stock import clock
from stock.house import House
from stock.models import Purchase
from tests.kinds import (
    Client,
    DjangoAssertNumQueries,
    MakeClass,
    MakeLayup,
    MakePiece,
    Person,
    Supplier,
)

HOME = "/"


def soon(days: int) -> dict[str, Any]:
    """The days of a class so many days from now."""
    first = clock.today() + timedelta(days=days)
    return {"starts_on": first, "ends_on": first + timedelta(days=1)}


def test_a_new_shop_is_led_from_metal_to_layup_to_class(
    as_owner: Client, make_bar: MakePiece, make_layup: MakeLayup
) -> None:
    empty = as_owner.get(HOME).text
    make_bar()
    with_metal = as_owner.get(HOME).text
    make_layup()
    with_layup = as_owner.get(HOME).text

    assert "Receive the metal that is on your rack" in empty
    assert "Make your first layup" in with_metal
    assert "Add your first class" in with_layup


def test_a_planned_class_leads_to_its_cut_list(as_helper: Client, planned_class: MakeClass) -> None:
    row = planned_class(students=2, **soon(20))

    page = as_helper.get(HOME).text

    assert "Cut 10 blanks for Copper blades" in page
    assert reverse("shop:cut-list", args=[row.pk]) in page
    assert "$" not in page


def test_a_class_that_is_over_asks_for_its_outcomes(
    as_owner: Client, planned_class: MakeClass
) -> None:
    planned_class(students=1, **soon(-5))

    page = as_owner.get(HOME).text

    assert "Write down what came of Copper blades" in page
    assert "No class is coming." in page


@pytest.mark.slow
def test_billets_stand_on_the_bench_by_what_is_done_to_them_next(
    as_owner: Client, planned_class: MakeClass, owner: Person
) -> None:
    row = planned_class(students=2, **soon(20))
    while following := cut_list_reading.cut_list(row, house=House())["next"]:
        cut_list.tick_cut(set_aside=following.row, by=owner)
    first = Billet.objects.earliest("id")
    history.record_step(billet=first, kind="cleaned", by=owner)

    page = as_owner.get(HOME).text

    assert "1 billet to clean and stack" in page
    assert "1 billet to weld shut" in page
    assert reverse("billets:billet-detail", args=[first.mark]) in page


def test_a_late_order_comes_before_what_has_time(
    as_owner: Client, planned_class: MakeClass, supplier: Supplier, owner: Person
) -> None:
    planned_class(students=1, **soon(30))
    due = clock.today() - timedelta(days=2)
    Purchase.objects.create(supplier=supplier, state="ordered", due_on=due, by=owner)

    page = as_owner.get(HOME).text

    assert page.index("Receive the metal from Marrow &amp; Daughter Steels") < page.index(
        "Cut 5 blanks"
    )
    assert "was due" in page


def test_the_first_page_asks_few_questions_for_many_classes(
    as_owner: Client,
    make_class: MakeClass,
    make_layup: MakeLayup,
    make_bar: MakePiece,
    django_assert_max_num_queries: DjangoAssertNumQueries,
) -> None:
    make_bar()
    layup = make_layup()
    for number in range(8):
        make_class(layup=layup, title=f"Class {number}", **soon(10 + number))

    with django_assert_max_num_queries(150):
        as_owner.get(HOME)


def test_a_stranger_is_sent_to_the_door(client: Client, owner: Person) -> None:
    assert client.get(HOME)["Location"] == "/sign-in/?next=/"
