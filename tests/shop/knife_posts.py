"""What the tests of knives share."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

from django.urls import reverse

from shop.models import Knife
from tests.kinds import Client

T0 = datetime(2026, 4, 1, 9, tzinfo=UTC)
SHEET = {"labour_cents_per_hour": 3000, "overhead_cents_per_hour": 600, "card_fee_bp": 300}


def page(client: Client, form: str, knife: Knife, /, *more: Any, **data: str) -> Any:
    """Post a form of the knife's page."""
    return client.post(reverse(f"shop:knife-{form}", args=[knife.pk, *more]), data)
