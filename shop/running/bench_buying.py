"""`manage.py bench buying`: made-up offers weighed, against buying each thing by eye.

It leaves out the cases themselves (`stock.buying.bench_cases`).
"""

import json
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from stock.buying import bench_cases, worker
from stock.buying.case import BuyingCase
from stock.buying.orders import Buying

HOW_MANY = 12
QUICK_S = 1.0


@dataclass(frozen=True)
class Weighed:
    """One case: its cheapest purchase, how long it took, and what buying by eye pays."""

    name: str
    buying: Buying
    choices: int
    seconds: float
    by_eye_cents: int

    def facts(self) -> dict[str, Any]:
        """The case as a line of JSON."""
        return {
            "name": self.name,
            "proved": self.buying.is_proved,
            "cents": self.buying.cents,
            "at_least_cents": self.buying.at_least_cents,
            "by_eye_cents": self.by_eye_cents,
            "suppliers": len(self.buying.orders),
            "choices": self.choices,
            "seconds": round(self.seconds, 3),
        }

    def line(self) -> str:
        """The case as a line to read."""
        state = "proved" if self.buying.is_proved else f"at least {self.buying.at_least_cents}"
        return (
            f"{self.name:16} {state:16} {self.seconds:6.2f} s  {self.buying.cents} cents from "
            f"{len(self.buying.orders)}, {self.choices} other choices; by eye {self.by_eye_cents}"
        )


def run(options: Mapping[str, Any], *, write: Callable[[str], object]) -> None:
    """Weigh the cases one after the other and write a line for each.

    Args:
        options: of the command line: made, seed, limit, json.
        write: takes each line.
    """
    how_many = options["made"] if options["made"] is not None else HOW_MANY
    found = []
    for name, case in bench_cases.made_cases(how_many, seed=options["seed"]):
        one = weighed(name, case, limit_s=options["limit"])
        found.append(one)
        write(json.dumps(one.facts()) if options["json"] else one.line())
    if not options["json"]:
        write(summary(found))


def weighed(name: str, case: BuyingCase, *, limit_s: float) -> Weighed:
    """One case, in the process that pages use.

    Args:
        name: what it is called.
        case: needs, goods and terms; all of it can be covered.
        limit_s: seconds, above 0.

    Raises:
        NothingInTime: nothing was found within the limit.
    """
    started = time.monotonic()
    answer = worker.answered(case, limit_s=limit_s)
    seconds = time.monotonic() - started
    best = answer.bought.best
    assert best is not None
    assert not answer.bought.uncovered
    return Weighed(name, best, len(answer.choices), seconds, bench_cases.by_eye_cents(case))


def summary(found: list[Weighed]) -> str:
    """All cases together.

    Args:
        found: the cases.

    Returns:
        How many are proved, how long they took with their runners-up, and what buying by eye
        costs more.
    """
    proved = sum(one.buying.is_proved for one in found)
    quick = sum(one.seconds <= QUICK_S for one in found)
    spent, by_eye = (
        sum(one.buying.cents for one in found),
        sum(one.by_eye_cents for one in found),
    )
    more = f"{by_eye / spent - 1:.1%}" if spent else "0 %"
    longest = max((one.seconds for one in found), default=0.0)
    return (
        f"{len(found)} cases: {proved} proved, {quick} within 1 s, runners-up included; longest "
        f"{longest:.2f} s.\nSpent {spent} cents; by eye {by_eye}, {more} more."
    )
