"""What a bar plan minimises, one thing after the other, as the search sees it.

First the length that stays uncut (only where the bars may not suffice), then the money spent,
then, among plans that spend no more, the worth that the rack loses. Costs are whole numbers of
a small unit, chosen so that sums stay within 62 bits; roundings only ever lower a bound.
It leaves out the search itself (branching.py).
"""

from dataclasses import dataclass
from math import gcd

from stock.cutting.bars.knapsack import Array, Table
from stock.cutting.bars.problem import Packing, Pattern, Problem

MONEY_BITS = 20  # a cent is divided this finely in the duals
WORTH_BITS = 42  # costs of one bar stay below this many bits
LENGTH_BITS = 14  # of WORTH_BITS, below which HiGHS's prices tell no lengths apart
TOLERANCE_BITS = 23  # worth is proved to about one part in ten million of the longest bar


@dataclass(frozen=True)
class Stage:
    """Costs of one stage: a bar costs `fixed` less the reward for what it leaves."""

    name: str  # "length" | "money" | "worth"
    problem: Problem
    scale: float  # from cost to the float that HiGHS sees
    fixed: tuple[int, ...]  # per group
    rewards: tuple[Array, ...]  # per group, per state that fits
    slack: tuple[int, ...]  # cost of leaving a piece uncut
    way_out: int  # cost of breaking a branching row, above every plan's share
    tolerance: int  # two costs this close are the same
    shift: int  # bits dropped from (below 0: added to) the exact cost
    budget: int | None = None  # most money [cents], where worth is minimised

    def cost(self, pattern: Pattern) -> int:
        """Cost of one bar cut by this pattern, in the stage's unit, rounded down."""
        if self.name == "worth":
            return self.problem.lost(pattern) >> self.shift
        return self.fixed[pattern.group]

    def total(self, packing: Packing) -> int:
        """Cost of a packing, with what it leaves uncut."""
        uncut = list(self.problem.counts)
        cost = 0
        for pattern, bars in packing.items():
            cost += bars * self.cost(pattern)
            for piece, n in pattern.cuts:
                uncut[piece] -= bars * n
        return cost + sum(max(0, n) * c for n, c in zip(uncut, self.slack, strict=True))

    def spends(self, group: int) -> int:
        """Money that a bar of this group takes from the budget [cents]."""
        return 0 if self.budget is None else self.problem.groups[group].price_cents


def length_stage(table: Table) -> Stage:
    """Leave as little length uncut as can be, then as few pieces.

    Where the lengths have hardly any unit in common, the second is lost in the tolerance.
    """
    problem = table.problem
    unit = gcd(*problem.lengths_nm)
    exact = [n // unit * (problem.total + 1) + 1 for n in problem.lengths_nm]
    shift = max(exact).bit_length() - WORTH_BITS
    slack = tuple(_shifted(c, shift) for c in exact)
    tolerance = max((1 << max(0, -shift)) - 1, 1 << LENGTH_BITS)
    groups = len(problem.groups)
    return Stage(
        "length",
        problem,
        1000 / max(slack),
        (0,) * groups,
        _no_rewards(table),
        slack,
        2 * max(slack),
        tolerance,
        shift,
    )


def money_stage(table: Table, *, at_most: int) -> Stage:
    """Spend as little as can be, `at_most` [cents] being known; bars on hand cost nothing."""
    problem = table.problem
    unit = 1 << MONEY_BITS
    fixed = tuple(group.price_cents * unit for group in problem.groups)
    step = gcd(*(group.price_cents for group in problem.groups)) or 1
    way_out = (at_most + 1) * unit
    return Stage(
        "money",
        problem,
        1000 / max(*fixed, unit),
        fixed,
        _no_rewards(table),
        (way_out,) * len(problem.counts),
        way_out,
        step * unit - 1,
        -MONEY_BITS,
    )


def worth_stage(table: Table, *, budget: int, bars: int) -> Stage:
    """Lose as little worth as can be, spending at most the budget [cents].

    `bars` are as many as a known plan cuts; they say how costly a way out must be.
    """
    problem = table.problem
    most = problem.worth.scaled(max(group.length_nm for group in problem.groups))
    shift = max(0, most.bit_length() - WORTH_BITS)
    fixed = tuple(
        0 if group.is_offer else problem.worth.scaled(group.length_nm) >> shift
        for group in problem.groups
    )
    rewards = tuple(_rewards(table, g, shift) for g in range(len(problem.groups)))
    unit = max(1, most >> shift)
    return Stage(
        "worth",
        problem,
        1000 / unit,
        fixed,
        rewards,
        (unit * (bars + 2),) * len(problem.counts),
        unit * (bars + 2),
        unit >> TOLERANCE_BITS,
        shift,
        budget,
    )


def same_stage(stage: Stage, table: Table, *, money: int, bars: int) -> Stage:
    """The same stage for a part of the problem, where a known plan takes so much of either."""
    if stage.name == "length":
        return length_stage(table)
    if stage.name == "money":
        return money_stage(table, at_most=money)
    return worth_stage(table, budget=money, bars=bars)


def exact_bound(stage: Stage, bound: int) -> int:
    """A bound in the stage's unit as an exact cost: cents, or scaled worth."""
    if stage.shift > 0:
        return bound << stage.shift
    return -(-bound >> -stage.shift)


def _shifted(cost: int, shift: int) -> int:
    return cost >> shift if shift > 0 else cost << -shift


def _no_rewards(table: Table) -> tuple[Array, ...]:
    import numpy as np

    return tuple(np.zeros(reach, dtype=np.int64) for reach in table.reach)


def _rewards(table: Table, group: int, shift: int) -> Array:
    """Worth of what is left at each state, rounded up."""
    import numpy as np

    problem = table.problem
    left = problem.groups[group].length_nm - table.states[: table.reach[group]] * problem.unit_nm
    left = np.maximum(left, 0)
    if shift == 0:
        worth = left * (2 * problem.worth.reference_nm + left)
    else:  # in floats, one more than enough to be above the exact worth
        exact = left.astype(float) * (2.0 * problem.worth.reference_nm + left)
        worth = np.ceil(exact / 2.0**shift).astype(np.int64) + 1
    return np.where(left >= max(problem.worth.keep_from_nm, 1), worth, 0)
