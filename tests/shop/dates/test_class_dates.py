"""Dates of a class: last order days, when to begin, too late said first, and the shop's hours."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest
from django.urls import reverse

from shop.calendar import reading as calendar_reading
from shop.calendar import writing as calendar_writing
from shop.dates import reading as dates_reading
from shop.dates.timetable_drawing import timetable_drawing
from shop.models import ShopSettings
from shop.rates import writing as rates
from shop.rates.writing import History
from stock import clock
from stock.house import House
from stock.ledger import receiving
from stock.models import Offer
from tests.conftest import IN
from tests.kinds import Client, ForgeClass, MakeClass, MakeMaterial, Person, Supplier

HOURS = {"clear_days": "1", "closed": "2026-05-01 2026-05-02\n2026-05-08"} | {
    f"day_{number}": "4" for number in range(5)
}


def dates_of(row: ForgeClass, *, today: date = date(2026, 4, 1)) -> dates_reading.ClassDates:
    """The dates as of a day."""
    return dates_reading.class_dates(row, history=History(()), house=House(), today=today)


def test_short_metal_has_a_last_order_day_by_its_supplier(
    make_class: MakeClass, make_material: MakeMaterial, supplier: Supplier
) -> None:
    row = make_class(students=2)
    Offer.objects.create(
        supplier=supplier, material=make_material(), length_nm=36 * IN, price_cents=2400
    )

    dates = dates_of(row)

    # 9 May 2026 is a Saturday, the Friday before is kept free: 90 minutes fit on Thursday 7 May.
    # Metal for it is here by Wednesday, so it is ordered by Friday 1 May (5 days).
    order = dates.found.schedule.orders[0]
    assert dates.found.schedule.starts_on == date(2026, 5, 7)
    assert (order.last_order_day, order.arrives_on) == (date(2026, 5, 1), date(2026, 5, 6))
    assert order.float_days == 30
    assert [one.label.split()[0] for one in dates.unsold] == ["C10200", "1095"]


def test_too_late_is_said_first_with_what_would_help(
    as_owner: Client, make_class: MakeClass, make_material: MakeMaterial, supplier: Supplier
) -> None:
    row = make_class(students=2)
    Offer.objects.create(
        supplier=supplier, material=make_material(), length_nm=36 * IN, price_cents=2400
    )

    with clock.as_of(datetime(2026, 5, 5, 9, tzinfo=UTC)):
        page = as_owner.get(reverse("shop:class-dates", args=[row.pk])).text

    assert page.index("<b>Too late</b>") < page.index("Timetable")
    assert "had to be ordered by Fri 1 May 2026, 4 days ago" in page
    assert "What would make it possible" in page


def test_what_is_on_order_counts_by_its_day(
    make_class: MakeClass, make_material: MakeMaterial, supplier: Supplier, owner: Person
) -> None:
    row = make_class(students=1)
    line = receiving.Line(material=make_material(), count=1, price_cents=2400, length_nm=36 * IN)
    receiving.order(
        supplier=supplier,
        lines=[line],
        delivery_cents=0,
        on=date(2026, 4, 1),
        due=date(2026, 4, 10),
        by=owner,
    )

    order = dates_of(row).found.schedule.orders[0]

    assert order.last_order_day is None
    assert order.arrives_on == date(2026, 4, 10)


@pytest.mark.slow
def test_a_class_with_all_its_metal_waits_for_nothing(
    as_helper: Client, planned_class: MakeClass
) -> None:
    row = planned_class(students=2)

    with clock.as_of(datetime(2026, 4, 1, 9, tzinfo=UTC)):
        page = as_helper.get(reverse("shop:class-dates", args=[row.pk])).text

    assert "<b>There is time</b>" in page
    assert "To order" not in page
    assert "$" not in page


def test_the_shop_s_own_times_and_hours_are_used(make_class: MakeClass, owner: Person) -> None:
    row = make_class(students=4)
    rates.set_rates(from_date=date(2020, 1, 1), values={"cut_s": 1800, "weld_s": 1800}, by=owner)
    calendar_writing.set_hours(minutes=[60] * 7, closed=[date(2026, 5, 7)], clear_days=0)

    dates = dates_reading.class_dates(
        row, history=rates.history(), house=House(), today=date(2026, 4, 1)
    )

    days = [work.day for work in dates.found.schedule.work_days]
    assert (dates.billet_minutes, dates.is_guess) == (60, False)
    assert days == [date(2026, 5, 4), date(2026, 5, 5), date(2026, 5, 6), date(2026, 5, 8)]


def test_hours_are_written_down_and_other_settings_stay(
    as_owner: Client, shop_row: ShopSettings
) -> None:
    response = as_owner.post(reverse("shop:opening"), HOURS)

    assert response.status_code == 302
    hours = calendar_reading.hours()
    assert hours.opening.minutes == (240, 240, 240, 240, 240, 0, 0)
    assert hours.opening.closed == {date(2026, 5, 1), date(2026, 5, 2), date(2026, 5, 8)}
    assert ShopSettings.objects.get().values["system"] == "inch"


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"closed": "Christmas"}, "is not a day"),
        ({"closed": "2026-05-09 2026-05-01"}, "the earlier first"),
        ({"closed": "2026-13-45"}, "is not a day"),
        ({"day_0": "30"}, "More than 24 is surely a slip"),
        ({f"day_{number}": "" for number in range(5)}, "open at least one"),
        ({"clear_days": "x"}, "Write a whole number of days"),
    ],
)
def test_hours_that_cannot_be_are_refused(
    as_owner: Client, changes: dict[str, str], sentence: str
) -> None:
    response = as_owner.post(reverse("shop:opening"), HOURS | changes)

    assert response.status_code == 422
    assert sentence in response.text
    assert not calendar_reading.hours().is_own


def test_hours_are_the_owner_s(client: Client, helper: Person) -> None:
    assert client.get(reverse("shop:opening")).status_code == 302
    client.force_login(helper)

    assert client.get(reverse("shop:opening")).status_code == 403
    assert client.post(reverse("shop:opening"), HOURS).status_code == 403


def test_the_timetable_runs_from_today_to_the_class(make_class: MakeClass) -> None:
    drawing = timetable_drawing(dates_of(make_class(students=2)).table)

    # 1 April to 10 May are 40 days; the class is the last two of them.
    last = drawing.rows[-1]
    assert (last.x, last.width, last.kind) == (95, 5, "metal-core")
    assert drawing.today_x == 0


@pytest.mark.parametrize(
    ("today", "state", "sentence"),
    [
        (date(2026, 5, 9), "planned", "This class began on Sat 9 May 2026. 2 billets are not"),
        (date(2026, 5, 10), "planned", "This class began on Sat 9 May 2026."),
        (date(2026, 5, 11), "planned", "This class is over. It ended on Sun 10 May 2026"),
        (date(2026, 5, 1), "held", "This class is over."),
        (date(2026, 5, 1), "cancelled", "This class is called off."),
    ],
)
def test_a_class_that_is_on_over_or_called_off_has_no_dates(
    as_owner: Client, make_class: MakeClass, today: date, state: str, sentence: str
) -> None:
    row = make_class(students=2, state=state)

    with clock.as_of(datetime(today.year, today.month, today.day, 9, tzinfo=UTC)):
        page = as_owner.get(reverse("shop:class-dates", args=[row.pk])).text

    assert sentence in page
    for word in ("Too late", "What would make it possible", "Timetable"):
        assert word not in page


def test_the_day_before_the_class_is_too_late_and_says_what_to_do(
    as_owner: Client, make_class: MakeClass
) -> None:
    row = make_class(students=2)

    with clock.as_of(datetime(2026, 5, 8, 9, tzinfo=UTC)):
        page = as_owner.get(reverse("shop:class-dates", args=[row.pk])).text

    assert "<b>Too late</b> for Sat 9 May 2026: preparing had to begin on Thu 7 May 2026" in page
    assert "Hold the class on" in page


def test_days_of_suppliers_are_said_to_be_days_of_the_calendar(
    as_owner: Client, make_class: MakeClass, make_material: MakeMaterial, supplier: Supplier
) -> None:
    row = make_class(students=2)
    Offer.objects.create(
        supplier=supplier, material=make_material(), length_nm=36 * IN, price_cents=2400
    )

    with clock.as_of(datetime(2026, 5, 5, 9, tzinfo=UTC)):
        page = as_owner.get(reverse("shop:class-dates", args=[row.pk])).text

    assert "count every day of the calendar" in page
    assert "4 days too late" in page


def test_a_few_mondays_are_named_under_the_timetable(make_class: MakeClass) -> None:
    drawing = timetable_drawing(dates_of(make_class(students=2)).table)

    # 1 April 2026 is a Wednesday; the Mondays to 10 May are 6, 13, 20, 27 April and 4 May.
    assert [tick.day.isoformat() for tick in drawing.ticks] == [
        "2026-04-06",
        "2026-04-20",
        "2026-05-04",
    ]
    assert [tick.x for tick in drawing.ticks] == [12.5, 47.5, 82.5]
