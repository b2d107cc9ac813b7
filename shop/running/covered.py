"""How much of each floor the tests run: sums over coverage.py's report. Pure.

It measures nothing and knows only the report's shape: for each file a summary of its counts.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import PurePath
from typing import Any

FLOORS = ("stock", "billets", "shop")
LEAST_PERCENT = 95.0


@dataclass(frozen=True)
class Floor:
    """One floor's lines and branches, and how many of them ran."""

    name: str
    lines: int
    lines_run: int
    branches: int
    branches_run: int

    @property
    def lines_percent(self) -> float:
        """How many of a hundred lines ran; a floor without lines lacks nothing."""
        return percent(self.lines_run, of=self.lines)

    @property
    def is_enough(self) -> bool:
        """Whether the floor's lines reach what is asked."""
        return self.lines_percent >= LEAST_PERCENT

    def __str__(self) -> str:
        branches = percent(self.branches_run, of=self.branches)
        return (
            f"{self.name}: {self.lines_percent:.1f} % of {self.lines} lines, "
            f"{branches:.1f} % of {self.branches} branches"
        )


def percent(part: int, *, of: int) -> float:
    """A part in percent of a whole; 100 of nothing.

    >>> percent(19, of=20)
    95.0
    """
    return 100 * part / of if of else 100.0


def floors(files: Mapping[str, Mapping[str, Any]]) -> list[Floor]:
    """Sum a report floor by floor.

    Args:
        files: what the report tells of each file, by its path from the top of the project.

    Returns:
        The floors from the ground up; one that has no files has no lines.
    """
    return [
        summed(name, (files[path]["summary"] for path in files if on(name, path)))
        for name in FLOORS
    ]


def on(floor: str, path: str) -> bool:
    """Whether a file's path, from the top of the project, lies on a floor."""
    return PurePath(path).parts[:1] == (floor,)


def summed(name: str, summaries: Iterable[Mapping[str, int]]) -> Floor:
    """One floor out of its files' counts."""
    counts = list(summaries)
    return Floor(
        name,
        lines=sum(one["num_statements"] for one in counts),
        lines_run=sum(one["covered_lines"] for one in counts),
        branches=sum(one["num_branches"] for one in counts),
        branches_run=sum(one["covered_branches"] for one in counts),
    )
