"""Writes down that nothing came of a knife, and takes that back."""

from __future__ import annotations

from django.db import transaction

from shop.knives.writing import KnifeRefused
from shop.models import Knife
from stock import clock


@transaction.atomic
def lose(*, knife: Knife, why: str) -> Knife:
    """Nothing came of a knife: it cracked, or was begun by mistake; clocks at it stop.

    What went into it stays booked to it, and it keeps its share of its billet.

    Raises:
        KnifeRefused: it is sold.
    """
    held = Knife.objects.select_for_update(of=("self",)).get(pk=knife.pk)
    if held.sold_on is not None:
        raise KnifeRefused(f"{held} is sold to {held.sold_to}; take the sale back first.")
    held.lost_on, held.lost_why = clock.today(), why
    held.save(update_fields=["lost_on", "lost_why"])
    held.times.filter(stopped_at=None).update(stopped_at=clock.now())
    return held


@transaction.atomic
def unlose(*, knife: Knife) -> None:
    """The knife is in work after all."""
    Knife.objects.filter(pk=knife.pk).update(lost_on=None, lost_why="")
