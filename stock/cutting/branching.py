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
from collections.abc import Callable
from dataclasses import dataclass, field
from itertools import count
from math import floor

from stock.cutting.bar_problem import Packing, Pattern, Problem
from stock.cutting.filling import Fillable, fillable, filled
from stock.cutting.integer_master import chosen
from stock.cutting.knapsack import Table, TooManyStates, table_of
from stock.cutting.programme import Key, Node, Prices, Programme
from stock.cutting.promising import promising
from stock.cutting.recut import recut
from stock.cutting.stages import Stage, same_stage

UNSETTLED = 1e-6
LEAF_SECONDS = 0.5  # given to HiGHS for one settled node at first, doubled at each retry
PART_SECONDS = 0.2  # given to a few bars cut anew
LISTED = 50_000  # patterns listed at most, of which
SAMPLED = 300  # are tried
Slice = tuple[float, float]  # units cut, share of a bar
Open = tuple[int, int, int, Node]  # bound, tries so far, order, node


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
    is_part: bool = False  # of a larger search: no further parts are cut from it

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
    heap: list[Open] = [(search.bound, 0, next(order), {})]
    while heap and not search.is_out_of_time:
        bound, tries, _, node = heapq.heappop(heap)
        if bound > search.bound:
            search.bound = bound
            search.told(search)
        if search.is_proved:
            return
        for child_bound, child in _children(search, node, bound, tries):
            again = tries + 1 if child is node else 0
            heapq.heappush(heap, (child_bound, again, next(order), child))
    least = min((bound for bound, _, _, _ in heap), default=search.cost)
    search.bound = max(search.bound, min(least, search.cost))


def _children(search: Search, node: Node, bound: int, tries: int) -> list[tuple[int, Node]]:
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
    parts = _parts(node, branch) if branch else [node]
    if node in parts:
        reached = _settle(search, node, prices, tries)
        return [] if reached >= search.enough else [(max(bound, reached), node)]
    return [(bound, part) for part in parts]


def _parts(node: Node, branch: Branch) -> list[Node]:
    """The node with fewer bars than `most`, and with at least so many; not what is empty."""
    low, high = node.get(branch.key, (0, None))
    parts = [(low, branch.most - 1), (max(low, branch.most), high)]
    return [
        {**node, branch.key: (least, most)}
        for least, most in parts
        if most is None or least <= most
    ]


def _slices(search: Search, mix: dict[Pattern, float]) -> dict[int, list[list[Slice]]]:
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


def _mean(bar: list[Slice]) -> float:
    return sum(used * share for used, share in bar)


def _branch(search: Search, slices: dict[int, list[list[Slice]]]) -> Branch | None:
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
        units = floor(_mean(bar) + UNSETTLED) + 1
    share = sum(part for used, part in bar if used >= units)
    if min(share, 1 - share) < UNSETTLED:
        return None
    spread = _spread(bar)
    if search.stage.name == "money":
        spread = search.stage.fixed[group] * min(share, 1 - share)
    return Branch((group, units), index + 1, spread)


def _spread(bar: list[Slice]) -> float:
    mean = _mean(bar)
    return sum(share * (used - mean) ** 2 for used, share in bar)


def _round(search: Search, slices: dict[int, list[list[Slice]]], *, tries: int) -> None:
    """Fill bars in the order in which the mixture uses them, a few times over."""
    holds = [max(1, group.capacity) for group in search.table.problem.groups]
    bars = [(_mean(bar) / holds[group], group) for group, dealt in slices.items() for bar in dealt]
    for attempt in range(tries):
        if search.is_out_of_time or search.is_proved:
            return
        noise = 0.0 if attempt == 0 else 0.3
        order = sorted(bars, key=lambda bar: -bar[0] + search.rng.uniform(0, noise))
        rng = None if attempt == 0 else search.rng
        search.offer(
            filled(search.case, search.stage, [g for _, g in order], rng, until=search.until).best
        )


def _settle(search: Search, node: Node, prices: Prices, tries: int) -> int:
    """Whole numbers of the good patterns of a node whose cut lengths are settled.

    A plan that costs the bound plus a gap uses only patterns with reduced costs up to that gap.
    Where those are too many, the best packing is bettered first, and then as large a gap is
    settled as can be. Returns the bound reached.
    """
    seconds = LEAF_SECONDS * 2**tries
    gap = search.enough - prices.bound
    patterns = promising(search.table, search.stage, prices, gap)
    if patterns is None:
        _choose(search, _sample(search, prices), node, seconds)
        _recut(search, seconds / 2, enough=prices.bound)
        gap = search.enough - prices.bound
    while patterns is None and gap > search.stage.tolerance:
        gap //= 4
        patterns = promising(search.table, search.stage, prices, gap)
    if patterns is not None and _choose(search, patterns, node, seconds):
        return prices.bound + gap
    return prices.bound


def _choose(search: Search, patterns: list[Pattern], node: Node, seconds: float) -> bool:
    """Offer the best whole packing of these patterns; whether it is certainly the best."""
    left = search.until - time.monotonic()
    choice = chosen(patterns, search.stage, seconds=min(seconds, left), node=node)
    search.offer(choice.packing)
    return choice.is_complete


def _sample(search: Search, prices: Prices) -> list[Pattern]:
    """Some of the best patterns, where all of them are too many to choose among."""
    patterns = list(search.programme.patterns)
    listed = promising(search.table, search.stage, prices, search.stage.tolerance, most=LISTED)
    if listed:
        patterns += search.rng.sample(listed, min(SAMPLED, len(listed)))
    return list(dict.fromkeys(patterns))


def _recut(search: Search, seconds: float, *, enough: int) -> None:
    """Cut a few bars of the best packing anew, again and again, until it costs no more."""
    until = min(search.until, time.monotonic() + seconds)
    while not search.is_part and time.monotonic() < until and search.enough > enough:
        search.offer(recut(search.best, search.stage, _part_solver, search.rng, until=until))


def _part_solver(problem: Problem, stage: Stage, known: Packing, seconds: float) -> Packing:
    """Search a small problem of the same stage to the end, or as far as time allows."""
    try:
        table = table_of(problem)
    except TooManyStates:
        return known
    money = sum(n * problem.groups[p.group].price_cents for p, n in known.items())
    part = same_stage(stage, table, money=money, bars=known.total())
    until = time.monotonic() + min(seconds, PART_SECONDS)
    found = Search(table, part, fillable(problem), known, until, bound=-(1 << 62), is_part=True)
    search(found)
    return found.best
