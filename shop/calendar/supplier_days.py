"""Days that a supplier takes, where some count every day and some only working days. Pure.

Working days run from Monday to Friday; what is ordered at a weekend is read on the Monday. A
supplier's holidays are not known. It leaves out the shop's own closed days
(`shop.calendar.opening`).
"""

from __future__ import annotations

from datetime import date, timedelta

from shop.calendar.opening import ONE_DAY, delivered_on

WORKING = "working"
WEEK_DAYS, WORK_DAYS = 7, 5


def calendar_days(ordered_on: date, *, days: int, counts: str) -> int:
    """Days of the calendar from an order to its delivery.

    Args:
        ordered_on: the day of the order.
        days: days that the supplier says, 0 or more.
        counts: "calendar" or "working".

    Returns:
        Days, 0 or more.

    Raises:
        OpeningError: the days are below 0, or counted in another way.

    Source:
        `shop.calendar.opening.delivered_on`.

    >>> calendar_days(date(2026, 4, 3), days=5, counts="working")  # a Friday
    7
    """
    return (delivered_on(ordered_on, days=days, counts=counts) - ordered_on).days


def last_order_day(by: date, *, days: int, counts: str) -> date:
    """The last day on which an order still comes in time.

    Args:
        by: the day on which it must have come.
        days: days that the supplier says, 0 or more.
        counts: "calendar" or "working".

    Returns:
        The day; an order a day later comes too late.

    Raises:
        OpeningError: the days are below 0, or counted in another way.

    Source:
        `shop.calendar.opening.delivered_on`, tried from the last day backwards.

    >>> last_order_day(date(2026, 4, 8), days=3, counts="working")  # a Wednesday
    datetime.date(2026, 4, 3)
    """
    day = by - timedelta(days=days)
    while delivered_on(day, days=days, counts=counts) > by:
        day -= ONE_DAY
    return day


def pace(days: int, *, counts: str) -> int:
    """What tells a faster supplier from a slower one, whatever day it is.

    Args:
        days: days that the supplier says, 0 or more.
        counts: "calendar" or "working".

    Returns:
        A number that is lower for the faster.

    Source:
        Five working days are a week.
    """
    return days * (WEEK_DAYS if counts == WORKING else WORK_DAYS)


def days_words(days: int, *, counts: str) -> str:
    """The days as a supplier says them.

    Args:
        days: 0 or more.
        counts: "calendar" or "working".

    Returns:
        Such as "5 days", "1 working day".

    Source:
        Our own wording.
    """
    word = "working day" if counts == WORKING else "day"
    return f"{days} {word}" if days == 1 else f"{days} {word}s"
