"""Classes on the screen: listed, added, changed, cancelled, as a table file."""

from __future__ import annotations

from typing import Any

import pytest
from django.urls import reverse

from shop.cut_list import writing as cut_list
from shop.models import ForgeClass, Seat
from stock.models import Piece, SetAside
from tests.kinds import Client, DjangoAssertNumQueries, Layup, MakeClass, MakeLayup, Person

IN = 25_400_000


def typed(layup: Layup, **changes: Any) -> dict[str, Any]:
    """The form of a class, filled."""
    return {
        "title": "Copper blades",
        "starts_on": "2026-12-12",
        "ends_on": "2026-12-13",
        "place": "The forge",
        "seat_count": "4",
        "spares": "1",
        "layup": layup.pk,
        "note": "",
    } | changes


@pytest.mark.slow
def test_a_class_is_added_with_its_spares(as_owner: Client, make_layup: MakeLayup) -> None:
    response = as_owner.post(reverse("shop:class-add"), typed(make_layup()))

    row = ForgeClass.objects.get()
    assert response["Location"] == reverse("shop:class-detail", args=[row.pk])
    assert (row.title, row.seat_count, str(row.starts_on)) == (
        "Copper blades",
        4,
        "2026-12-12",
    )
    assert [seat.is_spare for seat in row.seats.all()] == [True]


@pytest.mark.parametrize(
    ("field", "text", "sentence"),
    [
        ("seat_count", "0", "A class needs at least 1 seat"),
        ("seat_count", "-3", "A class needs at least 1 seat"),
        ("seat_count", "many", "Write a whole number of seats"),
        ("seat_count", "9**9**9", "Write a whole number of seats"),
        ("seat_count", "61", "60 seats are the most"),
        ("ends_on", "2026-12-01", "before that. Write the same day or a later one."),
        ("starts_on", "next week", "&#x27;next week&#x27; is not a day"),
        ("spares", "-1", "Spares cannot be fewer than 0"),
        ("title", "", "This is needed. Fill it in."),
    ],
)
def test_a_bad_figure_is_told_and_nothing_is_lost(
    as_owner: Client, make_layup: MakeLayup, field: str, text: str, sentence: str
) -> None:
    response = as_owner.post(
        reverse("shop:class-add"), typed(make_layup(), place="Barn", **{field: text})
    )

    assert response.status_code == 422
    assert sentence in response.text
    assert 'value="Barn"' in response.text
    assert not ForgeClass.objects.exists()


def test_a_layup_without_layers_is_refused(as_owner: Client) -> None:
    from billets.models import Layup

    empty = Layup.objects.create(name="Nothing yet")

    response = as_owner.post(reverse("shop:class-add"), typed(empty))

    assert response.status_code == 422
    assert "Nothing yet has no layers yet" in response.text


def test_a_shop_without_classes_has_one_way_to_begin(as_owner: Client) -> None:
    response = as_owner.get(reverse("shop:class-list"))

    assert "No class is coming." in response.text
    assert response.text.count(f'href="{reverse("shop:class-add")}"') == 1


def test_a_changed_class_keeps_its_students(as_owner: Client, make_class: MakeClass) -> None:
    row = make_class(students=2)

    as_owner.post(
        reverse("shop:class-change", args=[row.pk]),
        typed(row.layup, title="Longer blades", seat_count="5", spares="2"),
    )

    row.refresh_from_db()
    assert (row.title, row.seat_count) == ("Longer blades", 5)
    assert row.seats.filter(is_spare=True).count() == 2
    assert row.seats.filter(is_spare=False).count() == 2


def test_fewer_seats_than_are_taken_is_refused(as_owner: Client, make_class: MakeClass) -> None:
    row = make_class(students=3)

    response = as_owner.post(
        reverse("shop:class-change", args=[row.pk]), typed(row.layup, seat_count="2")
    )

    assert response.status_code == 422
    assert "3 seats are taken; 2 is too few" in response.text
    assert ForgeClass.objects.get().seat_count == 3


def test_the_page_of_a_class_shows_what_has_no_metal(
    as_owner: Client, make_class: MakeClass
) -> None:
    row = make_class(students=2, spares=1)

    page = as_owner.get(reverse("shop:class-detail", args=[row.pk])).text

    assert "15 of 15 blanks have no metal" in page
    assert "Student 1" in page
    assert "Make the plan" in page


def test_a_cancelled_class_frees_its_metal(as_owner: Client, planned_class: MakeClass) -> None:
    row = planned_class(students=2)
    assert Piece.objects.filter(set_aside__gt=0).exists()

    response = as_owner.post(reverse("shop:class-cancel", args=[row.pk]), follow=True)

    assert "is cancelled. Its metal is free again." in response.text
    assert not Piece.objects.filter(set_aside__gt=0).exists()
    again = as_owner.post(reverse("shop:class-cancel", args=[row.pk]), follow=True)
    assert "was cancelled; nothing of it can be changed" in again.text


def test_the_csv_has_a_line_a_seat_and_money_for_the_owner_only(
    client: Client, owner: Person, helper: Person, planned_class: MakeClass
) -> None:
    row = planned_class(students=2)
    Seat.objects.filter(number=2).update(student="=HYPERLINK(1)")
    url = reverse("shop:class-csv", args=[row.pk])

    client.force_login(owner)
    owners = client.get(url)
    client.force_login(helper)
    helpers = client.get(url)

    assert owners["Content-Type"] == "text/csv; charset=utf-8"
    lines = owners.content.decode("utf-8-sig").splitlines()
    assert len(lines) == 3
    assert lines[0].endswith("Metal cost (USD)")
    assert "'=HYPERLINK(1)" in lines[2]
    assert "Metal cost" not in helpers.content.decode()
    assert len(helpers.content.decode("utf-8-sig").splitlines()[0].split(",")) == 12


@pytest.mark.slow
def test_a_helper_sees_no_money_on_the_pages_of_a_class(
    as_helper: Client, planned_class: MakeClass
) -> None:
    row = planned_class(students=2)

    for name in ("class-list", "class-detail", "plan", "cut-list", "after-class"):
        args = [] if name == "class-list" else [row.pk]
        page = as_helper.get(reverse(f"shop:{name}", args=args)).text
        assert "$" not in page, name
        assert "worth" not in page, name
        assert "cost" not in page, name


@pytest.mark.parametrize(
    "name",
    ["class-list", "class-detail", "class-change", "class-csv", "plan", "cut-list", "after-class",
     "seat-add", "seat-paste"],
)  # fmt: skip
def test_a_stranger_is_sent_to_sign_in(
    client: Client, make_class: MakeClass, owner: Person, name: str
) -> None:
    row = make_class()
    args = [] if name == "class-list" else [row.pk]

    response = client.get(reverse(f"shop:{name}", args=args))

    assert response.status_code == 302
    assert reverse("shop:sign-in") in response["Location"]


@pytest.mark.parametrize(
    "name", ["class-cancel", "class-hold", "class-new-layups", "seat-fill", "plan-stop",
             "plan-confirm", "plan-free"],
)  # fmt: skip
def test_what_writes_refuses_to_be_got(as_owner: Client, make_class: MakeClass, name: str) -> None:
    row = make_class()

    response = as_owner.get(reverse(f"shop:{name}", args=[row.pk]))

    assert response.status_code == 405


def test_the_list_asks_few_questions_however_long_it_is(
    as_owner: Client,
    make_class: MakeClass,
    make_layup: MakeLayup,
    django_assert_max_num_queries: DjangoAssertNumQueries,
) -> None:
    layup = make_layup()
    for number in range(12):
        make_class(students=4, layup=layup, title=f"Class {number}")

    with django_assert_max_num_queries(16):
        page = as_owner.get(reverse("shop:class-list")).text

    assert "Class 11" in page


def test_the_page_of_a_large_class_asks_few_questions(
    as_owner: Client, make_class: MakeClass, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    row = make_class(students=30)

    with django_assert_max_num_queries(30):
        as_owner.get(reverse("shop:class-detail", args=[row.pk]))


def test_the_ledger_names_a_class_and_leads_to_its_cut_list(make_class: MakeClass) -> None:
    from stock.ledger import jobs

    row = make_class(students=1)

    words = jobs.words_of([row.plan_key])[row.plan_key]

    assert words.text == "Copper blades"
    assert words.url == reverse("shop:cut-list", args=[row.pk])


@pytest.mark.parametrize(
    ("first", "last", "told"),
    [
        ("0001-01-01", "0001-01-02", "is in the year 1; we take 2000 to 2100"),
        ("9999-12-30", "9999-12-31", "is in the year 9999"),
        ("2026-05-09", "2026-08-09", "are 93 days; a class has 60 at most"),
    ],
)
def test_days_that_can_only_be_a_slip_are_refused(
    as_owner: Client, make_layup: MakeLayup, first: str, last: str, told: str
) -> None:
    given = {"title": "Odd", "starts_on": first, "ends_on": last, "seat_count": "3"}

    response = as_owner.post(
        reverse("shop:class-add"), given | {"layup": make_layup().pk, "spares": ""}
    )

    assert response.status_code == 422
    assert told in response.text
    assert not ForgeClass.objects.exists()


def test_a_class_that_is_over_takes_no_seats_and_is_not_cancelled(
    as_owner: Client, make_class: MakeClass
) -> None:
    row = make_class(state="held", seat_count=4)

    page = as_owner.get(reverse("shop:class-detail", args=[row.pk])).text
    pasted = as_owner.post(reverse("shop:seat-paste", args=[row.pk]), {"students": "Ana Ruiz"})
    as_owner.post(reverse("shop:class-cancel", args=[row.pk]))

    assert "Cancel the class" not in page
    assert "Paste students" not in page
    assert "is over; no seat can be added" in pasted.text
    row.refresh_from_db()
    assert (row.state, row.seats.count()) == ("held", 2)


def test_cancelling_a_class_names_the_billets_that_are_begun(
    as_owner: Client, planned_class: MakeClass, owner: Person
) -> None:
    row = planned_class(students=2)
    first = SetAside.objects.filter(kind="blank", piece__material__form="flat").earliest("id")
    cut_list.tick_cut(set_aside=first, by=owner)
    mark = first.label.split("-")[0]

    page = as_owner.post(reverse("shop:class-cancel", args=[row.pk]), follow=True).text

    assert f"Begun already, so they stay among the billets: {mark}." in page


def test_a_cancelled_class_is_not_changed(as_owner: Client, make_class: MakeClass) -> None:
    row = make_class(state="cancelled")

    page = as_owner.get(reverse("shop:class-change", args=[row.pk]), follow=True)

    assert page.redirect_chain[0][0] == reverse("shop:class-detail", args=[row.pk])
    assert "was cancelled; nothing of it can be changed" in page.text


def test_the_add_button_pressed_twice_makes_one_class(
    as_owner: Client, make_layup: MakeLayup
) -> None:
    given = typed(make_layup())
    as_owner.post(reverse("shop:class-add"), given)

    again = as_owner.post(reverse("shop:class-add"), given)
    other_day = given | {"starts_on": "2026-12-13"}

    assert again.status_code == 422
    assert "was the button pressed twice?" in again.text
    assert ForgeClass.objects.count() == 1
    assert as_owner.post(reverse("shop:class-add"), other_day).status_code == 302


def test_a_class_keeps_its_title_when_it_is_changed(
    as_owner: Client, make_class: MakeClass
) -> None:
    row = make_class()
    given = typed(row.layup, title=row.title, starts_on="2026-05-09", ends_on="2026-05-10")

    response = as_owner.post(reverse("shop:class-change", args=[row.pk]), given)

    assert response.status_code == 302
