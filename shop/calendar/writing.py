"""Writes the shop's hours of work, the days it is closed, and the days kept free."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from django.db import transaction

from shop.calendar.opening import Opening
from shop.calendar.reading import KEY
from shop.models import ShopSettings


@transaction.atomic
def set_hours(*, minutes: Sequence[int], closed: Sequence[date], clear_days: int) -> None:
    """Write down minutes of work by weekday, closed days, and days kept free before a class.

    Raises:
        OpeningError: no weekday is open, or one has more minutes than a day.
    """
    Opening(tuple(minutes))
    row = ShopSettings.objects.select_for_update().get()
    days = sorted({day.isoformat() for day in closed})
    row.values = row.values | {
        KEY: {"minutes": list(minutes), "closed": days, "clear_days": clear_days}
    }
    row.save(update_fields=["values"])
