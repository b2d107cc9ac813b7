"""A shop with years behind it: pages answer, and ask the database no more than a small one's."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from billets.models import Billet, Blank
from shop.dates import writing as dates_writing
from shop.models import ForgeClass, Seat
from stock import clock
from stock.models import SetAside
from tests.kinds import ClassMetal, Client, MakeClass, MakeLayup, MakePiece, Person

IN = 25_400_000


@pytest.fixture
def crowded_class(make_class: MakeClass, make_bar: MakePiece, owner: Person) -> ForgeClass:
    """A class of 110 billets with ten blanks each: more than a thousand cut blanks."""
    row, bar = make_class(students=110), make_bar()
    design = row.layup.design().to_json()
    billets = Billet.objects.bulk_create(
        Billet(mark=f"X{number}", design_json=design, made_at=clock.now(), by=owner)
        for number in range(110)
    )
    for seat, billet in zip(row.seats.order_by("number"), billets, strict=True):
        Seat.objects.filter(pk=seat.pk).update(billet=billet)
    asides = SetAside.objects.bulk_create(
        SetAside(
            piece=bar,
            state="cut",
            amount=IN,
            length_nm=IN,
            plan=row.plan_key,
            by=owner,
            made_at=clock.now(),
        )
        for _ in range(1100)
    )
    Blank.objects.bulk_create(
        Blank(
            billet=billets[number // 10],
            position=number % 10,
            alloy="1084",
            role="core",
            thickness_nm=IN // 8,
            width_nm=IN,
            length_nm=IN,
            set_aside=aside,
        )
        for number, aside in enumerate(asides)
    )
    return row


@pytest.mark.slow
def test_more_than_a_thousand_cut_blanks_are_read_at_once(
    as_owner: Client, crowded_class: ForgeClass
) -> None:
    listed = as_owner.get("/classes/")
    opened = as_owner.get(f"/classes/{crowded_class.pk}/")

    assert (listed.status_code, opened.status_code) == (200, 200)
    assert "1100" in opened.text.replace(",", "")


@pytest.fixture
def classes_to_come(make_class: MakeClass, make_layup: MakeLayup) -> Any:
    """Classes a week apart by number, each with a layup of its own."""

    def build(*numbers: int) -> None:
        for number in numbers:
            first = clock.today() + timedelta(days=30 + 7 * number)
            layup = make_layup(name=f"Layup {first}")
            make_class(students=2, layup=layup, starts_on=first, ends_on=first)

    return build


def queries_of(client: Client, address: str) -> int:
    """How often a page asks the database."""
    with CaptureQueriesContext(connection) as asked:
        response = client.get(address)
    assert response.status_code == 200
    return len(asked)


def test_the_first_page_asks_no_more_for_six_classes_than_for_one(
    as_owner: Client, class_metal: ClassMetal, classes_to_come: Any
) -> None:
    classes_to_come(0)
    as_owner.get("/")
    with_one = queries_of(as_owner, "/")

    classes_to_come(1, 2, 3, 4, 5)
    with_six = queries_of(as_owner, "/")

    assert with_six <= with_one
    assert with_six <= 40


def test_the_calendar_asks_no_more_for_six_classes_than_for_one(
    as_owner: Client, class_metal: ClassMetal, classes_to_come: Any, owner: Person
) -> None:
    classes_to_come(0)
    link = dates_writing.renew(by=owner)
    address = f"/calendar/{link.token}.ics"
    as_owner.get(address)
    with_one = queries_of(as_owner, address)

    classes_to_come(1, 2, 3, 4, 5)

    assert queries_of(as_owner, address) <= with_one


def test_the_list_of_classes_asks_no_more_for_six_classes_than_for_one(
    as_owner: Client, class_metal: ClassMetal, classes_to_come: Any
) -> None:
    classes_to_come(0)
    as_owner.get("/classes/")
    with_one = queries_of(as_owner, "/classes/")

    classes_to_come(1, 2, 3, 4, 5)

    assert queries_of(as_owner, "/classes/") <= with_one
