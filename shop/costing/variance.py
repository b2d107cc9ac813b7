"""Planned against real, line by line, and why: seats, failed billets, amounts, prices.

The four reasons of a line always add up to its difference, to the cent.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from shop.costing.lines import Line
from stock.quantities.money import MoneyError, not_below_zero, whole_cents

REASONS = (
    ("seats", "More or fewer seats"),
    ("failures", "More or fewer billets for those seats"),
    ("amount", "More or less used for each billet"),
    ("price", "Dearer or cheaper"),
)


@dataclass(frozen=True)
class Used:
    """So much of something (nm, µg, s, pieces) for so much money."""

    amount: int
    cents: int

    def __post_init__(self) -> None:
        not_below_zero(amount=self.amount, money=self.cents)


@dataclass(frozen=True)
class Made:
    """Seats served and billets made, sound and failed."""

    seats: int
    billets: int

    def __post_init__(self) -> None:
        not_below_zero(seats=self.seats, billets=self.billets)


@dataclass(frozen=True)
class PlannedLine:
    """One line of the class. `follows` says what it grows with: each billet, each seat, or
    neither."""

    key: str
    label: str
    planned: Used
    real: Used
    follows: str = "billets"  # "billets" | "seats" | "nothing"

    def __post_init__(self) -> None:
        if self.follows not in ("billets", "seats", "nothing"):
            raise MoneyError(
                f"'{self.follows}' is nothing a cost can follow; write billets, seats or nothing.",
                given=self.follows,
            )


@dataclass(frozen=True)
class Variance:
    """Why a line came out as it did; each reason above 0 made it dearer [minor units]."""

    key: str
    label: str
    planned_cents: int
    real_cents: int
    seats_cents: int
    failures_cents: int
    amount_cents: int
    price_cents: int

    @property
    def difference_cents(self) -> int:
        """Real less planned [minor units]; above 0 is dearer."""
        return self.real_cents - self.planned_cents


def variance(line: PlannedLine, *, planned: Made, real: Made) -> Variance:
    """Split the difference of one line into its reasons.

    Args:
        line: amounts and money, planned and real.
        planned: seats and billets of the plan.
        real: seats and billets as they came out.

    Returns:
        The four reasons, in the order in which they are taken out: what the plan would have
        been for the real seats, then for the billets really made, then for the amount really
        used at the planned price, then the real price. They add up to the difference.

    Source:
        Flexible-budget variance analysis (volume, quantity and price), any text on cost
        accounting; failures are split off the volume by our own rule.
    """
    levels = [line.planned.cents, *_levels_cents(line, planned, real), line.real.cents]
    seats, failures, amount, price = (after - before for before, after in pairwise(levels))
    return Variance(
        key=line.key,
        label=line.label,
        planned_cents=line.planned.cents,
        real_cents=line.real.cents,
        seats_cents=seats,
        failures_cents=failures,
        amount_cents=amount,
        price_cents=price,
    )


def variances(lines: Sequence[PlannedLine], *, planned: Made, real: Made) -> tuple[Variance, ...]:
    """Split every line of a class.

    Args:
        lines: the lines, planned and real.
        planned: seats and billets of the plan.
        real: seats and billets as they came out.

    Returns:
        One split for each line, in the same order.

    Source:
        See `variance`.
    """
    return tuple(variance(line, planned=planned, real=real) for line in lines)


def reason_lines(splits: Sequence[Variance]) -> tuple[Line, ...]:
    """The reasons over all lines, as steps of a waterfall from planned to real.

    Args:
        splits: the lines of one class.

    Returns:
        Lines with the keys "seats", "failures", "amount" and "price"; those of no money are
        left out. Failures stand in one line; amount and price each name their own line.

    Source:
        Addition.
    """
    steps = []
    for key, label in REASONS[:2]:
        steps.append(Line(key, label, sum(getattr(split, f"{key}_cents") for split in splits)))
    for split in splits:
        steps.append(Line("amount", f"{split.label}: amount", split.amount_cents))
        steps.append(Line("price", f"{split.label}: price", split.price_cents))
    return tuple(step for step in steps if step.cents)


def _levels_cents(line: PlannedLine, planned: Made, real: Made) -> tuple[int, int, int]:
    by_seats = by_billets = Fraction(1)
    if line.follows != "nothing":
        by_seats = _ratio(real.seats, planned.seats)
        by_billets = by_seats
    if line.follows == "billets":
        by_billets = _ratio(real.billets, planned.billets)
    for_seats = whole_cents(line.planned.cents * by_seats)
    for_billets = whole_cents(line.planned.cents * by_billets)
    at_planned_price = for_billets
    if line.planned.amount and line.real.amount:
        price = Fraction(line.planned.cents, line.planned.amount)
        at_planned_price = whole_cents(price * line.real.amount)
    return for_seats, for_billets, at_planned_price


def _ratio(real: int, planned: int) -> Fraction:
    # with nothing planned there is no plan for one of them: the rest falls to amount and price
    return Fraction(real, planned) if planned else Fraction(1)
