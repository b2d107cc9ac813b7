"""The private address of the shop's dates: made, renewed, withdrawn. The only writer of it."""

from __future__ import annotations

import secrets
from typing import Any

from django.db import transaction

from shop.models import CalendarLink, ShopSettings
from stock import clock

TOKEN_BYTES = 32


def standing() -> CalendarLink | None:
    """The link that works now."""
    return CalendarLink.objects.filter(withdrawn_at=None).first()


@transaction.atomic
def renew(*, by: Any) -> CalendarLink:
    """A new address; the old one stops working."""
    list(ShopSettings.objects.select_for_update())  # two at once wait for each other
    withdraw()
    return CalendarLink.objects.create(
        token=secrets.token_urlsafe(TOKEN_BYTES), by=by, made_at=clock.now()
    )


@transaction.atomic
def withdraw() -> int:
    """Stop the address that works now; tells how many did."""
    return CalendarLink.objects.filter(withdrawn_at=None).update(withdrawn_at=clock.now())
