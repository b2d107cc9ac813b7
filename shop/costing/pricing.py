"""From a cost to a price and back: card fee, tax, margin and mark-up.

Margin is profit over price; mark-up is profit over cost. The two are never the same figure
(a margin of 40 % is a mark-up of 66.7 %), so both always travel together. The card fee counts
as a cost; the tax is not the shop's money and is in neither.
"""

from dataclasses import dataclass, replace
from fractions import Fraction

from stock.quantities.money import BASIS_POINTS, MoneyError, not_below_zero, portion

MAX_PRICE_STEPS = 4  # rounding of the fee and the tax can move the answer by no more than this


@dataclass(frozen=True)
class Charges:
    """What goes to others with every sale; the card takes its fee on the tax as well."""

    card_fee_bp: int = 0
    card_fixed_cents: int = 0
    tax_bp: int = 0

    def __post_init__(self) -> None:
        not_below_zero(card_fee=self.card_fee_bp, tax=self.tax_bp)
        not_below_zero(fixed_card_fee=self.card_fixed_cents)

    def tax_cents(self, price_cents: int) -> int:
        """Tax on a price without tax [minor units]."""
        return portion(price_cents, bp=self.tax_bp)

    def with_tax_cents(self, price_cents: int) -> int:
        """What the customer pays [minor units]."""
        return price_cents + self.tax_cents(price_cents)

    def without_tax_cents(self, paid_cents: int) -> int:
        """The price inside a sum that has the tax in it [minor units], rounded once."""
        whole = BASIS_POINTS + self.tax_bp
        return (2 * paid_cents * BASIS_POINTS + whole) // (2 * whole)

    def card_fee_cents(self, price_cents: int) -> int:
        """Fee on one payment of a price and its tax [minor units]; nothing on nothing."""
        if price_cents == 0:
            return 0
        variable = portion(self.with_tax_cents(price_cents), bp=self.card_fee_bp)
        return variable + self.card_fixed_cents

    def in_payments(self, count: int) -> "Charges":
        """The charges where a price is paid in so many payments: a fixed fee on each."""
        not_below_zero(payments=count)
        return replace(self, card_fixed_cents=self.card_fixed_cents * count)

    def net_cents(self, price_cents: int) -> int:
        """What a price leaves when the card fee is paid [minor units]; below 0 if it eats all."""
        return price_cents - self.card_fee_cents(price_cents)


NO_CHARGES = Charges()


@dataclass(frozen=True)
class Fee:
    """What each seat of a class is to pay, without tax, and what goes to others with it."""

    cents: int
    charges: Charges = NO_CHARGES

    def __post_init__(self) -> None:
        not_below_zero(fee=self.cents)

    @property
    def with_tax_cents(self) -> int:
        """What a student pays [minor units]."""
        return self.charges.with_tax_cents(self.cents)

    @property
    def card_fee_cents(self) -> int:
        """What the card takes of it [minor units]."""
        return self.charges.card_fee_cents(self.cents)

    @property
    def net_cents(self) -> int:
        """What a seat brings after its card fees [minor units]; below 0 if they eat it all."""
        return self.charges.net_cents(self.cents)


@dataclass(frozen=True)
class Priced:
    """One price against its cost; the card fee is part of `full_cost_cents`."""

    price_cents: int
    cost_cents: int
    card_fee_cents: int

    @property
    def full_cost_cents(self) -> int:
        """Cost with the card fee [minor units]."""
        return self.cost_cents + self.card_fee_cents

    @property
    def profit_cents(self) -> int:
        """What is left of the price [minor units]; below 0 is a loss."""
        return self.price_cents - self.full_cost_cents

    @property
    def margin(self) -> Fraction | None:
        """Profit over price; None when nothing is charged."""
        return Fraction(self.profit_cents, self.price_cents) if self.price_cents else None

    @property
    def markup(self) -> Fraction | None:
        """Profit over full cost; None when it costs nothing."""
        return Fraction(self.profit_cents, self.full_cost_cents) if self.full_cost_cents else None


class MarginOutOfReachError(MoneyError):
    """No price gives this margin; facts: `margin_bp`, `limit_bp` (it must stay below)."""

    def __init__(self, *, margin_bp: int, limit_bp: int) -> None:
        super().__init__(
            f"A margin of {margin_bp / 100:g} % cannot be reached: the card fee takes its share "
            f"of every price, so the margin must stay below {limit_bp / 100:g} %.",
            given=margin_bp,
        )
        self.margin_bp = margin_bp
        self.limit_bp = limit_bp


def priced(*, price_cents: int, cost_cents: int, charges: Charges = NO_CHARGES) -> Priced:
    """A price set against its cost.

    Args:
        price_cents: price without tax [minor units], 0 or more.
        cost_cents: cost without the card fee [minor units], 0 or more.
        charges: card fee and tax.

    Returns:
        Profit, margin and mark-up, the card fee counted as a cost.

    Raises:
        MoneyError: an amount is below 0.

    Source:
        Definitions of margin and mark-up, any accounting text.
    """
    not_below_zero(price=price_cents, cost=cost_cents)
    return Priced(
        price_cents=price_cents,
        cost_cents=cost_cents,
        card_fee_cents=charges.card_fee_cents(price_cents),
    )


def price_at_margin(
    *, cost_cents: int, margin_bp: int, charges: Charges = NO_CHARGES, step_cents: int = 1
) -> Priced:
    """The price that leaves a wanted margin after the card fee.

    Args:
        cost_cents: cost without the card fee [minor units], 0 or more.
        margin_bp: wanted margin, profit over price [0.01 %], from 0 to below 100 %.
        charges: card fee and tax.
        step_cents: prices are whole multiples of this [minor units], 1 or more; 500 gives
            prices in whole fives of dollars.

    Returns:
        A price, rounded up to the step, whose margin is the wanted one or more.

    Raises:
        MarginOutOfReachError: card fee and margin together would take the whole price.
        MoneyError: an amount is below 0 or the step below 1.
    """
    not_below_zero(cost=cost_cents, margin=margin_bp)
    if step_cents < 1:
        raise MoneyError(
            f"Prices in steps of {step_cents} cannot be; the step is 1 or more.", given=step_cents
        )
    keeps = _share_kept(charges) - Fraction(margin_bp, BASIS_POINTS)
    if keeps <= 0:
        limit_bp = int(_share_kept(charges) * BASIS_POINTS)
        raise MarginOutOfReachError(margin_bp=margin_bp, limit_bp=limit_bp)
    fixed_cents = charges.card_fixed_cents if cost_cents else 0
    steps = (cost_cents + fixed_cents) / keeps / step_cents
    price_cents = -(-steps.numerator // steps.denominator) * step_cents
    for _ in range(_most_steps(keeps)):
        found = priced(price_cents=price_cents, cost_cents=cost_cents, charges=charges)
        if found.profit_cents * BASIS_POINTS >= margin_bp * price_cents:
            break
        price_cents += step_cents
    return found


def markup_of_margin(margin: Fraction) -> Fraction:
    """The mark-up that a margin amounts to.

    Args:
        margin: profit over price, below 1.

    Returns:
        Profit over cost.

    Raises:
        MoneyError: the margin is 1 or more; then the cost would be nothing.

    >>> markup_of_margin(Fraction(1, 2))
    Fraction(1, 1)
    """
    if margin >= 1:
        raise MoneyError("A margin of 100 % or more leaves no cost to mark up.", given=margin)
    return margin / (1 - margin)


def margin_of_markup(markup: Fraction) -> Fraction:
    """The margin that a mark-up amounts to.

    Args:
        markup: profit over cost, above −1.

    Returns:
        Profit over price.

    Raises:
        MoneyError: the mark-up is −1 or less; then the price would be nothing.

    >>> margin_of_markup(Fraction(1, 2))
    Fraction(1, 3)
    """
    if markup <= -1:
        raise MoneyError("A mark-up of −100 % or less leaves no price.", given=markup)
    return markup / (1 + markup)


def _share_kept(charges: Charges) -> Fraction:
    # what one more minor unit of price leaves after the card has taken its part of it and its tax
    taxed = 1 + Fraction(charges.tax_bp, BASIS_POINTS)
    return 1 - Fraction(charges.card_fee_bp, BASIS_POINTS) * taxed


def _most_steps(keeps: Fraction) -> int:
    # fee and tax are each rounded by half a unit at most, which `keeps` of a step makes good
    return int(MAX_PRICE_STEPS / keeps) + MAX_PRICE_STEPS
