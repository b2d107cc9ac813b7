"""The demo's days, counted from the day it is made."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta


@dataclass(frozen=True)
class Days:
    """Dates and times before (-) and after the demo's first day."""

    first: date

    def on(self, days: int) -> date:
        """A date."""
        return self.first + timedelta(days=days)

    def at(self, days: int, *, hour: int = 9, minute: int = 0) -> datetime:
        """A time on that date."""
        return datetime.combine(self.on(days), time(hour, minute), tzinfo=UTC)
