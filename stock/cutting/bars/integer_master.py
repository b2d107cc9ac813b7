"""Whole numbers of bars for a given list of patterns, by HiGHS.

It leaves out where the patterns come from; with all promising patterns of a node its answer is
a proof within HiGHS's tolerances, with fewer it is only a good plan.
"""

import time
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from stock.cutting.bars.pattern_programme import INFINITE, Node
from stock.cutting.bars.problem import Packing, Pattern
from stock.cutting.bars.stages import Stage
from stock.cutting.plans.highs import quiet_model

FEASIBLE = 2  # HiGHS: a primal solution status


@dataclass(frozen=True)
class Choice:
    """What HiGHS chose, if anything, and whether nothing among the patterns is better."""

    packing: Packing | None
    is_complete: bool


def chosen(
    patterns: Iterable[Pattern], stage: Stage, *, seconds: float, node: Node | None = None
) -> Choice:
    """The cheapest whole packing from these patterns.

    Args:
        patterns: what bars may be cut by.
        stage: costs; pieces may stay uncut only where the stage is about length.
        seconds: time limit [s], above 0; HiGHS may overshoot a little.
        node: further limits on bars cut by at least so much.

    Returns:
        The choice; pieces cut beyond what is wanted are taken off again.

    Source:
        Set-covering formulation of the cutting-stock problem (Gilmore and Gomory, 1961).
    """
    listed = [pattern for pattern in patterns if stage.problem.fits(pattern)]
    if not listed:
        return Choice(None, is_complete=True)
    until = time.monotonic() + seconds
    for is_cover in (True, False):
        choice, cost = _solved(listed, stage, until - time.monotonic(), node or {}, is_cover)
        if choice.packing is None or stage.total(choice.packing) <= cost:
            return choice
    return choice


def _solved(
    patterns: list[Pattern], stage: Stage, seconds: float, node: Node, is_cover: bool
) -> tuple[Choice, int]:
    """What HiGHS chooses, and what it thinks that costs."""
    import highspy

    model = _model(patterns, stage, node, is_cover)
    model.setOptionValue("time_limit", max(0.01, seconds))
    model.run()
    status, info = model.getModelStatus(), model.getInfo()
    if status == highspy.HighsModelStatus.kInfeasible:
        return Choice(None, is_complete=True), 0
    is_complete = status == highspy.HighsModelStatus.kOptimal
    if info.primal_solution_status != FEASIBLE:
        return Choice(None, is_complete=False), 0
    values = list(model.getSolution().col_value)
    packing = Counter({p: round(v) for p, v in zip(patterns, values, strict=False) if v > 0.5})
    cost = round(info.objective_function_value / stage.scale) + stage.tolerance
    return Choice(trimmed(packing, stage), is_complete), cost


def trimmed(packing: Packing, stage: Stage) -> Packing | None:
    """A packing without the pieces cut beyond what is wanted; None when some are missing."""
    left = list(stage.problem.counts)
    exact: Packing = Counter()
    for pattern, bars in packing.items():
        for _ in range(bars):
            cuts = []
            for piece, n in pattern.cuts:
                taken = min(n, left[piece])
                left[piece] -= taken
                if taken:
                    cuts.append((piece, taken))
            if cuts:
                exact[Pattern(pattern.group, tuple(cuts))] += 1
    return exact if stage.name == "length" or not any(left) else None


def _model(patterns: list[Pattern], stage: Stage, node: Node, is_cover: bool) -> Any:
    """Cover what is wanted, or cut it exactly: that matters where bought bars add worth."""
    import highspy
    import numpy as np

    problem = stage.problem
    model = quiet_model()
    pieces, groups = len(problem.counts), len(problem.groups)
    for n in problem.counts:
        model.addRow(float(n), INFINITE if is_cover else float(n), 0, [], [])
    for group in problem.groups:
        model.addRow(-INFINITE, float(group.limit), 0, [], [])
    model.addRow(-INFINITE, INFINITE if stage.budget is None else float(stage.budget), 0, [], [])
    for low, high in node.values():
        model.addRow(float(low), INFINITE if high is None else float(high), 0, [], [])
    for pattern in patterns:
        rows = [*(i for i, _ in pattern.cuts), pieces + pattern.group, pieces + groups]
        weights = [*(float(n) for _, n in pattern.cuts), 1.0, float(stage.spends(pattern.group))]
        used = problem.used(pattern)
        for row, (of, units) in enumerate(node, start=pieces + groups + 1):
            if of == pattern.group and used >= units:
                rows.append(row)
                weights.append(1.0)
        limit = float(problem.groups[pattern.group].limit)
        model.addCol(stage.cost(pattern) * stage.scale, 0.0, limit, len(rows), rows, weights)
    width = len(patterns)
    if stage.name == "length":
        for piece, cost in enumerate(stage.slack):
            model.addCol(cost * stage.scale, 0.0, INFINITE, 1, [piece], [1.0])
            width += 1
    kinds = np.array([highspy.HighsVarType.kInteger] * width)
    model.changeColsIntegrality(width, np.arange(width, dtype=np.int32), kinds)
    return model
