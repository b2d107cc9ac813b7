"""Keeps which presses were carried out, and lets old ones go."""

from __future__ import annotations

from datetime import timedelta

from django.db import IntegrityError, transaction

from shop.models import Person, Press
from shop.once.press import KEPT_DAYS
from stock import clock

SWEEP_EVERY = 100  # presses


class PressedBefore(Exception):
    """The same press is carried out already, perhaps this very moment."""

    def __init__(self, key: str) -> None:
        self.key = key
        super().__init__("This press was carried out already.")


def spend(*, key: str, by: Person) -> None:
    """Note a press inside the transaction of its act: both are kept, or neither.

    Raises:
        PressedBefore: it is noted already; where that one is not through yet, the database
            waits for it.
    """
    try:
        with transaction.atomic():
            row = Press.objects.create(key=key, at=clock.now(), by=by)
    except IntegrityError as error:
        raise PressedBefore(key) from error
    if row.pk % SWEEP_EVERY == 0:
        sweep()


def close(*, key: str, answer: str, said: str) -> None:
    """Note where a press that was carried out led to; one that was taken back has no note."""
    longest = 500
    Press.objects.filter(key=key).update(
        answer=answer if len(answer) <= longest else "", said=said[:longest]
    )


def forget(*, key: str) -> None:
    """Let a press go that was refused: it may be made again."""
    Press.objects.filter(key=key).delete()


def sweep() -> int:
    """Let go what is older than any page that could be sent again; says how many."""
    count, _ = Press.objects.filter(at__lt=clock.now() - timedelta(days=KEPT_DAYS)).delete()
    return count
