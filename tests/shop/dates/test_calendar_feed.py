"""The calendar: a private address, whole-day events by the standard, withdrawn and renewed."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import Any

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse
from icalendar import Calendar

from shop.calendar import writing as calendar_writing
from shop.calendar.timeline import Event
from shop.dates import reading as dates_reading
from shop.dates import writing as dates_writing
from shop.dates.ics_file import calendar_text
from shop.models import CalendarLink, ShopSettings
from stock import clock
from stock.models import Offer
from tests.conftest import IN
from tests.kinds import (
    Client,
    DjangoAssertNumQueries,
    MakeClass,
    MakeMaterial,
    Person,
    Response,
    Settings,
    Supplier,
)

NOW = datetime(2026, 4, 1, 9, tzinfo=UTC)


def feed(client: Client, token: str) -> Response:
    """What a calendar gets."""
    with clock.as_of(NOW):
        return client.get(reverse("shop:calendar-feed", args=[token]))


def test_a_calendar_reads_the_dates_without_signing_in(
    client: Client,
    owner: Person,
    make_class: MakeClass,
    make_material: MakeMaterial,
    supplier: Supplier,
) -> None:
    row = make_class(students=2)
    Offer.objects.create(
        supplier=supplier, material=make_material(), length_nm=36 * IN, price_cents=2400
    )
    link = dates_writing.renew(by=owner)

    response = feed(client, link.token)

    assert response.status_code == 200
    assert response["Content-Type"] == "text/calendar; charset=utf-8"
    calendar: Any = Calendar.from_ical(response.content)
    assert calendar["VERSION"] == "2.0"
    events = {str(one["UID"]): one for one in calendar.walk("VEVENT")}
    held = next(one for uid, one in events.items() if uid.startswith(f"class-{row.pk}-class@"))
    assert (held["DTSTART"].dt, held["DTEND"].dt) == (date(2026, 5, 9), date(2026, 5, 11))
    ordered = next(one for uid, one in events.items() if "-order-" in uid)
    assert str(ordered["SUMMARY"]).startswith("Last day to order")
    assert ordered["DTSTART"].dt == date(2026, 5, 1)
    assert all(one["DTSTAMP"].dt == NOW for one in events.values())


def test_no_student_and_no_money_is_in_the_feed(
    client: Client, owner: Person, make_class: MakeClass
) -> None:
    make_class(students=2)

    text = feed(client, dates_writing.renew(by=owner).token).content.decode()

    assert "Student" not in text
    assert "$" not in text


def test_lines_end_and_fold_as_the_standard_asks() -> None:
    event = Event(
        key="class",
        kind="class",
        title="Copper, brass; and a long title: " + "blade " * 20,
        first_day=date(2026, 5, 9),
        last_day=date(2026, 5, 10),
    )

    text = calendar_text([(3, event)], name="Fennel Lane", host="forge.example", now=NOW)

    lines = text.split(b"\r\n")
    assert lines[0] == b"BEGIN:VCALENDAR"
    assert lines[-2:] == [b"END:VCALENDAR", b""]
    assert b"\n" not in text.replace(b"\r\n", b"")
    assert max(map(len, lines)) <= 75
    read: Any = Calendar.from_ical(text)
    found = read.walk("VEVENT")[0]
    assert str(found["SUMMARY"]) == event.title
    assert found.errors == []


def test_a_renewed_address_stops_the_old_one(client: Client, owner: Person) -> None:
    old = dates_writing.renew(by=owner).token
    client.force_login(owner)
    client.post(reverse("shop:calendar-renew"))
    new = dates_reading.standing()

    assert new is not None
    assert new.token != old
    assert feed(client, old).status_code == 404
    assert feed(client, new.token).status_code == 200


def test_a_withdrawn_address_gives_nothing(client: Client, owner: Person) -> None:
    token = dates_writing.renew(by=owner).token
    client.force_login(owner)

    client.post(reverse("shop:calendar-withdraw"))

    assert feed(client, token).status_code == 404
    assert "Make an address" in client.get(reverse("shop:opening")).text


def test_a_guessed_address_gives_nothing(client: Client, shop_row: ShopSettings) -> None:
    assert feed(client, "guess").status_code == 404


def test_the_database_lets_one_address_stand(owner: Person) -> None:
    dates_writing.renew(by=owner)

    with pytest.raises(IntegrityError), transaction.atomic():
        CalendarLink.objects.create(token="second", by=owner, made_at=NOW)


def test_the_owner_alone_makes_and_stops_the_address(client: Client, helper: Person) -> None:
    for name in ("calendar-renew", "calendar-withdraw"):
        assert client.post(reverse(f"shop:{name}")).status_code == 302
    client.force_login(helper)

    for name in ("calendar-renew", "calendar-withdraw"):
        assert client.post(reverse(f"shop:{name}")).status_code == 403
    assert not CalendarLink.objects.exists()


def test_the_address_is_changed_by_post_only(as_owner: Client) -> None:
    for name in ("calendar-renew", "calendar-withdraw"):
        assert as_owner.get(reverse(f"shop:{name}")).status_code == 405


def test_a_feed_is_only_read(client: Client, owner: Person) -> None:
    token = dates_writing.renew(by=owner).token

    assert client.post(reverse("shop:calendar-feed", args=[token])).status_code == 405


def read(response: Response) -> dict[str, Any]:
    """The events of a feed by their names."""
    calendar: Any = Calendar.from_ical(response.content)
    found = calendar.walk("VEVENT")
    events = {str(one["UID"]): one for one in found}
    assert len(events) == len(found)
    assert all(one.errors == [] for one in found)
    return events


def test_events_keep_their_names_by_any_address_in_any_units(
    client: Client,
    owner: Person,
    make_class: MakeClass,
    make_material: MakeMaterial,
    supplier: Supplier,
    settings: Settings,
) -> None:
    settings.ALLOWED_HOSTS = ["testserver", "forge.example"]
    make_class(students=2)
    for about in ({}, {"alloy": "c10200", "form": "roll", "thickness_nm": IN // 50}):
        Offer.objects.create(
            supplier=supplier, material=make_material(**about), length_nm=36 * IN, price_cents=2400
        )
    link = dates_writing.renew(by=owner)
    first = read(feed(client, link.token))

    row = ShopSettings.objects.get()
    row.values = {"system": "metric"}
    row.save()
    link = dates_writing.renew(by=owner)
    with clock.as_of(NOW):
        other = client.get(
            reverse("shop:calendar-feed", args=[link.token]), headers={"host": "forge.example:8000"}
        )

    assert set(read(other)) == set(first)
    assert len(first) > 4
    assert "forge.example" not in other.content.decode()


def test_a_class_that_is_called_off_is_told_as_such(
    client: Client, owner: Person, make_class: MakeClass
) -> None:
    make_class(students=2, state="cancelled")

    (event,) = read(feed(client, dates_writing.renew(by=owner).token)).values()

    assert str(event["STATUS"]) == "CANCELLED"
    assert str(event["SUMMARY"]) == "Called off: Copper blades"
    assert str(event["TRANSP"]) == "TRANSPARENT"


@pytest.mark.parametrize(
    ("first", "last", "state"),
    [
        (date(2026, 3, 20), date(2026, 3, 21), "held"),
        (date(2026, 3, 20), date(2026, 3, 21), "planned"),  # nobody marked it as held
        (date(2026, 3, 31), date(2026, 4, 1), "planned"),  # it is on
    ],
)
def test_a_class_that_has_begun_keeps_its_day_and_nothing_before_it(
    client: Client, owner: Person, make_class: MakeClass, first: date, last: date, state: str
) -> None:
    make_class(students=2, starts_on=first, ends_on=last, state=state)

    (event,) = read(feed(client, dates_writing.renew(by=owner).token)).values()

    assert event["DTSTART"].dt == first
    assert str(event["SUMMARY"]) == "Copper blades"


def test_more_work_than_the_hours_hold_leaves_the_class_in_the_calendar(
    client: Client, owner: Person, make_class: MakeClass
) -> None:
    calendar_writing.set_hours(minutes=[1, 0, 0, 0, 0, 0, 0], closed=[], clear_days=0)
    make_class(students=20)

    (event,) = read(feed(client, dates_writing.renew(by=owner).token)).values()

    assert str(event["SUMMARY"]) == "Copper blades"


def test_a_wrong_address_tells_nothing_of_the_shop(
    client: Client, owner: Person, make_class: MakeClass
) -> None:
    make_class(students=2)
    old = dates_writing.renew(by=owner).token
    dates_writing.withdraw()

    for token in (old, "guess", old[:-1]):
        answer = feed(client, token)
        assert answer.status_code == 404
        for name in ("Fennel Lane", "Copper blades", "Orla", "VCALENDAR"):
            assert name not in answer.text


def test_marks_of_the_format_and_letters_of_many_bytes_come_back_whole() -> None:
    title = "Stahl; Kupfer, \\ und\nÄxte " + "é" * 70
    event = Event("class", "class", title, date(2026, 5, 9), date(2026, 5, 9))

    text = calendar_text([(3, event)], name="Größe, klein", host="x", now=NOW)

    assert max(map(len, text.split(b"\r\n"))) <= 75
    read_back: Any = Calendar.from_ical(text)
    assert str(read_back.walk("VEVENT")[0]["SUMMARY"]) == title
    assert str(read_back["X-WR-CALNAME"]) == "Größe, klein"


def test_whole_days_have_no_time_and_no_zone(
    client: Client, owner: Person, make_class: MakeClass
) -> None:
    # 25 October 2026 ends summer time in Oslo; the class is over it.
    make_class(students=2, starts_on=date(2026, 10, 24), ends_on=date(2026, 10, 25))

    text = feed(client, dates_writing.renew(by=owner).token).content.decode()

    assert "DTSTART;VALUE=DATE:20261024" in text
    assert "DTEND;VALUE=DATE:20261026" in text
    assert "TZID" not in text


def test_today_is_the_day_of_the_shop_s_own_zone(
    client: Client, owner: Person, make_class: MakeClass
) -> None:
    row = ShopSettings.objects.get()
    row.values = {"system": "inch", "zone": "Pacific/Auckland"}
    row.save()
    make_class(students=2, starts_on=date(2026, 4, 2), ends_on=date(2026, 4, 2))
    token = dates_writing.renew(by=owner).token

    with clock.as_of(datetime(2026, 4, 1, 12, tzinfo=UTC)):  # 2 April there: the class is on
        events = read(client.get(reverse("shop:calendar-feed", args=[token])))

    assert [str(one["SUMMARY"]) for one in events.values()] == ["Copper blades"]


def test_a_year_of_classes_is_read_in_few_queries_each(
    client: Client,
    owner: Person,
    make_class: MakeClass,
    django_assert_max_num_queries: DjangoAssertNumQueries,
) -> None:
    layup = make_class(students=2, starts_on=date(2026, 5, 9)).layup
    for month in range(6, 12):
        make_class(
            layup=layup, students=2, starts_on=date(2026, month, 9), ends_on=date(2026, month, 9)
        )
    token = dates_writing.renew(by=owner).token

    with django_assert_max_num_queries(100):
        assert feed(client, token).status_code == 200


def test_a_shop_without_classes_has_a_calendar_that_the_standard_allows(
    client: Client, owner: Person
) -> None:
    text = feed(client, dates_writing.renew(by=owner).token).content

    calendar: Any = Calendar.from_ical(text)
    assert calendar.walk("VEVENT") == []
    assert len(calendar.subcomponents) == 1  # RFC 5545, 3.6: at least one
