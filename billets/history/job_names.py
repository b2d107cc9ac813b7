"""What the ledger calls a billet's job, and where its page is."""

from __future__ import annotations

from collections.abc import Collection

from django.urls import reverse

from billets.models import Billet
from stock.ledger.jobs import JobWords


def billets_named(numbers: Collection[int]) -> dict[int, JobWords]:
    """Billets by number, in one query."""
    rows = Billet.objects.filter(pk__in=numbers).values_list("pk", "mark")
    return {
        pk: JobWords(f"billet {mark}", reverse("billets:billet-detail", args=[mark]))
        for pk, mark in rows
    }
