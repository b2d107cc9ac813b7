"""A small whole-number programme: columns with a cost, rows with limits, solved by HiGHS.

Made for buying, where costs are whole minor units. It leaves out what the columns mean.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import ceil
from typing import Any

from stock.cutting.plans.highs import quiet_model

INFINITE = 1e30
WHOLE_COST_GAP = 0.5  # costs are whole, so a gap under one proves the best


@dataclass(frozen=True)
class Solution:
    """Values by column; `at_least` bounds every solution from below."""

    values: tuple[int, ...]
    cost: int
    at_least: int

    @property
    def is_proved(self) -> bool:
        """Whether no solution can cost less."""
        return self.at_least >= self.cost


@dataclass
class Programme:
    """Columns and rows as they are added; minimised by `solve`."""

    costs: list[int] = field(default_factory=list)
    limits: list[tuple[int, float]] = field(default_factory=list)
    rows: list[tuple[float, float, dict[int, int]]] = field(default_factory=list)

    def column(self, *, cost: int = 0, low: int = 0, high: int | None = None) -> int:
        """Add a whole-number column; its number."""
        self.costs.append(cost)
        self.limits.append((low, INFINITE if high is None else high))
        return len(self.costs) - 1

    def row(
        self, weights: Mapping[int, int], *, low: int | None = None, high: int | None = None
    ) -> None:
        """Add a row: low ≤ sum of weight · column ≤ high."""
        self.rows.append(
            (
                -INFINITE if low is None else low,
                INFINITE if high is None else high,
                {column: weight for column, weight in weights.items() if weight},
            )
        )

    def solve(self, *, seconds: float) -> Solution | None:
        """The cheapest values found in the time; None when there are none (or none in time)."""
        model = self._model(seconds)
        model.run()
        import highspy

        has_values = (
            model.getInfo().primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible
        )
        if not has_values:
            return None
        values = tuple(round(value) for value in model.getSolution().col_value)
        cost = sum(price * value for price, value in zip(self.costs, values, strict=True))
        bound = model.getInfo().mip_dual_bound
        at_least = ceil(bound - WHOLE_COST_GAP) if abs(bound) < INFINITE else 0
        return Solution(values=values, cost=cost, at_least=min(cost, at_least))

    def _model(self, seconds: float) -> Any:
        import highspy
        import numpy as np

        model = quiet_model()
        model.setOptionValue("time_limit", seconds)
        model.setOptionValue("mip_abs_gap", WHOLE_COST_GAP)
        lp = highspy.HighsLp()
        lp.num_col_, lp.num_row_ = len(self.costs), len(self.rows)
        lp.col_cost_ = np.array(self.costs, dtype=np.float64)
        lp.col_lower_ = np.array([low for low, _ in self.limits], dtype=np.float64)
        lp.col_upper_ = np.array([high for _, high in self.limits], dtype=np.float64)
        lp.row_lower_ = np.array([low for low, _, _ in self.rows], dtype=np.float64)
        lp.row_upper_ = np.array([high for _, high, _ in self.rows], dtype=np.float64)
        starts: list[int] = [0]
        columns: list[int] = []
        weights: list[int] = []
        for _, _, entries in self.rows:
            columns.extend(entries)
            weights.extend(entries.values())
            starts.append(len(columns))
        lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
        lp.a_matrix_.start_ = np.array(starts, dtype=np.int32)
        lp.a_matrix_.index_ = np.array(columns, dtype=np.int32)
        lp.a_matrix_.value_ = np.array(weights, dtype=np.float64)
        lp.integrality_ = [highspy.HighsVarType.kInteger] * len(self.costs)
        model.passModel(lp)
        return model
