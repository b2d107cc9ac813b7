"""The bound at the best prices per area, which a linear programme in HiGHS finds.

The programme holds the lines found so far; the dearest line at its prices is added until none
is dearer than allowed. It is not exact: the bound is worked out again in whole numbers from
rounded prices (sheet_bounds.py).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

import numpy as np

from stock.cutting.plans.highs import quiet_model
from stock.cutting.sheets.bounds import PRICE, bound_at, dearest_line
from stock.cutting.sheets.problem import Problem

MOST_ROUNDS = 60


def price_bound(problem: Problem, *, goes_on: Callable[[], bool]) -> int:
    """Least roll length by the best prices that a linear programme finds.

    Args:
        problem: any, with a roll.
        goes_on: asked before each round of the programme.

    Returns:
        Roll length [units], 0 or more.

    Source:
        The bar relaxation of strip packing: every line across a layout is a knapsack; prices
        are its linear programme's dual values (R. Alvarez-Valdes, F. Parreño and
        J. M. Tamarit, "A branch and bound algorithm for the strip packing problem",
        OR Spectrum 31 (2009), from memory).
    """
    if not problem.width or not problem.area:
        return 0
    best: Sequence[int] = [0] * len(problem.kinds)
    for prices in best_prices(problem, goes_on=goes_on):
        best = prices  # better than the ones before
    return bound_at(problem, best)


def best_prices(problem: Problem, *, goes_on: Callable[[], bool]) -> Iterator[tuple[int, ...]]:
    """Price lists, the last of them the best; a better one comes with each round.

    Unknowns are the price of each kind and what one line of each sheet is worth at most; the
    value of all rectangles less that of the sheets is made as great as it can be.
    """
    model = _Prices(problem)
    for _ in range(MOST_ROUNDS):
        prices = model.solved()
        if prices is None:
            return
        yield prices
        if not goes_on() or not model.add_dearer_lines(prices):
            return


class _Prices:
    def __init__(self, problem: Problem) -> None:
        self.problem, self.n = problem, len(problem.kinds)
        self.solver = quiet_model()
        for kind, count in zip(problem.kinds, problem.counts, strict=True):
            is_on_roll = any(way[0] <= problem.width for way in kind.ways)
            self.solver.addVar(0, np.inf if is_on_roll else PRICE)
            self.solver.changeColCost(
                self.solver.getNumCol() - 1, -float(kind.area * count) / problem.area
            )
        for _, length in problem.sheets:
            self.solver.addVar(0, np.inf)
            scale = float(length * problem.width) / problem.area
            self.solver.changeColCost(self.solver.getNumCol() - 1, scale)
        for index, kind in enumerate(problem.kinds):
            for way in kind.ways:
                if way[0] <= problem.width:
                    self._add_line(((index, way[0]),), None)

    def _add_line(self, met: tuple[tuple[int, int], ...], sheet: int | None) -> None:
        """Value of the line over the roll's width: at most PRICE, or the sheet's unknown."""
        covered = np.zeros(self.n)
        for kind, side in met:
            covered[kind] += side / self.problem.width
        columns = np.flatnonzero(covered).astype(np.int32)
        values = covered[columns]
        most = float(PRICE)
        if sheet is not None:
            columns = np.append(columns, np.int32(self.n + sheet))
            values, most = np.append(values, -1.0), 0.0
        self.solver.addRow(-np.inf, most, len(columns), columns, values)

    def solved(self) -> tuple[int, ...] | None:
        """Rounded prices at the optimum of the lines so far."""
        self.solver.run()
        if self.solver.modelStatusToString(self.solver.getModelStatus()) != "Optimal":
            return None
        self.values = list(self.solver.getSolution().col_value)
        return tuple(max(0, round(value)) for value in self.values[: self.n])

    def add_dearer_lines(self, prices: tuple[int, ...]) -> bool:
        """Whether lines dearer than the programme allows were found; they are added."""
        problem, found = self.problem, False
        value, met = dearest_line(problem, prices, room=problem.width, other=None, side=0)
        if value > (PRICE + 2) * problem.width:
            self._add_line(met, None)
            found = True
        for sheet, (width, length) in enumerate(problem.sheets):
            value, met = dearest_line(problem, prices, room=width, other=length, side=0)
            if value > (self.values[self.n + sheet] + 2) * problem.width:
                self._add_line(met, sheet)
                found = True
        return found
