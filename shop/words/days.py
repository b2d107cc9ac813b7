"""A day as pages and papers write it."""

from __future__ import annotations

from datetime import date


def day_text(day: date) -> str:
    """A day as it is told, with its weekday.

    Args:
        day: the day.

    Returns:
        Such as "Mon 30 Jun 2025".
    """
    return f"{day:%a} {day.day} {day:%b %Y}"
