"""What time it is for the books; a history can be written as of another day.

Only the demo shop and tests set it: a real entry is always written at the time it is made.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from datetime import date, datetime

from django.utils import timezone

_as_of: ContextVar[datetime | None] = ContextVar("as_of", default=None)


def now() -> datetime:
    """The time that an entry is written at."""
    return _as_of.get() or timezone.now()


def today() -> date:
    """The day in the shop's time zone."""
    return timezone.localdate(now())


@contextmanager
def as_of(when: datetime) -> Iterator[None]:
    """Write what is inside as of another time."""
    token = _as_of.set(when)
    try:
        yield
    finally:
        _as_of.reset(token)
