"""The days that a report is asked for: a year, or from one day to another. Pure.

It leaves out what is counted in them (`shop.reports.reading`).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from shop.words.days import day_text

YEARS = range(1970, 2200)


@dataclass(frozen=True)
class Span:
    """From one day to another, both counted; None is open."""

    first: date | None = None
    last: date | None = None

    @property
    def is_all(self) -> bool:
        """Whether nothing is left out."""
        return self.first is None and self.last is None

    def holds(self, day: date) -> bool:
        """Whether a day is one of them."""
        return (self.first is None or self.first <= day) and (self.last is None or day <= self.last)

    @property
    def year(self) -> int | None:
        """The year that it is, if it is a whole one."""
        if self.first is None or self.last is None:
            return None
        whole = (date(self.first.year, 1, 1), date(self.first.year, 12, 31))
        return self.first.year if (self.first, self.last) == whole else None

    @property
    def words(self) -> str:
        """The days as a heading says them."""
        if self.year is not None:
            return f"in {self.year}"
        parts = []
        if self.first is not None:
            parts.append(f"from {day_text(self.first)}")
        if self.last is not None:
            parts.append(f"to {day_text(self.last)}")
        return " ".join(parts)

    @property
    def query(self) -> str:
        """The same as the end of an address; empty for all days."""
        days = (("from", self.first), ("to", self.last))
        return "&".join(f"{name}={day.isoformat()}" for name, day in days if day is not None)


ALL_DAYS = Span()


def asked_span(given: Mapping[str, str]) -> Span:
    """The days that an address asks for; what is no day or no year asks for nothing.

    Args:
        given: "from" and "to" as 2026-03-01; or "year", which they outdo.

    Returns:
        The span, the earlier day first.

    >>> asked_span({"year": "2026"}).query
    'from=2026-01-01&to=2026-12-31'
    """
    first, last = (_day(given.get(name, "")) for name in ("from", "to"))
    if first is None and last is None:
        text = given.get("year", "")
        year = int(text) if text.isascii() and text.isdigit() and len(text) == 4 else 0
        return Span(date(year, 1, 1), date(year, 12, 31)) if year in YEARS else ALL_DAYS
    if first is not None and last is not None and last < first:
        first, last = last, first
    return Span(first, last)


def _day(text: str) -> date | None:
    try:
        day = date.fromisoformat(text)
    except ValueError:
        return None
    return day if day.year in YEARS else None
