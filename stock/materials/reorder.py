"""What falls below its reorder level once the confirmed plans are carried out, and when.

Amounts are in the material's own unit. It leaves out what to buy (`stock.buying.best`).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from stock.quantities.money import not_below_zero


@dataclass(frozen=True)
class Change:
    """Metal that a confirmed plan takes (below 0) or an order brings (above 0) on a day."""

    day: date
    amount: int
    why: str


@dataclass(frozen=True)
class Shelf:
    """One material: what is on hand, its level, and what is known to come and go."""

    key: str
    label: str
    on_hand: int
    level: int
    changes: tuple[Change, ...] = ()

    def __post_init__(self) -> None:
        not_below_zero(amount_on_hand=self.on_hand, reorder_level=self.level)


@dataclass(frozen=True)
class Reorder:
    """A material that falls below its level: the first day, what is left then, and at worst."""

    key: str
    label: str
    day: date
    left: int  # on that day; below 0 when more is planned than is there
    lowest: int
    missing: int  # to stay at the level throughout
    why: str  # what takes it below; empty when it is below today already


def reorders(shelves: Sequence[Shelf], *, today: date) -> tuple[Reorder, ...]:
    """Materials that fall below their reorder level.

    Args:
        shelves: one for each material that has a level.
        today: the day it is; changes that are overdue count as today's.

    Returns:
        The soonest first; a material that stays at its level or above is not in it.
    """
    found = [reorder for shelf in shelves if (reorder := _reorder(shelf, today))]
    return tuple(sorted(found, key=lambda one: (one.day, one.label)))


def _reorder(shelf: Shelf, today: date) -> Reorder | None:
    changes = sorted(shelf.changes, key=lambda one: (max(one.day, today), -one.amount))
    left = lowest = shelf.on_hand
    first = (today, left, "") if left < shelf.level else None
    for change in changes:
        left += change.amount
        lowest = min(lowest, left)
        if first is None and left < shelf.level:
            first = (max(change.day, today), left, change.why)
    if first is None:
        return None
    day, left_then, why = first
    return Reorder(
        shelf.key, shelf.label, day, left_then, lowest, missing=shelf.level - lowest, why=why
    )
