"""The linear programme over patterns, with rows to branch on, and its bound in integers.

Patterns are added as the programme's prices (duals) ask for them. The prices are rounded to
integers and the bound is worked out again from those alone, so no float decides what is proved.
It leaves out which rows to branch on (branching.py).
"""

import time
from dataclasses import dataclass, field
from typing import Any

from stock.cutting.bars.knapsack import Array, Table
from stock.cutting.bars.problem import Pattern
from stock.cutting.bars.stages import Stage
from stock.cutting.plans.highs import quiet_model

INFINITE = 1e30
FINE = 1e-9  # a pattern must better the programme by this share to be added
NOTHING_FITS = -(1 << 60)
DEAREST = 1 << 52  # ways out are not made dearer than this

Key = tuple[int, int]  # group, units: the row counts bars of the group cut by at least so much
Node = dict[Key, tuple[int, int | None]]  # row -> fewest, most (None: no limit)


@dataclass(frozen=True)
class Prices:
    """Integer duals that no pattern overpays, and the bound that follows."""

    pieces: tuple[int, ...]
    money: int  # per cent spent
    groups: tuple[int, ...]  # per bar of a group, 0 or more
    rows: dict[Key, int]
    bound: int


@dataclass
class Programme:
    """Patterns so far and the HiGHS model that mixes them."""

    table: Table
    stage: Stage
    model: Any = field(default_factory=quiet_model)
    patterns: dict[Pattern, int] = field(default_factory=dict)  # -> column
    used: dict[Pattern, int] = field(default_factory=dict)  # -> units
    rows: dict[Key, int] = field(default_factory=dict)
    active: Node = field(default_factory=dict)
    ways_out: dict[int, int] = field(default_factory=dict)  # column -> cost
    height: int = 0
    width: int = 0

    def __post_init__(self) -> None:
        problem = self.table.problem
        for count in problem.counts:
            self._row(float(count), INFINITE)
        for group in problem.groups:
            self._row(-INFINITE, float(group.limit))
        budget = self.stage.budget
        self._row(-INFINITE, INFINITE if budget is None else float(budget))
        for piece, cost in enumerate(self.stage.slack):
            if self.stage.name != "length":
                self.ways_out[self.width] = cost
            self._column(cost, [piece], [1.0])

    def add(self, pattern: Pattern) -> bool:
        """Add a pattern once; whether it is new."""
        if pattern in self.patterns:
            return False
        problem = self.table.problem
        pieces = len(problem.counts)
        used = problem.used(pattern)
        rows = [piece for piece, _ in pattern.cuts]
        weights = [float(n) for _, n in pattern.cuts]
        rows += [pieces + pattern.group, pieces + len(problem.groups)]
        weights += [1.0, float(self.stage.spends(pattern.group))]
        for (group, units), row in self.rows.items():
            if group == pattern.group and used >= units:
                rows.append(row)
                weights.append(1.0)
        self.patterns[pattern] = self.width
        self.used[pattern] = used
        self._column(self.stage.cost(pattern), rows, weights)
        return True

    def add_all(self, patterns: list[Pattern]) -> int:
        """Add patterns; how many of them are new."""
        return sum(self.add(pattern) for pattern in patterns)

    def bound(self, node: Node, *, enough: int, until: float) -> Prices | None:
        """Best bound found at a node, with its prices; stops once it is `enough`.

        None when time ran out before the first bound.
        """
        self._branch(node)
        best: Prices | None = None
        while time.monotonic() < until:
            self.model.run()
            prices, offered = self._priced()
            if best is None or prices.bound > best.bound:
                best = prices
            if best.bound >= enough:
                break
            if self.add_all(offered) == 0 and not self._close_ways_out():
                break
        return best

    def mix(self) -> dict[Pattern, float]:
        """How much of each pattern the last solution of the programme takes."""
        values = list(self.model.getSolution().col_value)
        return {p: values[c] for p, c in self.patterns.items() if values[c] > 1e-7}

    def _close_ways_out(self) -> bool:
        """Make the ways out that the last solution takes dearer; whether that may help."""
        values = self.model.getSolution().col_value
        taken = [c for c, cost in self.ways_out.items() if values[c] > 1e-7 and cost < DEAREST]
        for column in taken:
            self.ways_out[column] *= 16
            self.model.changeColCost(column, self.ways_out[column] * self.stage.scale)
        return bool(taken)

    def _row(self, low: float, high: float) -> None:
        self.model.addRow(low, high, 0, [], [])
        self.height += 1

    def _column(self, cost: int, rows: list[int], weights: list[float]) -> None:
        scaled = cost * self.stage.scale
        self.model.addCol(scaled, 0.0, INFINITE, len(rows), rows, weights)
        self.width += 1

    def _branch(self, node: Node) -> None:
        for key in [key for key in self.active if key not in node]:
            self.model.changeRowBounds(self.rows[key], -INFINITE, INFINITE)
            del self.active[key]
        for key, (low, high) in node.items():
            if self.active.get(key) != (low, high):
                top = INFINITE if high is None else float(high)
                self.model.changeRowBounds(self._branching_row(key), float(low), top)
                self.active[key] = (low, high)

    def _branching_row(self, key: Key) -> int:
        if key not in self.rows:
            group, units = key
            columns = [
                column
                for pattern, column in self.patterns.items()
                if pattern.group == group and self.used[pattern] >= units
            ]
            self.model.addRow(-INFINITE, INFINITE, len(columns), columns, [1.0] * len(columns))
            self.rows[key] = self.height
            self.height += 1
            self.ways_out[self.width] = self.stage.way_out
            self._column(self.stage.way_out, [self.rows[key]], [1.0])
        return self.rows[key]

    def _priced(self) -> tuple[Prices, list[Pattern]]:
        """Integer prices of the last solution, and the patterns that better it."""
        duals = list(self.model.getSolution().row_dual)
        groups = self.table.problem.groups
        first = len(self.stage.slack)
        pieces = [max(0, self._whole(dual)) for dual in duals[:first]]
        if self.stage.name == "length":
            pieces = [min(dual, cost) for dual, cost in zip(pieces, self.stage.slack, strict=True)]
        money = max(0, -self._whole(duals[first + len(groups)]))
        rows = self._row_prices(duals)
        values = self.table.fill(pieces)
        best = [self._best_state(values, g, rows) for g in range(len(groups))]
        offered = []
        for g, (state, gain) in enumerate(best):
            paid = self.stage.fixed[g] + money * self.stage.spends(g)
            paid += max(0, -self._whole(duals[first + g]))
            if gain > paid + FINE / self.stage.scale:
                offered.append(self.table.pattern(g, state))
        prices = self._feasible(pieces, money, rows, [gain for _, gain in best])
        return prices, [pattern for pattern in offered if pattern.cuts]

    def _whole(self, dual: float) -> int:
        return int(dual / self.stage.scale)

    def _row_prices(self, duals: list[float]) -> dict[Key, int]:
        prices = {}
        for key, (_, high) in self.active.items():
            price = self._whole(duals[self.rows[key]])
            if price > 0 or (price < 0 and high is not None):
                prices[key] = price
        return prices

    def _best_state(self, values: Array, group: int, rows: dict[Key, int]) -> tuple[int, int]:
        """State with the largest gain (value, rewards) for a bar of this group."""
        import numpy as np

        reach = self.table.reach[group]
        first = self.table.first
        if reach <= first:
            return 0, NOTHING_FITS
        gains = values[:reach] + self.stage.rewards[group]
        for (of, units), price in rows.items():
            if of == group:
                gains[np.searchsorted(self.table.states[:reach], units) :] += price
        state = int(gains[first:].argmax()) + first
        return state, int(gains[state])

    def _feasible(
        self, pieces: list[int], money: int, rows: dict[Key, int], gains: list[int]
    ) -> Prices:
        """Prices made right for every pattern, and the bound they prove."""
        stage = self.stage
        for g, gain in enumerate(gains):
            if stage.spends(g):
                money = max(money, -((stage.fixed[g] - gain) // stage.spends(g)))
        over = [
            max(0, gain - stage.fixed[g] - money * stage.spends(g)) for g, gain in enumerate(gains)
        ]
        plain = self._proved(pieces, money, over, rows)
        if stage.name != "money":
            return plain
        shrunk = self._farley(pieces, rows, gains)
        return shrunk if shrunk.bound > plain.bound else plain

    def _farley(self, pieces: list[int], rows: dict[Key, int], gains: list[int]) -> Prices:
        """Farley's bound for money: all prices shrunk until no offer is overpaid."""
        groups = self.table.problem.groups
        top, bottom = 1, 1
        for g, gain in enumerate(gains):
            if groups[g].price_cents and self.stage.fixed[g] * bottom < gain * top:
                top, bottom = self.stage.fixed[g], gain
        over = [
            0 if groups[g].price_cents else -(-max(0, gain) * top // bottom)
            for g, gain in enumerate(gains)
        ]
        smaller = {key: price * top // bottom for key, price in rows.items()}
        return self._proved([d * top // bottom for d in pieces], 0, over, smaller)

    def _proved(
        self, pieces: list[int], money: int, over: list[int], rows: dict[Key, int]
    ) -> Prices:
        problem = self.table.problem
        bound = sum(n * d for n, d in zip(problem.counts, pieces, strict=True))
        bound -= sum(o * g.limit for o, g in zip(over, problem.groups, strict=True))
        bound -= money * (self.stage.budget or 0)
        for key, price in rows.items():
            low, high = self.active[key]
            bound += price * (low if price > 0 else (high or 0))
        return Prices(tuple(pieces), money, tuple(over), rows, bound)
