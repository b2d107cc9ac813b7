"""Opening hours and days of delivery."""

from datetime import date, timedelta

import pytest

from shop.calendar.opening import Opening, OpeningError, delivered_on

TODAY = date(2025, 6, 2)
WEEK = Opening((240, 240, 240, 240, 0, 0, 0))


@pytest.mark.parametrize(
    ("counts", "day"), [("calendar", date(2025, 6, 16)), ("working", date(2025, 6, 20))]
)
def test_ten_days_by_the_calendar_and_by_the_working_week(counts: str, day: date) -> None:
    assert delivered_on(date(2025, 6, 6), days=10, counts=counts) == day


def test_an_order_at_a_weekend_is_read_on_monday() -> None:
    on_sunday = delivered_on(date(2025, 6, 15), days=1, counts="working")

    assert on_sunday == date(2025, 6, 17)


@pytest.mark.parametrize(
    ("minutes", "words"),
    [
        ((240,) * 6, "all seven"),
        ((0,) * 7, "closed on every weekday"),
        ((-1, *(0,) * 6), "0 minutes"),
        ((1_441, *(0,) * 6), "1440"),
    ],
)
def test_hours_that_cannot_be_are_refused(minutes: tuple[int, ...], words: str) -> None:
    with pytest.raises(OpeningError, match=words):
        Opening(minutes)


def test_a_shop_closed_for_ten_years_takes_nothing_in() -> None:
    closed = frozenset(TODAY + timedelta(days=n) for n in range(3_700))

    with pytest.raises(OpeningError, match="closed for ten years"):
        Opening(WEEK.minutes, closed).first_open(TODAY)
