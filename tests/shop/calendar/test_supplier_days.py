"""Suppliers who count working days: the same days on dates, shopping lists and orders."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
from django.urls import reverse
from hypothesis import given
from hypothesis import strategies as st

from shop.buying import reading_facts
from shop.buying.list import BuyOrder
from shop.calendar.opening import calendar_days, days_words, delivered_on, last_order_day, pace
from shop.dates import reading as dates_reading
from shop.rates.writing import History
from stock import clock
from stock.house import House
from stock.models import Offer, Supplier
from tests.conftest import IN
from tests.kinds import Client, MakeClass, MakeMaterial

FORM = {"name": "Alder Metals", "days_to_deliver": "5", "counts": "working"}


@pytest.mark.parametrize(
    ("by", "counts", "day"),
    [
        (date(2026, 4, 8), "calendar", date(2026, 4, 5)),
        (date(2026, 4, 8), "working", date(2026, 4, 3)),  # Wednesday; Mon, Tue, Wed after Friday
        (date(2026, 4, 10), "working", date(2026, 4, 7)),  # Friday: inside one week
        (date(2026, 4, 12), "working", date(2026, 4, 7)),  # Sunday: nothing comes, so Friday
        (date(2026, 4, 13), "working", date(2026, 4, 8)),  # Monday
    ],
)
def test_the_last_day_to_order_for_three_days(by: date, counts: str, day: date) -> None:
    assert last_order_day(by, days=3, counts=counts) == day


@given(
    by=st.dates(date(2020, 1, 1), date(2040, 1, 1)),
    days=st.integers(0, 60),
    counts=st.sampled_from(["calendar", "working"]),
)
def test_an_order_a_day_after_the_last_comes_too_late(by: date, days: int, counts: str) -> None:
    last = last_order_day(by, days=days, counts=counts)

    assert delivered_on(last, days=days, counts=counts) <= by
    assert delivered_on(last + timedelta(days=1), days=days, counts=counts) > by


def test_days_are_said_as_the_supplier_counts_them() -> None:
    assert days_words(1, counts="working") == "1 working day"
    assert days_words(5, counts="calendar") == "5 days"
    assert calendar_days(date(2026, 4, 4), days=5, counts="working") == 9  # Saturday to Monday
    assert pace(5, counts="working") == pace(7, counts="calendar")


def test_a_supplier_says_how_it_counts(as_owner: Client, supplier: Supplier) -> None:
    url = reverse("stock:supplier-change", args=[supplier.pk])

    as_owner.post(url, FORM | {"name": supplier.name})
    shown = as_owner.get(reverse("stock:supplier-list")).text
    refused = as_owner.post(url, FORM | {"counts": "moons"})

    supplier.refresh_from_db()
    assert supplier.counts == "working"
    assert "5 <small>working</small>" in shown
    assert refused.status_code == 422


def test_a_form_that_says_nothing_counts_every_day(as_owner: Client) -> None:
    as_owner.post(reverse("stock:supplier-add"), {"name": "Birch Supply", "days_to_deliver": "3"})

    assert Supplier.objects.get().counts == "calendar"


def test_dates_of_a_class_count_the_working_days_of_its_supplier(
    as_owner: Client, make_class: MakeClass, make_material: MakeMaterial, supplier: Supplier
) -> None:
    row = make_class(students=2)
    Supplier.objects.filter(pk=supplier.pk).update(counts="working")
    Offer.objects.create(
        supplier=supplier, material=make_material(), length_nm=36 * IN, price_cents=2400
    )

    dates = dates_reading.class_dates(
        row, history=History(()), house=House(), today=date(2026, 4, 1)
    )
    with clock.as_of(datetime(2026, 4, 1, 9, tzinfo=UTC)):
        page = as_owner.get(reverse("shop:class-dates", args=[row.pk])).text

    # Wanted by Wednesday 6 May: five working days back is Wednesday 29 April; by the calendar
    # it was Friday 1 May.
    order = dates.found.schedule.orders[0]
    assert (order.last_order_day, order.arrives_on) == (date(2026, 4, 29), date(2026, 5, 6))
    assert "Marrow &amp; Daughter Steels, 5 working days" in page


def test_the_faster_of_two_suppliers_is_asked_however_they_count(
    make_class: MakeClass, make_material: MakeMaterial, supplier: Supplier
) -> None:
    row = make_class(students=2)
    other = Supplier.objects.create(name="Alder Metals", days_to_deliver=6)
    Supplier.objects.filter(pk=supplier.pk).update(counts="working")
    for one in (supplier, other):
        Offer.objects.create(
            supplier=one, material=make_material(), length_nm=36 * IN, price_cents=2400
        )

    dates = dates_reading.class_dates(
        row, history=History(()), house=House(), today=date(2026, 4, 1)
    )

    # Five working days are a week, so six days of the calendar are sooner.
    assert dates.found.schedule.orders[0].delivery.supplier == "Alder Metals"


def test_a_shopping_list_holds_from_day_to_day_with_working_days(
    make_class: MakeClass, make_material: MakeMaterial, supplier: Supplier
) -> None:
    make_class(students=2)
    Supplier.objects.filter(pk=supplier.pk).update(counts="working")
    Offer.objects.create(
        supplier=supplier, material=make_material(), length_nm=36 * IN, price_cents=2400
    )

    friday = reading_facts.asked(house=House(), today=date(2026, 4, 3))
    saturday = reading_facts.asked(house=House(), today=date(2026, 4, 4))

    assert (friday.suppliers[0].days, saturday.suppliers[0].days) == (7, 9)
    assert friday.fingerprint() == saturday.fingerprint()


def test_an_order_placed_on_a_later_day_is_due_by_its_own_working_days() -> None:
    order = BuyOrder("Alder Metals", 7, "2026-04-10", 100, 0, (), working_days=5)
    plain = BuyOrder("Birch Supply", 7, "2026-04-10", 100, 0, ())

    assert order.days_words == "5 working days"
    assert order.arrives(date(2026, 4, 3)) == date(2026, 4, 10)
    assert order.arrives(date(2026, 4, 4)) == date(2026, 4, 13)
    assert plain.arrives(date(2026, 4, 4)) == date(2026, 4, 11)
