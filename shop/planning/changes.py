"""What a new plan changes against the one that stands. Pure.

Blanks are told by name ("B-17-2", or "seat 3-2" before there is a billet) with the piece that
they come from. Blanks that are cut stay out of it: they do not change.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True)
class Source:
    """Where a blank comes from, and its size."""

    mark: str
    width_nm: int
    length_nm: int


@dataclass(frozen=True)
class Moved:
    """A blank that comes from another piece, or at another size, than before."""

    name: str
    before: Source
    after: Source

    @property
    def is_resized(self) -> bool:
        """Whether its size changed."""
        return _size(self.before) != _size(self.after)

    @property
    def is_elsewhere(self) -> bool:
        """Whether its piece changed."""
        return self.before.mark != self.after.mark


@dataclass(frozen=True)
class Changes:
    """How a plan differs from the one that stands."""

    same: int
    moved: tuple[Moved, ...]
    added: tuple[tuple[str, Source], ...]
    dropped: tuple[tuple[str, Source], ...]

    @property
    def is_nothing(self) -> bool:
        """Whether both plans cut the same blanks from the same pieces."""
        return not (self.moved or self.added or self.dropped)


def plan_changes(standing: Mapping[str, Source], planned: Mapping[str, Source]) -> Changes:
    """What the new plan moves, adds and drops, in the order of the names.

    Args:
        standing: blanks set aside and not cut, by name.
        planned: blanks of the new plan, by the same names.

    Returns:
        The difference; how many stay as they are is counted only.
    """
    both = sorted(standing.keys() & planned.keys())
    moved = tuple(
        Moved(name, standing[name], planned[name])
        for name in both
        if standing[name].mark != planned[name].mark
        or _size(standing[name]) != _size(planned[name])
    )
    return Changes(
        same=len(both) - len(moved),
        moved=moved,
        added=tuple((name, planned[name]) for name in sorted(planned.keys() - standing.keys())),
        dropped=tuple((name, standing[name]) for name in sorted(standing.keys() - planned.keys())),
    )


def _size(source: Source) -> tuple[int, int]:
    """Both sizes, the smaller first."""
    low, high = sorted((source.width_nm, source.length_nm))
    return low, high
