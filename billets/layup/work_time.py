"""Time that somebody worked at billets: its words, and its equal shares. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime

SECONDS_PER_MINUTE = 60
MINUTES_PER_HOUR = 60
FORGOTTEN_S = 12 * 3600  # our own limit: nobody stands at one step for longer


@dataclass(frozen=True)
class Spell:
    """One stretch of work: its whole time, how many billets it was for, one billet's share."""

    seconds: int
    billets: int
    share_s: int
    person: int
    is_typed: bool = False


@dataclass(frozen=True)
class Worked:
    """All spells at one step of one billet."""

    spells: tuple[Spell, ...] = ()

    @property
    def seconds(self) -> int:
        """This billet's share of all of them [s]."""
        return sum(one.share_s for one in self.spells)

    @property
    def by_person(self) -> Mapping[int, int]:
        """The same by who worked, in the order of their first spell [s]."""
        found: dict[int, int] = {}
        for one in self.spells:
            found[one.person] = found.get(one.person, 0) + one.share_s
        return found

    @property
    def how(self) -> str:
        """Whether a clock ran for it."""
        typed = {one.is_typed for one in self.spells}
        if len(typed) > 1:
            return "by the clock and by hand"
        return "written by hand" if typed == {True} else "by the clock"


def equal_shares(seconds: int, *, count: int) -> tuple[int, ...]:
    """A time shared over billets as evenly as whole seconds go.

    Args:
        seconds: the whole time, 0 or more.
        count: how many billets, 1 or more.

    Returns:
        One share a billet [s], the longer ones first; they add up to the whole.

    Raises:
        ValueError: the time is below 0, or there is no billet.

    >>> equal_shares(3600, count=7)
    (515, 515, 514, 514, 514, 514, 514)
    """
    if seconds < 0 or count < 1:
        raise ValueError(f"{seconds} seconds for {count} billets: give a time and a billet.")
    share, left = divmod(seconds, count)
    return tuple(share + (place < left) for place in range(count))


def whole_seconds(begun: datetime, *, ended: datetime) -> int:
    """How long something took.

    Args:
        begun: when it began.
        ended: when it ended; before the beginning counts as no time.

    Returns:
        Whole seconds, 0 or more.
    """
    return max(0, round((ended - begun).total_seconds()))


def hours_text(seconds: int) -> str:
    """A time as somebody says it.

    Args:
        seconds: 0 or more.

    Returns:
        Such as "45 min" or "3 h 05".

    >>> hours_text(11_100)
    '3 h 05'
    """
    minutes = round(seconds / SECONDS_PER_MINUTE)
    if minutes < MINUTES_PER_HOUR:
        return f"{minutes} min"
    return f"{minutes // MINUTES_PER_HOUR} h {minutes % MINUTES_PER_HOUR:02d}"


def is_forgotten(seconds: int) -> bool:
    """Whether a clock has run so long that somebody must have left it on.

    Args:
        seconds: since it was started.

    Returns:
        Whether that is over 12 hours.
    """
    return seconds > FORGOTTEN_S


def together(parts: Iterable[Worked]) -> Worked:
    """Spells of several steps or billets as one.

    Args:
        parts: what was worked at each.

    Returns:
        All their spells, in order.
    """
    return Worked(tuple(spell for part in parts for spell in part.spells))
