"""All patterns that a better plan could still use, listed by their reduced cost.

A plan's cost is the bound plus the reduced costs of its patterns, so a pattern whose reduced
cost reaches the gap is in no better plan. It leaves out choosing among them.
"""

from dataclasses import dataclass

from stock.cutting.bars.knapsack import Array, Table, moves, powers
from stock.cutting.bars.pattern_programme import Prices
from stock.cutting.bars.problem import Pattern, Problem
from stock.cutting.bars.stages import Stage

MOST_PATTERNS = 1000  # more make HiGHS slow, and deaf to its time limit


@dataclass(frozen=True)
class Partial:
    """Partly made patterns of one group: state, value and pieces taken so far."""

    states: Array
    values: Array
    counts: list[Array]


def promising(
    table: Table, stage: Stage, prices: Prices, gap: int, *, most: int = MOST_PATTERNS
) -> list[Pattern] | None:
    """Every pattern with a reduced cost of at most the gap, or None when they are too many.

    Args:
        table: the reachable lengths.
        stage: costs.
        prices: integer duals that no pattern overpays.
        gap: largest reduced cost of interest, in the stage's unit.
        most: give up beyond so many.

    Returns:
        The patterns, by group.
    """
    found: list[Pattern] = []
    for group in range(len(table.problem.groups)):
        if table.reach[group] <= table.first:
            continue
        patterns = _of_group(table, stage, prices, gap, group, most - len(found))
        if patterns is None:
            return None
        found += patterns
    return found


def _of_group(
    table: Table, stage: Stage, prices: Prices, gap: int, group: int, most: int
) -> list[Pattern] | None:
    import numpy as np

    problem = table.problem
    states = table.states[: table.reach[group]]
    rewards = stage.rewards[group].copy()
    for (of, units), price in prices.rows.items():
        if of == group:
            rewards[np.searchsorted(states, units) :] += price
    needed = stage.fixed[group] + prices.money * stage.spends(group) + prices.groups[group] - gap
    tails = _tails(table, prices, group, states, rewards)
    zero = np.zeros(1, dtype=np.int64)
    partial = Partial(zero, zero, [])
    for piece in range(len(problem.counts)):
        partial = _extended(table, prices, group, piece, partial, states, tails[piece + 1], needed)
        if len(partial.states) > most + 1:
            return None
    if not partial.counts:
        return []
    rows = np.stack(partial.counts, axis=1).tolist()
    return [
        Pattern(group, tuple((i, n) for i, n in enumerate(row) if n)) for row in rows if any(row)
    ]


def _tails(table: Table, prices: Prices, group: int, states: Array, rewards: Array) -> list[Array]:
    """For each piece, the most that it and later pieces add at each state, with the reward."""
    import numpy as np

    problem = table.problem
    tails = [rewards]
    for piece in reversed(range(len(problem.counts))):
        tail = tails[-1].copy()
        fit = problem.most_in(piece, problem.groups[group].capacity)
        for times in powers(fit):
            before, after = moves(states, times * problem.units[piece])
            offered = tail[after] + times * prices.pieces[piece]
            tail[before] = np.maximum(tail[before], offered)
        tails.append(tail)
    return tails[::-1]


def _extended(
    table: Table,
    prices: Prices,
    group: int,
    piece: int,
    partial: Partial,
    states: Array,
    tail: Array,
    needed: int,
) -> Partial:
    """Partial patterns with 0, 1, 2 … of one more piece that can still reach what is needed."""
    import numpy as np

    units, price = table.problem.units[piece], prices.pieces[piece]
    fit = table.problem.most_in(piece, table.problem.groups[group].capacity)
    kept = []
    for n in range(fit + 1):
        moved = partial.states + n * units
        at = np.searchsorted(states, moved)
        is_known = at < len(states)
        is_known[is_known] = states[at[is_known]] == moved[is_known]
        rows = np.flatnonzero(is_known)
        values = partial.values[rows] + n * price
        is_good = values + tail[at[rows]] >= needed
        rows, values = rows[is_good], values[is_good]
        counts = [c[rows] for c in partial.counts]
        kept.append((moved[rows], values, [*counts, np.full(len(rows), n)]))
    columns = zip(*(counts for _, _, counts in kept), strict=True)
    return Partial(
        np.concatenate([s for s, _, _ in kept]),
        np.concatenate([v for _, v, _ in kept]),
        [np.concatenate(column) for column in columns],
    )


def least_cents(problem: Problem) -> int:
    """Money that no plan goes below: the length that bars on hand lack, at the best rate.

    Args:
        problem: all of whose pieces are to be cut.

    Returns:
        Cents, rounded up.
    """
    kerf = problem.kerf_nm
    lacking = sum(
        n * (length + kerf) for n, length in zip(problem.counts, problem.lengths_nm, strict=True)
    )
    lacking -= sum(g.limit * (g.length_nm + kerf) for g in problem.groups if not g.is_offer)
    prices = [(g.price_cents, g.length_nm + kerf) for g in problem.groups if g.is_offer]
    if lacking <= 0 or not prices:
        return 0
    return min(-(-lacking * cents // length) for cents, length in prices)


def least_scaled_loss(problem: Problem, budget: int) -> int:
    """A scaled loss that no plan within the budget goes below.

    As worth is convex in what is left, a bar of length L that gives up c loses at least the
    share c/L of its worth; the cheapest bars give up the pieces' length. Bought bars first add
    their whole worth, the whole budget being spent at the best rate of worth for money.

    Args:
        problem: all of whose pieces are to be cut.
        budget: most money [cents].

    Returns:
        Scaled worth, see `stock.cutting.plans.plan`; below 0 where bought bars may add more than
        goes.

    Source:
        Convexity of r + r²/(2·reference).
    """
    wanted = sum(n * length for n, length in zip(problem.counts, problem.lengths_nm, strict=True))
    free, bought = 0, 0
    rates: list[tuple[int, int]] = []  # worth per length given up, length there is
    for group in problem.groups:
        worth = problem.worth.scaled(group.length_nm)
        length = wanted if group.is_offer else group.limit * group.length_nm
        rates.append((worth // group.length_nm, length))
        if group.is_offer and group.price_cents:
            bought = max(bought, -(-budget * worth // group.price_cents))
        elif group.is_offer:
            free += group.limit * worth
    lost = 0
    for rate, length in sorted(rates):
        taken = min(wanted, length)
        lost += rate * taken
        wanted -= taken
    return lost - free - bought
