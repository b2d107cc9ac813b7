"""The best pattern for one bar, exactly, in integers.

One table serves all bars: for every length that some set of pieces takes, the most that a set
taking exactly it is worth. A bar then looks up the best entry that it holds, with a reward for
what it leaves. It leaves out where the values come from (column_generation.py).
"""

from collections import Counter
from dataclasses import dataclass, field
from typing import Any

from stock.cutting.bar_problem import Pattern, Problem, problem_of
from stock.cutting.plan import BarCase

Array = Any  # numpy is loaded with the solver, not with the page

NOTHING = -(1 << 61)  # value of a length that no set of pieces takes
MOST_STATES = 100_000
LEAST_STATES = 1001  # allowed to every case
MOST_CELLS = 6_000_000  # states times steps
COARSE_STATES = 20_000  # where lengths are rounded: enough for bounds within a tenth of a percent
COARSE_CELLS = 2_000_000


class TooManyStates(Exception):
    """The reachable lengths of this case are more than a table may hold."""


@dataclass(frozen=True)
class Step:
    """Take `times` pieces at once, or not: indices of states before and after."""

    piece: int
    times: int
    before: Array
    after: Array


@dataclass
class Table:
    """States (lengths taken, ascending, in units) and the steps between them."""

    problem: Problem
    states: Array
    steps: list[Step]
    reach: list[int]  # per group, how many states fit
    values: Array = None
    taken: list[Array] = field(default_factory=list)

    @property
    def first(self) -> int:
        """The first state that may stand for a cut bar: 0 where a piece takes no unit."""
        return 0 if 0 in self.problem.units else 1

    def fill(self, duals: list[int]) -> Array:
        """Most value at each state when piece i is worth duals[i] ≥ 0."""
        import numpy as np

        values = np.full(len(self.states), NOTHING, dtype=np.int64)
        values[0] = 0
        self.taken = []
        for step in self.steps:
            offered = values[step.before] + duals[step.piece] * step.times
            is_better = offered > values[step.after]
            values[step.after[is_better]] = offered[is_better]
            self.taken.append(step.after[is_better])
        self.values = values
        return values

    def pattern(self, group: int, state: int) -> Pattern:
        """The set of pieces behind a state of the last fill, as a pattern."""
        import numpy as np

        cuts: dict[int, int] = {}
        used = int(self.states[state])
        for step, taken in zip(reversed(self.steps), reversed(self.taken), strict=True):
            at = int(np.searchsorted(taken, state))
            if at < len(taken) and taken[at] == state:
                cuts[step.piece] = cuts.get(step.piece, 0) + step.times
                used -= step.times * self.problem.units[step.piece]
                state = int(np.searchsorted(self.states, used))
        return Pattern(group, tuple(sorted(cuts.items())))


def table_of(problem: Problem) -> Table:
    """The table of all reachable lengths for a problem.

    Args:
        problem: pieces and bars in common units.

    Returns:
        An unfilled table.

    Raises:
        TooManyStates: the table would be too large for the time and memory of a plan.

    Source:
        Dynamic programme for the bounded knapsack, counts split in powers of two.
    """
    import numpy as np

    longest = max(group.capacity for group in problem.groups)
    parts = _parts(problem, longest)
    most = _most_states(parts)
    states = np.zeros(1, dtype=np.int64)
    for piece, times in parts:
        moved = states + times * problem.units[piece]
        states = np.union1d(states, moved[moved <= longest])
        if len(states) > most:
            raise TooManyStates
    steps = [_step(states, piece, times, problem.units[piece]) for piece, times in parts]
    reach = [int(np.searchsorted(states, g.capacity, side="right")) for g in problem.groups]
    return Table(problem, states, steps, reach)


def table_within(case: BarCase, pieces: Counter[int]) -> Table:
    """The table for a case, in units as fine as a table of reasonable size allows.

    Args:
        case: bars, offers and kerf [nm, cents].
        pieces: how many of each length [nm], all of which fit some bar.

    Returns:
        An exact table where its size allows; else one with lengths rounded down, which bounds
        every plan but may hold patterns that do not fit in truth.

    Source:
        Relaxation by rounding: what fits still fits when all lengths are rounded down.
    """
    problem = problem_of(case, pieces)
    longest = max(group.length_nm for group in problem.groups) + problem.kerf_nm
    try:
        return table_of(problem)
    except TooManyStates:
        parts = _parts(problem, longest // problem.unit_nm)
        cells = max(LEAST_STATES - 1, min(COARSE_STATES, COARSE_CELLS // len(parts)))
        return table_of(problem_of(case, pieces, coarse_nm=-(-longest // cells)))


def _parts(problem: Problem, longest: int) -> list[tuple[int, int]]:
    """(piece, times): every number of pieces that fits a bar is a sum of some."""
    return [
        (piece, times)
        for piece in range(len(problem.counts))
        for times in powers(problem.most_in(piece, longest))
    ]


def _most_states(parts: list[tuple[int, int]]) -> int:
    return max(LEAST_STATES, min(MOST_STATES, MOST_CELLS // len(parts)))


def _step(states: Array, piece: int, times: int, units: int) -> Step:
    import numpy as np

    targets = states + times * units
    at = np.searchsorted(states, targets)
    is_known = at < len(states)
    is_known[is_known] = states[at[is_known]] == targets[is_known]
    before = np.flatnonzero(is_known)
    return Step(piece, times, before, at[before])


def powers(count: int) -> list[int]:
    """1, 2, 4 … and a rest, that add up to count: every number up to it is a sum of some."""
    parts = []
    power = 1
    while count > 0:
        parts.append(min(power, count))
        count -= parts[-1]
        power *= 2
    return parts
