"""What a class costs and what a seat must bring: fee, break-even, profit by seats.

Metal is bought for all seats that are offered, so a cost can jump with the number of seats;
`extra_cents` carries such jumps. Deposits and refunds are in deposits.py.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from shop.costing.lines import Line, total_cents
from shop.costing.pricing import NO_CHARGES, Charges, Fee, Priced, price_at_margin
from stock.quantities.money import MoneyError, not_below_zero, whole_cents


@dataclass(frozen=True)
class ClassCosts:
    """What the class costs whoever comes, and what each seat taken adds.

    `extra_cents` holds, for 0, 1, 2 … seats taken, what neither of the two covers (a second
    helper from the fifth on; below 0, a smaller billet for one of them); empty means nothing.
    `kept_cents` is income whoever comes: deposits of seats given up, after tax and card fee.
    """

    seats: int
    fixed: tuple[Line, ...] = ()
    per_seat: tuple[Line, ...] = ()
    extra_cents: tuple[int, ...] = ()
    kept_cents: int = 0

    def __post_init__(self) -> None:
        not_below_zero(number_of_seats=self.seats, money_kept=self.kept_cents)
        for line in (*self.fixed, *self.per_seat):
            not_below_zero(**{f"cost of {line.label}": line.cents})
        if self.extra_cents and len(self.extra_cents) != self.seats + 1:
            raise MoneyError(
                f"Extra costs were given for {len(self.extra_cents)} numbers of seats; "
                f"give {self.seats + 1}, for 0 to {self.seats} seats.",
                given=self.extra_cents,
            )
        for taken in range(len(self.extra_cents)):
            not_below_zero(cost_with_extras=self.cost_cents(taken))

    @property
    def fixed_cents(self) -> int:
        """What it costs whoever comes [minor units]."""
        return total_cents(self.fixed)

    @property
    def seat_cents(self) -> int:
        """What each seat taken adds [minor units]."""
        return total_cents(self.per_seat)

    def cost_cents(self, taken: int) -> int:
        """Cost with so many seats taken [minor units]; 0 to all of them."""
        if not 0 <= taken <= self.seats:
            raise MoneyError(
                f"{taken} seats of {self.seats} cannot be taken; give 0 to {self.seats}.",
                given=taken,
            )
        extra = self.extra_cents[taken] if self.extra_cents else 0
        return self.fixed_cents + taken * self.seat_cents + extra


@dataclass(frozen=True)
class SeatsRow:
    """The class with so many seats taken; `adds_cents` is what the last of them changed."""

    taken: int
    income_cents: int  # after the card fee, with what was kept
    cost_cents: int
    adds_cents: int

    @property
    def profit_cents(self) -> int:
        """Income less cost [minor units]; below 0 is a loss."""
        return self.income_cents - self.cost_cents


@dataclass(frozen=True)
class BreakEven:
    """Seats from which the class loses nothing; None when no number of seats does it."""

    seats: int | None
    offered: int

    @property
    def is_within_reach(self) -> bool:
        """Whether the seats on offer are enough."""
        return self.seats is not None and self.seats <= self.offered


def break_even_seats(*, fixed_cents: int, fee_cents: int, seat_cents: int) -> int | None:
    """Seats that pay the fixed cost.

    Args:
        fixed_cents: cost whoever comes [minor units], 0 or more.
        fee_cents: what each seat brings [minor units], 0 or more; after the card fee.
        seat_cents: what each seat costs [minor units], 0 or more.

    Returns:
        The smallest whole number of seats with no loss; None when a seat brings no more than
        it costs and there is a fixed cost to pay.

    Raises:
        MoneyError: an amount is below 0.

    Source:
        Break-even quantity = fixed cost / (price − variable cost), any accounting text.

    >>> break_even_seats(fixed_cents=20_000, fee_cents=400, seat_cents=250)
    134
    """
    not_below_zero(fixed_cost=fixed_cents, fee=fee_cents, cost_of_a_seat=seat_cents)
    if fixed_cents == 0 and fee_cents >= seat_cents:
        return 0
    adds = fee_cents - seat_cents
    return -(-fixed_cents // adds) if adds > 0 else None


def seats_table(costs: ClassCosts, *, fee: Fee) -> tuple[SeatsRow, ...]:
    """Income, cost and profit with 0, 1, 2 … all seats taken.

    Args:
        costs: what the class costs.
        fee: what each seat pays; the card fee is taken on each.

    Returns:
        One row for each number of seats; the first has `adds_cents` 0.
    """
    net_cents = fee.net_cents
    rows: list[SeatsRow] = []
    for taken in range(costs.seats + 1):
        income, cost = taken * net_cents + costs.kept_cents, costs.cost_cents(taken)
        adds = income - cost - rows[-1].profit_cents if rows else 0
        rows.append(SeatsRow(taken, income, cost, adds))
    return tuple(rows)


def break_even(costs: ClassCosts, *, fee: Fee) -> BreakEven:
    """Seats from which the class loses nothing, jumps in the cost included.

    Args:
        costs: what the class costs.
        fee: what each seat pays.

    Returns:
        The smallest number from which on every number of seats is without loss. Beyond the
        seats on offer the last extra cost is taken to stay as it is.
    """
    rows = seats_table(costs, fee=fee)
    losing = [row.taken for row in rows if row.profit_cents < 0]
    if not losing:
        return BreakEven(seats=0, offered=costs.seats)
    if losing[-1] < costs.seats:
        return BreakEven(seats=losing[-1] + 1, offered=costs.seats)
    last_extra = costs.extra_cents[-1] if costs.extra_cents else 0
    beyond = break_even_seats(
        fixed_cents=max(0, costs.fixed_cents + last_extra - costs.kept_cents),
        fee_cents=max(0, fee.net_cents),
        seat_cents=costs.seat_cents,
    )
    return BreakEven(seats=beyond, offered=costs.seats)


def next_seat_cents(costs: ClassCosts, *, taken: int, fee: Fee) -> int | None:
    """What one more seat adds to the profit.

    Args:
        costs: what the class costs.
        taken: seats taken now, 0 to all.
        fee: what each seat pays.

    Returns:
        Minor units, below 0 when the seat costs more than it brings; None when all seats
        are taken.

    Raises:
        MoneyError: there are not so many seats.

    Source:
        Marginal profit, any accounting text.
    """
    before_cents = costs.cost_cents(taken)
    if taken == costs.seats:
        return None
    return fee.net_cents - (costs.cost_cents(taken + 1) - before_cents)


def fee_for_margin(
    costs: ClassCosts,
    *,
    taken: int,
    margin_bp: int,
    charges: Charges = NO_CHARGES,
    step_cents: int = 1,
) -> Priced:
    """Fee of a seat that leaves a wanted margin with so many seats taken.

    Args:
        costs: what the class costs.
        taken: seats that are counted on, 1 to all.
        margin_bp: wanted margin [0.01 %], 0 to below 100 %.
        charges: card fee and tax.
        step_cents: fees are whole multiples of this [minor units], 1 or more.

    Returns:
        Fee against the cost of a seat with its share of all costs, rounded up; margin and
        mark-up both on it.

    Raises:
        MoneyError: no seat is counted on, the margin cannot be reached, or an amount is
            outside its limits.
    """
    if taken < 1:
        raise MoneyError(
            "A fee cannot be set with no seat taken; count on at least 1 seat.", given=taken
        )
    share_cents = -(-costs.cost_cents(taken) // taken)
    return price_at_margin(
        cost_cents=share_cents, margin_bp=margin_bp, charges=charges, step_cents=step_cents
    )


def class_priced(costs: ClassCosts, *, taken: int, fee: Fee) -> Priced:
    """The whole class at a fee: profit, margin and mark-up.

    Args:
        costs: what the class costs.
        taken: seats taken, 0 to all.
        fee: what each seat pays; the card fee is taken on each.

    Returns:
        All fees, and what was kept of seats given up, against all costs.

    Raises:
        MoneyError: there are not so many seats.

    Source:
        Definitions of margin and mark-up, any accounting text.
    """
    return Priced(
        price_cents=taken * fee.cents + costs.kept_cents,
        cost_cents=costs.cost_cents(taken),
        card_fee_cents=taken * fee.card_fee_cents,
    )


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
    """
    return tuple(variance(line, planned=planned, real=real) for line in lines)


def reason_lines(splits: Sequence[Variance]) -> tuple[Line, ...]:
    """The reasons over all lines, as steps of a waterfall from planned to real.

    Args:
        splits: the lines of one class.

    Returns:
        Lines with the keys "seats", "failures", "amount" and "price"; those of no money are
        left out. Failures stand in one line; amount and price each name their own line.
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
