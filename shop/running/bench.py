"""What the benchmark shows people: a line a case, and a summary against first-fit decreasing.

Pure; it leaves out solving and the command line.
"""

import json
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from stock.buying import bench_cases, worker
from stock.buying.case import BuyingCase
from stock.buying.orders import Buying
from stock.cutting.bars.first_packing import first_fit_decreasing
from stock.cutting.plans.plan import BarCase, BarPlan, Case, Plan, SheetCase, SheetPlan
from stock.quantities.named_values import Json

QUICK_S = 1.0


@dataclass
class Report:
    """Adds up cases as they are solved."""

    seconds: list[float] = field(default_factory=list)
    is_proved: list[bool] = field(default_factory=list)
    spent_cents: int = 0
    by_eye_cents: int = 0
    roll_nm: int = 0
    roll_at_least_nm: int = 0

    def line(self, case: Case, plan: Plan) -> str:
        """One case in a line; counts it in.

        Args:
            case: what was asked.
            plan: the answer.

        Returns:
            Name, whether proved, seconds, and the figures with their bounds.
        """
        self.seconds.append(plan.seconds)
        self.is_proved.append(plan.proved)
        state = "proved" if plan.proved else f"gap {plan.gap:.2%}"
        head = f"{plan.name:24} {state:11} {plan.seconds:6.2f} s  "
        if isinstance(case, BarCase) and isinstance(plan, BarPlan):
            return head + self._bars(case, plan)
        assert isinstance(case, SheetCase)
        assert isinstance(plan, SheetPlan)
        self.roll_nm += plan.roll_length_nm
        self.roll_at_least_nm += plan.at_least_nm
        return head + (
            f"{len(plan.placed)} pieces, roll {plan.roll_length_nm} nm, at least {plan.at_least_nm}"
        )

    def _bars(self, case: BarCase, plan: BarPlan) -> str:
        by_eye = first_fit_decreasing(case)
        pieces = sum(len(bar.cuts) for bar in plan.bars)
        text = f"{pieces} pieces, spent {plan.spent_cents} (at least {plan.spent_at_least})"
        if plan.short == by_eye.short:
            self.spent_cents += plan.spent_cents
            self.by_eye_cents += by_eye.spent_cents
            text += f", first-fit decreasing {by_eye.spent_cents}"
        short = sum(piece.count for piece in plan.short)
        return text + (f", {short} short" if short else "")

    def summary(self) -> str:
        """All cases together.

        Returns:
            Lines of text; money against first-fit decreasing where there were bars.
        """
        total = len(self.seconds)
        timed = list(zip(self.seconds, self.is_proved, strict=True))
        quick = sum(is_proved and seconds <= QUICK_S for seconds, is_proved in timed)
        lines = [
            f"{total} cases: {sum(self.is_proved)} proved, {quick} of them within 1 s; "
            f"longest {max(self.seconds, default=0.0):.2f} s."
        ]
        if self.spent_cents:
            more = self.by_eye_cents / self.spent_cents - 1
            lines.append(
                f"Spent {self.spent_cents} cents; first-fit decreasing {self.by_eye_cents}, "
                f"{more:.1%} more."
            )
        if self.roll_at_least_nm:
            over = self.roll_nm / self.roll_at_least_nm - 1
            lines.append(f"Roll taken: {over:.1%} over what no layout can go below.")
        return "\n".join(lines)


HOW_MANY = 12


@dataclass(frozen=True)
class Weighed:
    """One case: its cheapest purchase, how long it took, and what buying by eye pays."""

    name: str
    buying: Buying
    choices: int
    seconds: float
    by_eye_cents: int

    def facts(self) -> Json:
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
