"""What the tests of the work at a class's billets share."""

from __future__ import annotations

from typing import Any

from django.urls import reverse

from billets.history import writing as history
from billets.hours import reading as hours_reading
from billets.models import Billet
from shop.models import ForgeClass


def address(name: str, row: ForgeClass, *more: Any) -> str:
    """Address of an act of the page."""
    return reverse(f"shop:class-work{name}", args=[row.pk, *more])


def billets_of(row: ForgeClass) -> list[Billet]:
    """Its billets by seat."""
    return [seat.billet for seat in row.seats.order_by("number") if seat.billet]


def stages(row: ForgeClass) -> list[str]:
    """How far each of them is."""
    return [history.stage(one) for one in billets_of(row)]


def seconds(row: ForgeClass, step: str) -> list[int]:
    """What stands written down at a step of each of them."""
    worked = hours_reading.worked_at(billets_of(row))
    steps = [worked.get(one.pk, {}) for one in billets_of(row)]
    return [found[step].seconds if step in found else 0 for found in steps]
