"""The calendar: a private address, whole-day events by the standard, withdrawn and renewed."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import Any

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse
from icalendar import Calendar

from shop import calendar_links
from shop.calendar_file import calendar_text
from shop.models import CalendarLink
from shop.timeline import Event
from stock import clock
from stock.models import Offer
from tests.conftest import IN

NOW = datetime(2026, 4, 1, 9, tzinfo=UTC)


def feed(client: Any, token: str) -> Any:
    """What a calendar gets."""
    with clock.as_of(NOW):
        return client.get(reverse("shop:calendar-feed", args=[token]))


def test_a_calendar_reads_the_dates_without_signing_in(
    client: Any, owner: Any, make_class: Any, make_material: Any, supplier: Any
) -> None:
    row = make_class(students=2)
    Offer.objects.create(
        supplier=supplier, material=make_material(), length_nm=36 * IN, price_cents=2400
    )
    link = calendar_links.renew(by=owner)

    response = feed(client, link.token)

    assert response.status_code == 200
    assert response["Content-Type"] == "text/calendar; charset=utf-8"
    calendar: Any = Calendar.from_ical(response.content)
    assert calendar["VERSION"] == "2.0"
    events = {str(one["UID"]): one for one in calendar.walk("VEVENT")}
    held = events[f"class-{row.pk}-class@testserver"]
    assert (held["DTSTART"].dt, held["DTEND"].dt) == (date(2026, 5, 9), date(2026, 5, 11))
    ordered = next(one for uid, one in events.items() if "-order-" in uid)
    assert str(ordered["SUMMARY"]).startswith("Last day to order")
    assert ordered["DTSTART"].dt == date(2026, 5, 1)
    assert all(one["DTSTAMP"].dt == NOW for one in events.values())


def test_no_student_and_no_money_is_in_the_feed(client: Any, owner: Any, make_class: Any) -> None:
    make_class(students=2)

    text = feed(client, calendar_links.renew(by=owner).token).content.decode()

    assert "Student" not in text
    assert "$" not in text


def test_lines_end_and_fold_as_the_standard_asks() -> None:
    event = Event(
        key="class", kind="class", title="Copper, brass; and a long title: " + "blade " * 20,
        first_day=date(2026, 5, 9), last_day=date(2026, 5, 10),
    )  # fmt: skip

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


def test_a_renewed_address_stops_the_old_one(client: Any, owner: Any) -> None:
    old = calendar_links.renew(by=owner).token
    client.force_login(owner)
    client.post(reverse("shop:calendar-renew"))
    new = calendar_links.standing()

    assert new is not None
    assert new.token != old
    assert feed(client, old).status_code == 404
    assert feed(client, new.token).status_code == 200


def test_a_withdrawn_address_gives_nothing(client: Any, owner: Any) -> None:
    token = calendar_links.renew(by=owner).token
    client.force_login(owner)

    client.post(reverse("shop:calendar-withdraw"))

    assert feed(client, token).status_code == 404
    assert "Make an address" in client.get(reverse("shop:opening")).text


def test_a_guessed_address_gives_nothing(client: Any, shop_row: Any) -> None:
    assert feed(client, "guess").status_code == 404


def test_the_database_lets_one_address_stand(owner: Any) -> None:
    calendar_links.renew(by=owner)

    with pytest.raises(IntegrityError), transaction.atomic():
        CalendarLink.objects.create(token="second", by=owner, made_at=NOW)


def test_the_owner_alone_makes_and_stops_the_address(client: Any, helper: Any) -> None:
    for name in ("calendar-renew", "calendar-withdraw"):
        assert client.post(reverse(f"shop:{name}")).status_code == 302
    client.force_login(helper)

    for name in ("calendar-renew", "calendar-withdraw"):
        assert client.post(reverse(f"shop:{name}")).status_code == 403
    assert not CalendarLink.objects.exists()


def test_the_address_is_changed_by_post_only(as_owner: Any) -> None:
    for name in ("calendar-renew", "calendar-withdraw"):
        assert as_owner.get(reverse(f"shop:{name}")).status_code == 405


def test_a_feed_is_only_read(client: Any, owner: Any) -> None:
    token = calendar_links.renew(by=owner).token

    assert client.post(reverse("shop:calendar-feed", args=[token])).status_code == 405
