"""What a finished knife costs, the least to take for it, and what it really brought.

The blade comes from a billet (at the billet's cost) or from a bought bar (at the ledger's
value). One billet may give several blades; they share its cost to the cent.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from shop.costing.lines import (
    Line,
    MachineRun,
    Rates,
    Step,
    hours_lines,
    power_line,
    total_cents,
    with_money,
    worked_seconds,
)
from shop.costing.pricing import NO_CHARGES, Charges, Priced, price_at_margin, priced
from stock.quantities.money import SECONDS_PER_HOUR, allocate, not_below_zero

OWN_HOURS = ("labour", "overhead")  # money that is not handed to anybody for this knife


@dataclass(frozen=True)
class KnifeWork:
    """What goes into one knife beside the hours of its billet."""

    blade_cents: int
    parts: tuple[Line, ...] = ()  # handle, fittings, sheath: at their value in the ledger
    services: tuple[Line, ...] = ()  # outside work: heat treating, engraving
    steps: tuple[Step, ...] = ()
    runs: tuple[MachineRun, ...] = ()
    consumables_cents: int | None = None  # None takes the shop's usual

    def __post_init__(self) -> None:
        not_below_zero(cost_of_the_blade=self.blade_cents, consumables=self.consumables_cents or 0)
        for line in (*self.parts, *self.services):
            not_below_zero(**{f"cost of {line.label}": line.cents})


@dataclass(frozen=True)
class Floor:
    """The least to take: without loss, and without paying out more than comes in."""

    without_loss_cents: int
    out_of_pocket_cents: int


def knife_lines(work: KnifeWork, *, rates: Rates) -> tuple[Line, ...]:
    """The cost of one knife, line by line.

    Args:
        work: what goes into it.
        rates: the rates of the days it was made.

    Returns:
        Lines in the order blade, parts, outside services, power, consumables, labour by step,
        overhead; those of no money are left out.

    Raises:
        MoneyError: an amount is below 0.

    Source:
        Amount times rate; each line rounded once.
    """
    usual = rates.knife_consumables_cents
    consumables = usual if work.consumables_cents is None else work.consumables_cents
    return with_money(
        (
            Line("blade", "Blade", work.blade_cents),
            *work.parts,
            *work.services,
            power_line(work.runs, rates=rates),
            Line("consumables", "Consumables", consumables),
            *hours_lines(work.steps, rates=rates),
        )
    )


def blade_shares_cents(billet_cents: int, *, lengths_nm: Sequence[int]) -> tuple[int, ...]:
    """What each blade carries of the billet that it was cut from.

    Args:
        billet_cents: cost of the billet [minor units], 0 or more.
        lengths_nm: length of billet that went into each blade [nm], 0 or more each.

    Returns:
        One share each; they add up to the billet.

    Raises:
        MoneyError: an amount is below 0, or there is no length to share by.

    Source:
        Largest-remainder method (see `stock.quantities.money.allocate`).

    >>> blade_shares_cents(10_000, lengths_nm=(2, 1))
    (6667, 3333)
    """
    not_below_zero(cost_of_the_billet=billet_cents)
    return allocate(billet_cents, weights=lengths_nm)


def price_floor(
    lines: Sequence[Line], *, charges: Charges = NO_CHARGES, step_cents: int = 1
) -> Floor:
    """The least to take for a knife.

    Args:
        lines: its cost.
        charges: card fee and tax.
        step_cents: prices are whole multiples of this [minor units], 1 or more.

    Returns:
        The price that pays all costs and the card fee, and the lower one that pays only what
        was handed to others: under that the shop pays to be rid of the knife.

    Raises:
        MoneyError: the card fee would take the whole price.

    Source:
        Price at a margin of nothing; contribution margin, any accounting text. The hours in
        the cost of the blade are in both, since the billet is finished and paid.
    """
    paid_out = [line for line in lines if line.key not in OWN_HOURS]

    def least(cost_cents: int) -> int:
        found = price_at_margin(
            cost_cents=cost_cents, margin_bp=0, charges=charges, step_cents=step_cents
        )
        return found.price_cents

    return Floor(
        without_loss_cents=least(total_cents(lines)),
        out_of_pocket_cents=least(total_cents(paid_out)),
    )


def sold(lines: Sequence[Line], *, price_cents: int, charges: Charges = NO_CHARGES) -> Priced:
    """What a knife really brought.

    Args:
        lines: its real cost.
        price_cents: what it was sold for, without tax [minor units], 0 or more.
        charges: card fee and tax of that sale.

    Returns:
        Profit, margin and mark-up, each of which may be below 0.

    Raises:
        MoneyError: the price is below 0.

    Source:
        Definitions of margin and mark-up, any accounting text.
    """
    return priced(price_cents=price_cents, cost_cents=total_cents(lines), charges=charges)


def earned_cents_per_hour(
    lines: Sequence[Line],
    *,
    steps: Sequence[Step],
    price_cents: int,
    charges: Charges = NO_CHARGES,
) -> int | None:
    """What an hour at the knife really brought, whatever rate was set for it.

    Args:
        lines: its real cost.
        steps: the hours at it.
        price_cents: what it was sold for, without tax [minor units], 0 or more.
        charges: card fee and tax of that sale.

    Returns:
        Price less card fee and all costs but labour, for each hour [minor units], rounded
        down; below 0 when even those were not paid; None when no time was recorded.

    Raises:
        MoneyError: the price is below 0.

    Source:
        Definition of an hourly rate.
    """
    seconds = worked_seconds(steps)
    if seconds == 0:
        return None
    others = total_cents(line for line in lines if line.key != "labour")
    found = priced(price_cents=price_cents, cost_cents=others, charges=charges)
    return found.profit_cents * SECONDS_PER_HOUR // seconds
