"""Where a class stands today: to come, on, over or called off. Only the first has dates before it.

Pure; the state is the word that the class is filed under.
"""

from __future__ import annotations

from datetime import date
from enum import Enum

from shop.calendar.remedies import day_text


class Standing(Enum):
    """Where a class stands."""

    COMING = "coming"
    NOW = "now"
    OVER = "over"
    CANCELLED = "cancelled"


def standing_of(state: str, first: date, *, last: date, today: date) -> Standing:
    """Where a class stands on a day.

    Args:
        state: "open", "planned", "held" or "cancelled".
        first: its first day.
        last: its last day.
        today: the day it is.

    Returns:
        The standing; a class that was marked as held is over.

    Source:
        The calendar.
    """
    if state == "cancelled":
        return Standing.CANCELLED
    if state == "held" or last < today:
        return Standing.OVER
    return Standing.NOW if first <= today else Standing.COMING


def standing_words(standing: Standing, *, first: date, last: date, unwelded: int) -> str:
    """What to say instead of dates, where nothing is worked back any more.

    Args:
        standing: where the class stands.
        first: its first day.
        last: its last day.
        unwelded: billets that are not welded shut, 0 or more.

    Returns:
        A sentence or two; empty for a class to come.

    Source:
        Our own wording.
    """
    if standing is Standing.COMING:
        return ""
    if standing is Standing.CANCELLED:
        return "This class is called off. Nothing has to be ordered or prepared for it."
    if standing is Standing.OVER:
        return f"This class is over. It ended on {day_text(last)}; there is nothing to prepare."
    begun = f"This class began on {day_text(first)}."
    if not unwelded:
        return f"{begun} Every billet is welded shut."
    count = "1 billet is" if unwelded == 1 else f"{unwelded} billets are"
    return f"{begun} {count} not welded shut yet: weld first what is forged first."
