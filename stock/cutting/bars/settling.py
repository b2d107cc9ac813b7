"""The end of a branch: whole numbers of bars where every bar's cut length is settled.

It leaves out the branching that leads there (branching.py), which hands itself over as `Solve` for
the smaller problems that come up here.
"""

import random
import time
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from functools import partial

from stock.cutting.bars.bounds import promising
from stock.cutting.bars.filling import fillable, filled, full_patterns
from stock.cutting.bars.integer_master import chosen
from stock.cutting.bars.knapsack import TooManyStates, table_of
from stock.cutting.bars.mixtures import Bars, mean_used
from stock.cutting.bars.pattern_programme import Node, Prices
from stock.cutting.bars.problem import Group, Packing, Pattern, Problem
from stock.cutting.bars.search_state import Search
from stock.cutting.bars.stages import Stage, length_stage, same_stage

PIECES_AT_ONCE = 24
BARS_AT_ONCE = 3  # at least, however many pieces they give
Solver = Callable[[Problem, Stage, Packing, float], Packing]


def recut(
    packing: Packing, stage: Stage, solver: Solver, rng: random.Random, *, until: float
) -> Packing:
    """A packing at least as good, with a few of its bars cut anew.

    Args:
        packing: complete.
        stage: what is minimised.
        solver: betters a small problem within so many seconds, from a known packing.
        rng: chooses the bars.
        until: when to stop, on the monotonic clock [s].

    Returns:
        A complete packing.

    Source:
        Large neighbourhood search; from memory.
    """
    taken = _taken(packing, stage.problem, rng)
    small, pieces, groups = _part(stage.problem, packing, taken)
    back = {piece: i for i, piece in enumerate(pieces)}
    group_back = {group: g for g, group in enumerate(groups)}
    known: Packing = Counter()
    for pattern, bars in taken.items():
        cuts = tuple((back[piece], n) for piece, n in pattern.cuts)
        known[Pattern(group_back[pattern.group], cuts)] += bars
    better = solver(small, stage, known, until - time.monotonic())
    rest = packing - taken
    for pattern, bars in better.items():
        cuts = tuple((pieces[i], n) for i, n in pattern.cuts)
        rest[Pattern(groups[pattern.group], cuts)] += bars
    return rest


def _taken(packing: Packing, problem: Problem, rng: random.Random) -> Packing:
    """The bar with most left, one with scrap, and others, up to so many pieces."""
    bars = [pattern for pattern, n in packing.items() for _ in range(n)]
    rng.shuffle(bars)
    bars.sort(key=lambda pattern: -_scrap(problem, pattern) * rng.random())
    most = max(bars, key=lambda pattern: _left(problem, pattern))
    bars.remove(most)
    taken: Packing = Counter([most])
    pieces = sum(n for _, n in most.cuts)
    for pattern in bars[:1] + rng.sample(bars[1:], len(bars[1:])):
        pieces += sum(n for _, n in pattern.cuts)
        if pieces > PIECES_AT_ONCE and taken.total() >= BARS_AT_ONCE:
            break
        taken[pattern] += 1
    return taken


def _left(problem: Problem, pattern: Pattern) -> int:
    takes = sum(n * (problem.lengths_nm[i] + problem.kerf_nm) for i, n in pattern.cuts)
    return max(0, problem.groups[pattern.group].length_nm - takes)


def _scrap(problem: Problem, pattern: Pattern) -> int:
    left = _left(problem, pattern)
    return left if left < problem.worth.keep_from_nm else 0


def _part(
    problem: Problem, packing: Packing, taken: Packing
) -> tuple[Problem, list[int], list[int]]:
    """The small problem, with the pieces and groups of the whole that it is made of."""
    counts: Counter[int] = Counter()
    used: Counter[int] = Counter()
    for pattern, bars in (packing - taken).items():
        used[pattern.group] += bars
    for pattern, bars in taken.items():
        for piece, n in pattern.cuts:
            counts[piece] += bars * n
    pieces = sorted(counts)
    shortest = problem.lengths_nm[pieces[-1]]
    groups = [
        g
        for g, group in enumerate(problem.groups)
        if group.limit > used[g] and group.length_nm >= shortest
    ]
    small = replace(
        problem,
        lengths_nm=tuple(problem.lengths_nm[i] for i in pieces),
        units=tuple(problem.units[i] for i in pieces),
        counts=tuple(counts[i] for i in pieces),
        groups=tuple(_fewer(problem.groups[g], used[g], counts.total()) for g in groups),
    )
    return small, pieces, groups


def _fewer(group: Group, used: int, most: int) -> Group:
    return replace(group, limit=min(group.limit - used, most))


Solve = Callable[[Search], None]  # betters a search's packing and bound, as far as time allows
LEAF_SECONDS = 0.5  # given to HiGHS for one settled node at first, doubled at each retry
PART_SECONDS = 0.2  # given to a few bars cut anew
LISTED = 20_000  # patterns listed at most, of which
SAMPLED = 300  # are tried


def settle(
    search: Search, node: Node, prices: Prices, slices: Bars, tries: int, *, solve: Solve
) -> int:
    """Whole numbers of the good patterns of a node whose cut lengths are settled.

    A plan that costs the bound plus a gap uses only patterns with reduced costs up to that gap.
    Where those are too many, the best packing is bettered first, and then as large a gap is
    settled as can be. Returns the bound reached.
    """
    seconds = LEAF_SECONDS * 2**tries
    gap = search.enough - prices.bound
    patterns = promising(search.table, search.stage, prices, gap)
    if patterns is None:
        if search.stage.name == "money":
            _fit(search, slices, 4 * seconds, solve)
        if search.enough > prices.bound:
            _choose(search, _sample(search, prices, slices), node, seconds)
        _recut(search, seconds / 2, enough=prices.bound, solve=solve)
        gap = search.enough - prices.bound
    while patterns is None and gap > search.stage.tolerance:
        gap //= 4
        patterns = promising(search.table, search.stage, prices, gap)
    if patterns is not None and _choose(search, patterns, node, seconds):
        return prices.bound + gap
    return prices.bound


def _choose(search: Search, patterns: list[Pattern], node: Node, seconds: float) -> bool:
    """Offer the best whole packing of these patterns; whether it is certainly the best."""
    left = min(seconds, search.until - time.monotonic())
    if left <= 0:
        return False
    choice = chosen(patterns, search.stage, seconds=left, node=node)
    search.offer(choice.packing)
    return choice.is_complete


def _sample(search: Search, prices: Prices, slices: Bars) -> list[Pattern]:
    """Some of the best patterns, where all of them are too many to choose among."""
    patterns = list(search.programme.patterns)
    listed = promising(search.table, search.stage, prices, search.stage.tolerance, most=LISTED)
    if listed is not None:
        patterns += search.rng.sample(listed, min(SAMPLED, len(listed)))
    else:
        patterns += _full(search, slices)
    return list(dict.fromkeys(patterns))


def _full(search: Search, slices: Bars) -> list[Pattern]:
    """Patterns that fill each bar as far as the mixture does, in many different ways."""
    wanted = {
        (group, round(mean_used(bar) * search.table.problem.unit_nm))
        for group, bars in slices.items()
        for bar in bars
    }
    each = max(5, SAMPLED // max(1, len(wanted)))
    return [
        pattern
        for group, used_nm in sorted(wanted)
        for pattern in full_patterns(search.case, group, used_nm, each, search.rng)
    ]


def _fit(search: Search, slices: Bars, seconds: float, solve: Solve) -> None:
    """Try to cut all pieces from the bars that the mixture buys, leaving less and less uncut."""
    problem = search.table.problem
    groups = tuple(
        replace(group, is_offer=False, price_cents=0, limit=len(slices.get(g, [])))
        if group.is_offer
        else group
        for g, group in enumerate(problem.groups)
    )
    bought = replace(problem, groups=groups)
    table = replace(search.table, problem=bought)
    stage = length_stage(table)
    case = fillable(bought)
    known = filled(case, stage, [], None, until=search.until).best
    if search.is_part or known is None:
        return
    until = min(search.until, time.monotonic() + seconds)
    found = Search(table, stage, case, known, until, bound=0)
    solve(found)
    if found.cost <= stage.tolerance:
        search.offer(found.best)


def _recut(search: Search, seconds: float, *, enough: int, solve: Solve) -> None:
    """Cut a few bars of the best packing anew, again and again, until it costs no more."""
    until = min(search.until, time.monotonic() + seconds)
    while not search.is_part and time.monotonic() < until and search.enough > enough:
        part = partial(_part_solver, solve)
        search.offer(recut(search.best, search.stage, part, search.rng, until=until))


def _part_solver(
    solve: Solve, problem: Problem, stage: Stage, known: Packing, seconds: float
) -> Packing:
    """Search a small problem of the same stage to the end, or as far as time allows."""
    try:
        table = table_of(problem)
    except TooManyStates:
        return known
    money = sum(n * problem.groups[p.group].price_cents for p, n in known.items())
    part = same_stage(stage, table, money=money, bars=known.total())
    until = time.monotonic() + min(seconds, PART_SECONDS)
    found = Search(table, part, fillable(problem), known, until, bound=-(1 << 62), is_part=True)
    solve(found)
    return found.best
