"""What the benchmark shows people: a line a case, and a summary against first-fit decreasing.

Pure; it leaves out solving and the command line.
"""

from dataclasses import dataclass, field

from stock.cutting.bars.first_packing import first_fit_decreasing
from stock.cutting.plans.plan import BarCase, BarPlan, Case, Plan, SheetCase, SheetPlan

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
