"""What hours cannot be: refusals of `billets.hours.writing`, and limits of what is typed."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from datetime import time as time_of_day

from django.utils import timezone

from billets.layup.work_time import hours_text
from stock import clock

LONGEST_MINUTES = 24 * 60
HALF_A_DAY = timedelta(hours=12)


class HoursRefused(ValueError):
    """The hours stay as they are."""


class ClockForgotten(HoursRefused):
    """A clock has run for longer than anybody works."""

    def __init__(self, *, where: str, since: datetime, seconds: int) -> None:
        self.where, self.since, self.seconds = where, since, seconds
        super().__init__(
            f"Your clock at {where} has run for {hours_text(seconds)}. Say there first how long "
            "it really was, then start this one."
        )


def refuse_minutes(minutes: int) -> None:
    """From one minute to a day."""
    if not 0 < minutes <= LONGEST_MINUTES:
        raise HoursRefused(
            f"{minutes} minutes were given; write from 1 to {LONGEST_MINUTES} at a time."
        )


def end_on(day: date | None, *, minutes: int, first: date, begun: str) -> datetime:
    """When typed minutes end: now, or by noon of an earlier day, so that all are of that day.

    Raises:
        HoursRefused: a day to come, or one before the work was begun.
    """
    if day is None or day == clock.today():
        return clock.now()
    if day > clock.today():
        raise HoursRefused(f"{day:%-d %b %Y} is still to come. Give today or an earlier day.")
    if day < first:
        raise HoursRefused(
            f"{day:%-d %b %Y} was given, and {begun} on {first:%-d %b %Y}. Give that day or a "
            "later one."
        )
    start = timezone.make_aware(datetime.combine(day, time_of_day.min))
    worked = timedelta(minutes=minutes)
    return min(start + max(worked, HALF_A_DAY), start + 2 * HALF_A_DAY - timedelta(seconds=1))
