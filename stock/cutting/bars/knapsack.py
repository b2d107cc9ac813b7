"""The best pattern for one bar, exactly, in integers.

One table serves all bars: for every length that some set of pieces takes, the most that a set
taking exactly it is worth. A bar then looks up the best entry that it holds, with a reward for
what it leaves. It leaves out where the values come from (pattern_programme.py).
"""

from collections import Counter
from dataclasses import dataclass, field
from typing import Any

from stock.cutting.bars.problem import Pattern, Problem, problem_of
from stock.cutting.plans.plan import BarCase

Array = Any  # numpy is loaded with the solver, not with the page

NOTHING = -(1 << 61)  # value of a length that no set of pieces takes
MOST_STATES = 100_000
LEAST_STATES = 1001  # allowed to every case
MOST_CELLS = 6_000_000  # states times steps
MOST_GRID = 2_000_000  # lengths marked one by one to find the states
DENSE = 3  # where at least one length in so many is a state, every length gets one
COARSE_STATES = 20_000  # where lengths are rounded: enough for bounds within a tenth of a percent
COARSE_CELLS = 2_000_000


class TooManyStates(Exception):
    """The reachable lengths of this case are more than a table may hold."""


@dataclass(frozen=True)
class Step:
    """Take `times` pieces at once, or not: states before and after, by index or as a slice."""

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
            current = values[step.after]
            is_better = offered > current
            np.maximum(offered, current, out=current)
            if not isinstance(step.after, slice):  # a slice is a view and is changed by now
                values[step.after] = current
            self.taken.append(is_better)
        self.values = values
        return values

    def pattern(self, group: int, state: int) -> Pattern:
        """The set of pieces behind a state of the last fill, as a pattern."""
        import numpy as np

        cuts: dict[int, int] = {}
        for step, taken in zip(reversed(self.steps), reversed(self.taken), strict=True):
            units = step.times * self.problem.units[step.piece]
            if isinstance(step.after, slice):
                at = state - units
                is_taken = at >= 0 and taken[at]
            else:
                at = int(np.searchsorted(step.after, state))
                is_taken = at < len(taken) and step.after[at] == state and taken[at]
            if is_taken:
                cuts[step.piece] = cuts.get(step.piece, 0) + step.times
                state = at if isinstance(step.after, slice) else int(step.before[at])
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
    states = _reachable(problem, parts, longest)
    if longest < DENSE * len(states):
        states = np.arange(longest + 1)
    steps = [_step(states, piece, times, problem.units[piece]) for piece, times in parts]
    reach = [int(np.searchsorted(states, g.capacity, side="right")) for g in problem.groups]
    return Table(problem, states, steps, reach)


def _reachable(problem: Problem, parts: list[tuple[int, int]], longest: int) -> Array:
    """All lengths up to the longest bar that some set of pieces takes, ascending."""
    import numpy as np

    most = _most_states(parts)
    if longest <= MOST_GRID:
        is_reached = np.zeros(longest + 1, dtype=bool)
        is_reached[0] = True
        for piece, times in parts:
            units = times * problem.units[piece]
            is_reached[units:] |= is_reached[: longest + 1 - units]
        states = np.flatnonzero(is_reached)
        if len(states) > most:
            raise TooManyStates
        return states
    states = np.zeros(1, dtype=np.int64)
    for piece, times in parts:
        moved = states + times * problem.units[piece]
        states = np.union1d(states, moved[moved <= longest])
        if len(states) > most:
            raise TooManyStates
    return states


def table_within(case: BarCase, pieces: Counter[int]) -> Table:
    """The table for a case, in units as fine as a table of reasonable size allows.

    Args:
        case: bars, offers and kerf [nm, cents].
        pieces: how many of each length [nm], all of which fit some bar.

    Returns:
        An exact table where its size allows; else one with lengths rounded down, which bounds
        every plan but may hold patterns that do not fit in truth.
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
    size, taken = len(states), times * units
    if states[-1] == size - 1:  # every length has a state
        return Step(piece, times, slice(0, size - taken), slice(taken, size))
    before, after = moves(states, taken)
    return Step(piece, times, before, after)


def moves(states: Array, units: int) -> tuple[Array, Array]:
    """Indices of states from which so many more units lead to a state, and of those states."""
    import numpy as np

    targets = states + units
    at = np.searchsorted(states, targets)
    is_known = at < len(states)
    is_known[is_known] = states[at[is_known]] == targets[is_known]
    return np.flatnonzero(is_known), at[is_known]


def powers(count: int) -> list[int]:
    """1, 2, 4 … and a rest, that add up to count: every number up to it is a sum of some."""
    parts = []
    power = 1
    while count > 0:
        parts.append(min(power, count))
        count -= parts[-1]
        power *= 2
    return parts
