"""Days the shop is open, and how much can be done on each. No clock: today is handed in."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

DAYS_IN_A_WEEK = 7
MINUTES_IN_A_DAY = 1_440
FARTHEST_DAYS = 3_660  # ten years: farther off than any class
SATURDAY = 5
ONE_DAY = timedelta(days=1)


class OpeningError(ValueError):
    """Opening hours or dates that cannot be; the text is the sentence for the user."""

    def __init__(self, sentence: str, *, given: object = None) -> None:
        super().__init__(sentence)
        self.given = given


@dataclass(frozen=True)
class Opening:
    """Minutes of work on each weekday, Monday first, and dates on which nothing is done."""

    minutes: tuple[int, ...]
    closed: frozenset[date] = frozenset()

    def __post_init__(self) -> None:
        if len(self.minutes) != DAYS_IN_A_WEEK:
            raise OpeningError(
                f"Hours were given for {len(self.minutes)} weekdays; give all seven, Monday first.",
                given=self.minutes,
            )
        if min(self.minutes) < 0 or max(self.minutes) > MINUTES_IN_A_DAY:
            raise OpeningError(
                "A weekday has from 0 minutes (closed) to 1440; one was given outside that.",
                given=self.minutes,
            )
        if not any(self.minutes):
            raise OpeningError(
                "The shop is closed on every weekday; open at least one to plan any work.",
                given=self.minutes,
            )

    def minutes_on(self, day: date) -> int:
        """Minutes of work on a day; 0 when closed."""
        return 0 if day in self.closed else self.minutes[day.weekday()]

    def is_open(self, day: date) -> bool:
        """Whether anybody is there to work or to take a parcel in."""
        return self.minutes_on(day) > 0

    def minutes_between(self, first: date, *, last: date) -> int:
        """Minutes of work from one day to another, both counted; 0 when `last` comes first."""
        return sum(self.minutes_on(day) for day in days_between(first, last=last))

    def open_days_between(self, first: date, *, last: date) -> int:
        """Open days from one day to another, both counted."""
        return sum(self.is_open(day) for day in days_between(first, last=last))

    def first_open(self, day: date) -> date:
        """The day itself when open, or else the next open one."""
        for later in days_from(day):
            if self.is_open(later):
                return later
        raise OpeningError(
            f"The shop is closed for ten years from {day.isoformat()}; open a day.", given=day
        )


def days_between(first: date, *, last: date) -> Iterator[date]:
    """Each day from one to another, both counted.

    Args:
        first: where it begins.
        last: where it ends; none at all when before `first`.

    Returns:
        The days in order.
    """
    for offset in range((last - first).days + 1):
        yield first + timedelta(days=offset)


def days_from(day: date) -> Iterator[date]:
    """Each day from one on, for ten years.

    Args:
        day: where it begins.

    Returns:
        The days in order.
    """
    return days_between(day, last=day + timedelta(days=FARTHEST_DAYS))


def is_business_day(day: date, *, holidays: frozenset[date] = frozenset()) -> bool:
    """Whether a supplier counts the day as a working day.

    Args:
        day: the day.
        holidays: days that are none.

    Returns:
        True from Monday to Friday outside the holidays.

    Source:
        Common practice of suppliers.
    """
    return day.weekday() < SATURDAY and day not in holidays


def delivered_on(
    ordered_on: date, *, days: int, counts: str, holidays: frozenset[date] = frozenset()
) -> date:
    """The day a supplier delivers what is ordered on a day; the day of ordering is not counted.

    Args:
        ordered_on: the day of ordering.
        days: days the supplier takes, 0 or more.
        counts: "calendar" counts every day, "working" only Monday to Friday without holidays,
            and an order at a weekend is read on the next working day.
        holidays: days on which the supplier does not work.

    Returns:
        The day of delivery.

    Raises:
        OpeningError: the days are below 0 or the way of counting is neither of the two.

    Source:
        Common practice of suppliers.

    >>> delivered_on(date(2025, 6, 6), days=1, counts="working")  # a Friday
    datetime.date(2025, 6, 9)
    """
    if days < 0:
        raise OpeningError(
            f"A supplier takes {days} days; give 0 (the same day) or more.", given=days
        )
    if counts == "calendar":
        return ordered_on + timedelta(days=days)
    if counts != "working":
        raise OpeningError(
            f"'{counts}' is no way to count days; write calendar or working.", given=counts
        )
    day, left = ordered_on, days
    while not is_business_day(day, holidays=holidays):  # nobody reads the order before
        day += ONE_DAY
    while left:
        day += ONE_DAY
        left -= is_business_day(day, holidays=holidays)
    return day


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
    """
    return days * (WEEK_DAYS if counts == WORKING else WORK_DAYS)


def days_words(days: int, *, counts: str) -> str:
    """The days as a supplier says them.

    Args:
        days: 0 or more.
        counts: "calendar" or "working".

    Returns:
        Such as "5 days", "1 working day".
    """
    word = "working day" if counts == WORKING else "day"
    return f"{days} {word}" if days == 1 else f"{days} {word}s"
