"""The private address of the shop's dates: made, renewed, withdrawn. The only writer of it."""

from __future__ import annotations

import secrets
import uuid

from django.db import transaction

from shop.models import CalendarLink, ShopSettings
from stock import clock
from stock.who import Person

TOKEN_BYTES = 32
NAMES = uuid.UUID("5f0c1a52-3c7e-4a53-9d0a-6b1d3f2e8c47")  # made once, for this app


def standing() -> CalendarLink | None:
    """The link that works now."""
    return CalendarLink.objects.filter(withdrawn_at=None).first()


def shop_name() -> str:
    """What makes the shop's events its own: the same on every address, link and backup of it."""
    row = ShopSettings.objects.first()
    begun = row.set_up_at.isoformat() if row else ""
    return f"{uuid.uuid5(NAMES, begun)}.billetwright"


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
