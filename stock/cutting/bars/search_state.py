"""A search for one stage as it stands: the best packing so far and a bound on every other.

It leaves out how it goes on (branching.py, settling.py).
"""

import random
import time
from collections.abc import Callable
from dataclasses import dataclass, field

from stock.cutting.bars.filling import Fillable
from stock.cutting.bars.knapsack import Table
from stock.cutting.bars.pattern_programme import Programme
from stock.cutting.bars.problem import Packing
from stock.cutting.bars.stages import Stage


@dataclass
class Search:
    """A search for one stage: the best packing so far and a bound on all."""

    table: Table
    stage: Stage
    case: Fillable
    best: Packing
    until: float
    tell: Callable[["Search"], None] = lambda search: None
    cost: int = 0
    bound: int = 0
    nodes: int = 0
    programme: Programme = field(init=False)
    rng: random.Random = field(default_factory=lambda: random.Random(1))
    is_part: bool = False  # of a larger search: no further parts are cut from it

    def __post_init__(self) -> None:
        self.cost = self.stage.total(self.best)
        self.programme = Programme(self.table, self.stage)
        for pattern in self.best:
            self.programme.add(pattern)

    @property
    def enough(self) -> int:
        """A bound that proves the best packing."""
        return self.cost - self.stage.tolerance

    @property
    def is_proved(self) -> bool:
        """Whether no packing is better by more than the tolerance."""
        return self.bound >= self.enough

    @property
    def is_out_of_time(self) -> bool:
        """Whether the stage's time is up."""
        return time.monotonic() >= self.until

    def offer(self, packing: Packing | None) -> None:
        """Keep a packing when it is better and its pieces fit in truth."""
        if packing is None:
            return
        cost = self.stage.total(packing)
        if cost < self.cost and all(map(self.table.problem.fits, packing)):
            self.best, self.cost = packing, cost
            for pattern in packing:
                self.programme.add(pattern)
            self.tell(self)
