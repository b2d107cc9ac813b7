"""Rows of columns of rectangles as an arc-flow programme, and the bounds that it proves.

Leaves out what a row means on the metal.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from math import ceil
from typing import Any

import numpy as np

from stock.cutting.plans.highs import quiet_model
from stock.cutting.sheets.bounds import PRICE, bound_at, dearest_line
from stock.cutting.sheets.problem import Problem

Way = tuple[int, int, int]  # kind, across the row's direction, along it
MOST_UNKNOWNS = 12_000  # larger programmes are not tried
FEASIBLE = 2  # HiGHS: the solution is one
ROUNDING = 1e-6  # a bound this little above a whole number is that number


class ProgrammeTooLargeError(ValueError):
    """The rows would need more unknowns than a programme of use can have."""


@dataclass(frozen=True)
class Home:
    """Where rows are cut from: how wide they are, and how long all of them may be together."""

    sheet: int | None  # None is the roll
    is_turned: bool  # rows run along the sheet
    width: int
    length: int


@dataclass(frozen=True)
class Column:
    """Rectangles one after another, none wider than the column."""

    width: int
    stack: tuple[Way, ...]


@dataclass(frozen=True)
class Row:
    """Columns side by side in one home."""

    home: int
    length: int
    columns: tuple[Column, ...]


@dataclass
class _Graph:
    """One flow: arcs by where they start and what they carry; the end takes what is over."""

    arcs: dict[tuple[int, Any], int]  # (from, what) -> variable
    ends: dict[int, int]  # node -> variable of its arc to the end
    sizes: dict[Any, int]

    def variables(self, whats: Sequence[Any]) -> list[int]:
        """The path that these make in falling order of size, to the end."""
        at = 0
        found: list[int] = []
        for what in sorted(whats, key=lambda one: (-self.sizes[one], one)):
            found.append(self.arcs[at, what])
            at += self.sizes[what]
        return [*found, self.ends[at]]

    def path(self, flow: list[int]) -> list[Any]:
        """One path of the flow, taken out of it."""
        at = 0
        found: list[Any] = []
        while True:
            if flow[self.ends[at]] > 0:
                flow[self.ends[at]] -= 1
                return found
            what = next(
                w for w in self.sizes if (at, w) in self.arcs and flow[self.arcs[at, w]] > 0
            )
            flow[self.arcs[at, what]] -= 1
            found.append(what)
            at += self.sizes[what]


class RowFlow:
    """The programme for one problem, with single rectangles or stacks for columns."""

    def __init__(self, problem: Problem, homes: Sequence[Home], *, stacks: bool) -> None:
        self.problem, self.homes = problem, homes
        self.costs: list[float] = []
        self.rows: list[tuple[float, float, dict[int, float]]] = []
        self.made: dict[int, dict[int, float]] = {k: {} for k in range(len(problem.kinds))}
        self.columns: dict[tuple[bool, int, int], _Graph] = {}
        self.flows: dict[tuple[int, int], _Graph] = {}
        starts: dict[tuple[bool, int, int], dict[int, float]] = defaultdict(dict)
        for number, home in enumerate(homes):
            self._add_home(number, home, starts)
        for key, uses in starts.items():
            self._add_column(key, uses, stacks=stacks)
        for kind, arcs in self.made.items():
            self.rows.append((problem.counts[kind], np.inf, arcs))
        self._add_room()

    def _ways(self, is_turned: bool) -> list[Way]:
        return [
            (index, way[1], way[0]) if is_turned else (index, *way)
            for index, kind in enumerate(self.problem.kinds)
            for way in kind.ways
        ]

    def _variable(self, cost: float = 0.0) -> int:
        self.costs.append(cost)
        if len(self.costs) > MOST_UNKNOWNS:
            raise ProgrammeTooLargeError
        return len(self.costs) - 1

    def _add_home(
        self, number: int, home: Home, starts: dict[tuple[bool, int, int], dict[int, float]]
    ) -> None:
        """A flow of columns for each length that rows of this home may have."""
        ways = [w for w in self._ways(home.is_turned) if w[1] <= home.width and w[2] <= home.length]
        for length in sorted({way[2] for way in ways}):
            widths = {way[1]: way[1] for way in ways if way[2] <= length}
            cost = float(length) if home.sheet is None else 0.0
            graph = self._graph(widths, home.width, start_cost=cost)
            self.flows[number, length] = graph
            for (_, width), variable in graph.arcs.items():
                starts[home.is_turned, length, width][variable] = -1.0

    def _add_column(
        self, key: tuple[bool, int, int], uses: dict[int, float], *, stacks: bool
    ) -> None:
        """A flow of rectangles; as much of it as columns of this kind are used."""
        is_turned, length, width = key
        sizes = {w: w[2] for w in self._ways(is_turned) if w[1] <= width and w[2] <= length}
        graph = self._graph(sizes, length, most=None if stacks else 1)
        self.columns[key] = graph
        self.rows.append((0.0, 0.0, {**self._begun(graph), **uses}))
        for (_, way), variable in graph.arcs.items():
            self.made[way[0]][variable] = 1.0

    @staticmethod
    def _begun(graph: _Graph) -> dict[int, float]:
        """How much flow leaves the start."""
        arcs = {variable: 1.0 for (at, _), variable in graph.arcs.items() if at == 0}
        return {**arcs, graph.ends[0]: 1.0}

    def _graph(
        self,
        sizes: dict[Any, int],
        room: int,
        *,
        start_cost: float = 0.0,
        most: int | None = None,
    ) -> _Graph:
        """Arcs in falling order of size; flow is conserved at every node but the two ends."""
        arcs: dict[tuple[int, Any], int] = {}
        nodes, into = {0}, defaultdict(list)
        for what in sorted(sizes, key=lambda one: (-sizes[one], one)):
            size = sizes[what]
            waiting = sorted(nodes) if most is None else [0]
            while waiting:
                at = waiting.pop(0)
                if at + size > room or (at, what) in arcs:
                    continue
                arcs[at, what] = self._variable(start_cost if at == 0 else 0.0)
                into[at + size].append(arcs[at, what])
                nodes.add(at + size)
                if most is None:
                    waiting.append(at + size)
        ends = {node: self._variable() for node in nodes}
        out = defaultdict(list)
        for (at, _), variable in arcs.items():
            out[at].append(variable)
        for node in nodes - {0}:
            balance = dict.fromkeys(into[node], 1.0)
            balance.update(dict.fromkeys((*out[node], ends[node]), -1.0))
            self.rows.append((0.0, 0.0, balance))
        return _Graph(arcs, ends, sizes)

    def _add_room(self) -> None:
        """Rows in a home fit its length; a sheet is cut in one direction only."""
        by_home: dict[int, dict[int, float]] = defaultdict(dict)
        for (number, length), graph in self.flows.items():
            for variable in self._begun(graph):
                if variable != graph.ends[0]:
                    by_home[number][variable] = float(length)
        for number, used in by_home.items():
            home = self.homes[number]
            if home.sheet is None:
                self.rows.append((-np.inf, float(home.length), used))
            elif not home.is_turned:
                choice = self._variable()
                self.rows.append((-np.inf, 0.0, {**used, choice: -float(home.length)}))
                other = {**by_home.get(number + 1, {}), choice: float(home.width)}
                self.rows.append((-np.inf, float(home.width), other))
            elif number - 1 not in by_home:
                self.rows.append((-np.inf, float(home.length), used))

    def solved(self, start: Sequence[Row], *, limit_s: float) -> tuple[list[Row], int] | None:
        """Best rows, and the least roll length of any; None where none were found in time."""
        import highspy

        for values in (self._values(start), None):
            model = self._model(limit_s)
            if values is not None:
                solution = highspy.HighsSolution()
                solution.col_value = values
                model.setSolution(solution)
            model.run()
            info = model.getInfo()
            if info.primal_solution_status != FEASIBLE:
                return None
            flow = [round(value) for value in model.getSolution().col_value]
            # HiGHS may answer with the start although it found better: then again without one
            if self._cost(flow) <= info.objective_function_value + ROUNDING:
                break
        # the bound is minus infinity until there is one
        return self._read(flow), ceil(max(0.0, info.mip_dual_bound - ROUNDING))

    def _cost(self, flow: list[int]) -> float:
        return sum(n * cost for n, cost in zip(flow, self.costs, strict=True))

    def _model(self, limit_s: float) -> Any:
        import highspy

        model = quiet_model()
        model.setOptionValue("time_limit", limit_s)
        n = len(self.costs)
        nothing = np.zeros(0, np.int32)
        model.addCols(
            n,
            np.array(self.costs),
            np.zeros(n),
            np.full(n, np.inf),
            0,
            nothing,
            nothing,
            np.zeros(0),
        )
        whole = np.full(n, int(highspy.HighsVarType.kInteger), np.uint8)
        model.changeColsIntegrality(n, np.arange(n, dtype=np.int32), whole)
        for low, high, entries in self.rows:
            columns = np.fromiter(entries, np.int32, len(entries))
            model.addRow(low, high, len(entries), columns, np.array(list(entries.values())))
        return model

    def _values(self, rows: Sequence[Row]) -> list[float]:
        """The flow that these rows make."""
        values = [0.0] * len(self.costs)
        for row in rows:
            flow = self.flows[row.home, row.length]
            is_turned = self.homes[row.home].is_turned
            for variable in flow.variables([column.width for column in row.columns]):
                values[variable] += 1.0
            for column in row.columns:
                graph = self.columns[is_turned, row.length, column.width]
                for variable in graph.variables(column.stack):
                    values[variable] += 1.0
        return values

    def _read(self, flow: list[int]) -> list[Row]:
        """The rows of a flow, which is used up."""
        rows = []
        for (number, length), graph in self.flows.items():
            is_turned = self.homes[number].is_turned
            begun = [v for v in self._begun(graph) if v != graph.ends[0]]
            while any(flow[variable] > 0 for variable in begun):
                columns = []
                flow[graph.ends[0]] = 0
                for width in graph.path(flow):
                    column = self.columns[is_turned, length, width]
                    columns.append(Column(width, tuple(column.path(flow))))
                rows.append(Row(number, length, tuple(columns)))
        return rows


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
