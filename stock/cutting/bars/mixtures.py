"""What the linear programme's mixture of patterns says of whole bars, and where to split it.

It leaves out solving (pattern_programme.py) and what is done with the parts (branching.py).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import floor

from stock.cutting.bars.pattern_programme import Key
from stock.cutting.bars.problem import Pattern
from stock.cutting.bars.search_state import Search

UNSETTLED = 1e-6


Slice = tuple[float, float]  # units cut, share of a bar


Bars = dict[int, list[list[Slice]]]  # per group, the bars that the mixture amounts to


@dataclass(frozen=True)
class Branch:
    """Where to split a node: bars of the group cut by at least so many units, `most` or more."""

    key: Key
    most: int
    spread: float


def slices_of(search: Search, mix: dict[Pattern, float]) -> Bars:
    """Per group, the mixture dealt out to whole bars, the most cut first."""
    cut: dict[int, dict[int, float]] = {}
    for pattern, share in mix.items():
        used = search.programme.used[pattern]
        shares = cut.setdefault(pattern.group, {})
        shares[used] = shares.get(used, 0.0) + share
    return {group: _dealt(sorted(shares.items(), reverse=True)) for group, shares in cut.items()}


def _dealt(shares: list[tuple[int, float]]) -> list[list[Slice]]:
    bars: list[list[Slice]] = [[]]
    room = 1.0
    for used, share in shares:
        left = share
        while left > 1e-9:
            part = min(left, room)
            bars[-1].append((used, part))
            left -= part
            room -= part
            if room < 1e-9:
                bars.append([])
                room = 1.0
    if bars[-1]:
        bars[-1].append((0, room))
    return [bar for bar in bars if bar]


def mean_used(bar: list[Slice]) -> float:
    return sum(used * share for used, share in bar)


def branch_of(search: Search, slices: Bars) -> Branch | None:
    """The split that takes most apart: the bar whose mixture is spread the widest."""
    best: Branch | None = None
    for group, bars in slices.items():
        for index, bar in enumerate(bars):
            found = _split(search, group, index, bar)
            if found and (best is None or found.spread > best.spread):
                best = found
    return best


def _split(search: Search, group: int, index: int, bar: list[Slice]) -> Branch | None:
    if search.stage.name == "money":
        if not search.table.problem.groups[group].is_offer:
            return None
        units = 1
    else:
        units = floor(mean_used(bar) + UNSETTLED) + 1
    share = sum(part for used, part in bar if used >= units)
    if min(share, 1 - share) < UNSETTLED:
        return None
    spread = _spread(bar)
    if search.stage.name == "money":
        spread = search.stage.fixed[group] * min(share, 1 - share)
    return Branch((group, units), index + 1, spread)


def _spread(bar: list[Slice]) -> float:
    mean = mean_used(bar)
    return sum(share * (used - mean) ** 2 for used, share in bar)
