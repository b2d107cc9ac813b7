"""The shop's hours of work and closed days: kept with its settings, read as `shop.opening` wants.

The only writer of them. A shop that has set none works four hours from Monday to Friday.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db import transaction

from shop.models import ShopSettings
from shop.opening import Opening

KEY = "opening"
USUAL_MINUTES = (240, 240, 240, 240, 240, 0, 0)


@dataclass(frozen=True)
class Hours:
    """Opening, the days kept free before a class, and whether the shop has set them itself."""

    opening: Opening
    clear_days: int = 1
    is_own: bool = False


def hours() -> Hours:
    """The shop's hours as they stand."""
    row = ShopSettings.objects.first()
    stored: dict[str, Any] = row.values.get(KEY, {}) if row else {}
    closed = frozenset(date.fromisoformat(day) for day in stored.get("closed", []))
    return Hours(
        opening=Opening(tuple(stored.get("minutes", USUAL_MINUTES)), closed),
        clear_days=stored.get("clear_days", 1),
        is_own=bool(stored),
    )


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
