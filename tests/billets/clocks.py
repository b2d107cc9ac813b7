"""The tests' nine o'clock, and what stands written down after it."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

from billets.hours import reading as hours_reading
from billets.models import Billet
from stock import clock

T0 = datetime(2026, 4, 1, 9, tzinfo=UTC)


def after(**time: float) -> Any:
    """A while after the tests' nine o'clock."""
    return clock.as_of(T0 + timedelta(**time))


def seconds_at(billet: Billet, step: str) -> int:
    """What stands written down for a billet at a step."""
    worked = hours_reading.worked_at([billet]).get(billet.pk, {})
    return worked[step].seconds if step in worked else 0
