"""Branch and bound over how far each bar is cut, on the linear programme over patterns.

Worth is convex in what is left of a bar, so a mixture of "cut up" and "untouched" looks cheaper
than any whole plan. Branching on how many bars of a group are cut by at least so much takes that
apart; where every bar's cut length is settled, the patterns that are still good enough are
listed and HiGHS chooses among them in whole numbers.
It leaves out what is minimised (stages.py) and the order of the stages (bars.py).
"""

import heapq
import random
import time
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from itertools import count
from math import floor

from stock.cutting.bar_problem import Packing, Pattern
from stock.cutting.filling import Fillable, filled
from stock.cutting.integer_master import chosen
from stock.cutting.knapsack import Table
from stock.cutting.programme import Key, Node, Prices, Programme
from stock.cutting.promising import promising
from stock.cutting.stages import Stage

UNSETTLED = 1e-6
LEAF_SECONDS = 1.0  # given to HiGHS for one settled node at first
SLICE = tuple[float, float]  # units cut, share of a bar


@dataclass(frozen=True)
class Branch:
    """Where to split a node: bars of the group cut by at least so many units, `most` or more."""

    key: Key
    most: int
    spread: float


@dataclass
class Search:
    """A search for one stage: the best packing so far and a bound on all."""

    table: Table
    stage: Stage
    case: Fillable
    best: Packing
    until: float
    told: Callable[["Search"], None] = lambda search: None
    cost: int = 0
    bound: int = 0
    nodes: int = 0
    programme: Programme = field(init=False)
    rng: random.Random = field(default_factory=lambda: random.Random(1))
    unsettled: list[tuple[int, Node]] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.cost = self.stage.total(self.best)
        self.programme = Programme(self.table, self.stage)
        for pattern in self.best:
            self.programme.add(pattern)

    @property
    def enough(self) -> int:
        """A bound that proves the best packing."""
        return self.cost - self.stage.tolerance

    @property
    def is_proved(self) -> bool:
        """Whether no packing is better by more than the tolerance."""
        return self.bound >= self.enough

    @property
    def is_out_of_time(self) -> bool:
        """Whether the stage's time is up."""
        return time.monotonic() >= self.until

    def offer(self, packing: Packing | None) -> None:
        """Keep a packing when it is better and its pieces fit in truth."""
        if packing is None:
            return
        cost = self.stage.total(packing)
        if cost < self.cost and all(map(self.table.problem.fits, packing)):
            self.best, self.cost = packing, cost
            for pattern in packing:
                self.programme.add(pattern)
            self.told(self)


def search(search: Search) -> None:
    """Better the best packing and the bound until they meet or time is up."""
    order = count()
    heap: list[tuple[int, int, Node]] = [(search.bound, next(order), {})]
    while heap and not search.is_out_of_time:
        bound, _, node = heapq.heappop(heap)
        search.bound = max(search.bound, min([bound, *(b for b, _ in search.unsettled)]))
        if bound >= search.enough:
            heap = []
            break
        for child in _children(search, node, bound):
            heapq.heappush(heap, (*child[:1], next(order), child[1]))
    open_bounds = [b for b, _, _ in heap] + [b for b, _ in search.unsettled]
    search.bound = max(search.bound, min([*open_bounds, search.cost]))


def _children(search: Search, node: Node, bound: int) -> list[tuple[int, Node]]:
    """Solve a node; the parts it falls into, with their bound, or none when it is done."""
    search.nodes += 1
    prices = search.programme.bound(node, enough=search.enough, until=search.until)
    if prices is None or search.is_out_of_time:
        return [(bound if prices is None else max(bound, prices.bound), node)]
    bound = max(bound, prices.bound)
    if bound >= search.enough:
        return []
    mix = search.programme.mix()
    slices = _slices(search, mix)
    _round(search, slices, tries=4 if search.nodes < 20 else 1)
    if search.nodes == 1:
        search.offer(chosen(search.programme.patterns, search.stage, seconds=0.15).packing)
    if bound >= search.enough:
        return []
    branch = _branch(search, slices)
    if branch is None:
        _settle(search, node, prices, bound)
        return []
    low, high = node.get(branch.key, (0, None))
    return [
        (bound, {**node, branch.key: (low, branch.most - 1)}),
        (bound, {**node, branch.key: (branch.most, high)}),
    ]


def _slices(search: Search, mix: dict[Pattern, float]) -> dict[int, list[list[SLICE]]]:
    """Per group, the mixture dealt out to whole bars, the most cut first."""
    cut: dict[int, Counter[int]] = {}
    for pattern, share in mix.items():
        cut.setdefault(pattern.group, Counter())[search.programme.used[pattern]] += share  # type: ignore[assignment]
    return {group: _dealt(sorted(shares.items(), reverse=True)) for group, shares in cut.items()}


def _dealt(shares: list[tuple[int, float]]) -> list[list[SLICE]]:
    bars: list[list[SLICE]] = [[]]
    room = 1.0
    for used, share in shares:
        while share > 1e-9:
            part = min(share, room)
            bars[-1].append((used, part))
            share -= part
            room -= part
            if room < 1e-9:
                bars.append([])
                room = 1.0
    if bars[-1]:
        bars[-1].append((0, room))
    return [bar for bar in bars if bar]


def _mean(bar: list[SLICE]) -> float:
    return sum(used * share for used, share in bar)


def _branch(search: Search, slices: dict[int, list[list[SLICE]]]) -> Branch | None:
    """The split that takes most apart: the bar whose mixture is spread the widest."""
    best: Branch | None = None
    for group, bars in slices.items():
        for index, bar in enumerate(bars):
            found = _split(search, group, index, bar)
            if found and (best is None or found.spread > best.spread):
                best = found
    return best


def _split(search: Search, group: int, index: int, bar: list[SLICE]) -> Branch | None:
    if search.stage.name == "money":
        if not search.table.problem.groups[group].is_offer:
            return None
        units = 1
    else:
        units = floor(_mean(bar) + UNSETTLED) + 1
    share = sum(part for used, part in bar if used >= units)
    if min(share, 1 - share) < UNSETTLED:
        return None
    spread = _spread(bar)
    if search.stage.name == "money":
        spread = search.stage.fixed[group] * min(share, 1 - share)
    return Branch((group, units), index + 1, spread)


def _spread(bar: list[SLICE]) -> float:
    mean = _mean(bar)
    return sum(share * (used - mean) ** 2 for used, share in bar)


def _round(search: Search, slices: dict[int, list[list[SLICE]]], *, tries: int) -> None:
    """Fill bars in the order in which the mixture uses them, a few times over."""
    holds = [max(1, group.capacity) for group in search.table.problem.groups]
    bars = [(_mean(bar) / holds[group], group) for group, dealt in slices.items() for bar in dealt]
    for attempt in range(tries):
        if search.is_out_of_time or search.is_proved:
            return
        noise = 0.0 if attempt == 0 else 0.3
        order = sorted(bars, key=lambda bar: -bar[0] + search.rng.uniform(0, noise))
        rng = None if attempt == 0 else search.rng
        search.offer(filled(search.case, search.stage, [g for _, g in order], rng).best)


def _settle(search: Search, node: Node, prices: Prices, bound: int) -> None:
    """Finish a node whose cut lengths are settled: whole numbers of its good patterns."""
    gap = search.cost - search.stage.tolerance - prices.bound
    patterns = promising(search.table, search.stage, prices, gap)
    if patterns is None:
        search.unsettled.append((bound, node))
        return
    seconds = min(LEAF_SECONDS, search.until - time.monotonic())
    result = chosen(patterns, search.stage, seconds=seconds, node=node)
    search.offer(result.packing)
    if not result.is_complete:
        search.unsettled.append((bound, node))
