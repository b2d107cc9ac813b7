"""Writes the address that a calendar follows: one at a time, made and withdrawn by an owner."""

from __future__ import annotations

import secrets

from django.db import transaction

from shop.models import CalendarLink, ShopSettings
from stock import clock
from stock.who import Person

TOKEN_BYTES = 32


@transaction.atomic
def renew(*, by: Person) -> CalendarLink:
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
