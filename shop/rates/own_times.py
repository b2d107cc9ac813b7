"""The shop's own usual times: the median of what was written down. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from statistics import median

from billets.layup.work_time import hours_text

LEAST_BILLETS = 5  # as with sizes: fewer billets teach nothing


@dataclass(frozen=True)
class OwnTime:
    """What a step usually takes here, and how many billets that rests on."""

    seconds: int
    billets: int

    @property
    def words(self) -> str:
        """The time in words."""
        return hours_text(self.seconds)

    @property
    def minutes(self) -> str:
        """The time as it is typed, in minutes."""
        text = f"{self.seconds / 60:.2f}"
        return text.rstrip("0").rstrip(".")


def own_time(seconds: Sequence[int]) -> OwnTime | None:
    """The time that half of the billets were quicker than.

    Args:
        seconds: time that stands written down for each billet [s], in any order.

    Returns:
        The median, rounded to a whole second, and how many billets it rests on; nothing where
        there are fewer than five.

    >>> own_time([600, 540, 480, 2400, 660]).minutes
    '10'
    """
    if len(seconds) < LEAST_BILLETS:
        return None
    middle: Fraction = median(Fraction(one) for one in seconds)
    return OwnTime(round(middle), len(seconds))
