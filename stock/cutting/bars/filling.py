"""Plans made bar by bar: each bar filled as full as what is wanted allows.

Good plans for the search to start from and to beat. Which lengths add up is held as the bits of
one large integer. It proves nothing.
"""

import random
import time
from collections import Counter
from dataclasses import dataclass

from stock.cutting.bars.problem import Packing, Pattern, Problem
from stock.cutting.bars.stages import Stage

MOST_BITS = 1 << 17  # beyond so many units lengths are rounded up to a coarser unit


@dataclass(frozen=True)
class Fillable:
    """Pieces and bars in units that fit the bits: pieces rounded up, bars down."""

    problem: Problem
    unit_nm: int
    takes: tuple[int, ...]  # per piece, with its kerf
    holds: tuple[int, ...]  # per group


def fillable(problem: Problem) -> Fillable:
    """The problem in units fine enough to be exact, or as fine as the bits allow."""
    kerf = problem.kerf_nm
    longest = max(group.length_nm for group in problem.groups) + kerf
    unit = problem.exact_unit_nm
    if longest // unit > MOST_BITS:
        unit = -(-longest // MOST_BITS)
    return Fillable(
        problem,
        unit,
        tuple(-(-(n + kerf) // unit) for n in problem.lengths_nm),
        tuple((group.length_nm + kerf) // unit for group in problem.groups),
    )


def full_patterns(
    case: Fillable, group: int, used_nm: int, times: int, rng: random.Random
) -> list[Pattern]:
    """Random sets of pieces that fill so much of a bar [nm, kerfs included] as full as can be."""
    holds = min(case.holds[group], used_nm // case.unit_nm)
    counts = list(case.problem.counts)
    order = list(range(len(counts)))
    found = []
    for _ in range(times):
        rng.shuffle(order)
        found.append(Pattern(group, fullest(case, holds, counts, order)))
    return [pattern for pattern in found if pattern.cuts]


def fullest(
    case: Fillable, holds: int, left: list[int], order: list[int]
) -> tuple[tuple[int, int], ...]:
    """The set of pieces still wanted that fills a bar fullest, early in `order` preferred."""
    mask = (1 << (holds + 1)) - 1
    bits = 1
    before = []
    for piece in reversed(order):
        before.append(bits)
        count = min(left[piece], holds // case.takes[piece])
        times = 1
        while count > 0:
            step = min(times, count)
            bits = (bits | bits << (step * case.takes[piece])) & mask
            count -= step
            times *= 2
    return _traced(
        case, bits.bit_length() - 1, left, list(zip(order, reversed(before), strict=True))
    )


def _traced(
    case: Fillable, used: int, left: list[int], layers: list[tuple[int, int]]
) -> tuple[tuple[int, int], ...]:
    cuts = []
    for piece, bits in layers:
        takes = case.takes[piece]
        n = min(left[piece], used // takes)
        while n > 0 and not bits >> (used - n * takes) & 1:
            n -= 1
        if n:
            cuts.append((piece, n))
            used -= n * takes
    return tuple(sorted(cuts))


@dataclass
class Filling:
    """One run over the bars in some order, and the best complete plan met on the way."""

    case: Fillable
    stage: Stage
    left: list[int]
    spare: Counter[int]  # bars of each group that may still be used
    money: int | None  # left to spend, None: no limit
    packing: Packing
    cost: int = 0
    best: Packing | None = None
    best_cost: int = 0

    def finish(self) -> None:
        """Consider cutting all that is left from each one bar that holds it."""
        takes = sum(n * t for n, t in zip(self.left, self.case.takes, strict=True))
        if takes == 0:
            self._keep(self.packing, self.cost)
        if not 0 < takes <= max(self.case.holds):
            return
        rest = tuple((piece, n) for piece, n in enumerate(self.left) if n)
        for group, n in self.spare.items():
            if n > 0 and self.case.holds[group] >= takes and self.affords(group):
                pattern = Pattern(group, rest)
                self._keep(self.packing + Counter([pattern]), self.cost + self.stage.cost(pattern))

    def cut(self, group: int, cuts: tuple[tuple[int, int], ...]) -> None:
        """Take one bar and these pieces from it."""
        pattern = Pattern(group, cuts)
        self.packing[pattern] += 1
        self.cost += self.stage.cost(pattern)
        self.spare[group] -= 1
        if self.money is not None:
            self.money -= self.stage.spends(group)
        for piece, n in cuts:
            self.left[piece] -= n

    def affords(self, group: int) -> bool:
        """Whether the budget still buys a bar of this group."""
        return self.money is None or self.stage.spends(group) <= self.money

    def give_up(self) -> None:
        """Count what is left as uncut."""
        uncut = sum(n * c for n, c in zip(self.left, self.stage.slack, strict=True))
        self._keep(self.packing, self.cost + uncut)

    def _keep(self, packing: Packing, cost: int) -> None:
        if self.best is None or cost < self.best_cost:
            self.best, self.best_cost = Counter(packing), cost


def filled(
    case: Fillable, stage: Stage, bars: list[int], rng: random.Random | None, *, until: float
) -> Filling:
    """Fill these bars in order, then the best of those left, and return the run.

    Args:
        case: pieces and bars in fillable units.
        stage: what is minimised.
        bars: groups, one for each bar, in the order in which they are filled.
        rng: shuffles which pieces are preferred; None prefers the longest.
        until: when to give up, on the monotonic clock [s].

    Returns:
        The run; `best` is None when some pieces found no bar (unless uncut is allowed).

    Source:
        "Minimal bin slack" heuristics for bin packing; from memory.
    """
    problem = case.problem
    spare = Counter({g: group.limit for g, group in enumerate(problem.groups)})
    run = Filling(case, stage, list(problem.counts), spare, stage.budget, Counter())
    last, cuts = -1, tuple[tuple[int, int], ...]()
    for group in [*bars, *_rest(run, bars)]:
        run.finish()
        if not any(run.left) or time.monotonic() >= until:
            return run
        if run.spare[group] < 1 or not run.affords(group):
            continue
        if group != last or any(run.left[piece] < n for piece, n in cuts):
            cuts = fullest(case, case.holds[group], run.left, _order(problem, rng))
            last = group
        if cuts:
            run.cut(group, cuts)
    run.finish()
    if any(run.left) and stage.name == "length":
        run.give_up()
    return run


def _rest(run: Filling, bars: list[int]) -> list[int]:
    """Bars that the order does not name: on hand from the shortest, then the best offer."""
    groups = run.case.problem.groups
    named = Counter(bars)
    rest = [
        g
        for g, group in enumerate(groups)
        if not group.is_offer
        for _ in range(max(0, group.limit - named[g]))
    ]
    offers = [g for g, group in enumerate(groups) if group.is_offer]
    if offers and run.money is None:
        best = min(offers, key=lambda g: (groups[g].price_cents / groups[g].length_nm, g))
        longest = max(offers, key=lambda g: groups[g].length_nm)
        rest += [best] * groups[best].limit + [longest] * groups[longest].limit
    elif run.money:
        for g in sorted(offers, key=lambda g: -groups[g].length_nm):
            price = groups[g].price_cents
            rest += [g] * min(groups[g].limit, run.money // price if price else groups[g].limit)
    return rest


def _order(problem: Problem, rng: random.Random | None) -> list[int]:
    pieces = range(len(problem.counts))
    if rng is None:
        return list(pieces)
    weights = [problem.lengths_nm[i] * rng.uniform(0.6, 1.4) for i in pieces]
    return sorted(pieces, key=lambda i: -weights[i])
