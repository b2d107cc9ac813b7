"""What the ledger's "class:3" is called, and where its page is."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from django.urls import reverse

from shop.models import ForgeClass, Knife
from stock.ledger.jobs import JobWords


def class_words(ids: Collection[int]) -> Mapping[int, JobWords]:
    """Classes by id, as a page of the metal names them; the cut list is where ticks are undone."""
    rows = ForgeClass.objects.filter(pk__in=ids)
    return {row.pk: JobWords(str(row), reverse("shop:cut-list", args=[row.pk])) for row in rows}


def knife_words(ids: Collection[int]) -> Mapping[int, JobWords]:
    """What the ledger's pages call the job of a knife."""
    rows = Knife.objects.filter(pk__in=list(ids))
    return {row.pk: JobWords(str(row), row.get_absolute_url()) for row in rows}
