"""Better a packing a few bars at a time: take their pieces back and cut those bars anew.

A small part of a packing is soon searched to the end even where the whole is not. It proves
nothing about the whole.
"""

import random
import time
from collections import Counter
from collections.abc import Callable
from dataclasses import replace

from stock.cutting.bars.problem import Group, Packing, Pattern, Problem
from stock.cutting.bars.stages import Stage

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
