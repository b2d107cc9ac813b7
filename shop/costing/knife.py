"""What a finished knife costs, the least to take for it, and what it really brought.

The blade comes from a billet (at the billet's cost) or from a bought bar (at the ledger's
value). One billet may give several blades; they share its cost to the cent.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

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
    """
    seconds = worked_seconds(steps)
    if seconds == 0:
        return None
    others = total_cents(line for line in lines if line.key != "labour")
    found = priced(price_cents=price_cents, cost_cents=others, charges=charges)
    return found.profit_cents * SECONDS_PER_HOUR // seconds


@dataclass(frozen=True)
class BladeShares:
    """Money of each blade, and of what is left of the billet; together the billet, exactly."""

    cents: tuple[int, ...]
    rest_cents: int = 0
    rest_nm: int = 0


def blade_shares(
    billet_cents: int, *, lengths_nm: Sequence[int], billet_nm: int | None
) -> BladeShares:
    """What each blade carries of a billet, and what its rest carries.

    Args:
        billet_cents: cost of the billet [minor units], 0 or more.
        lengths_nm: length of billet that each blade took [nm]; 0 where nobody said.
        billet_nm: length of the billet as measured [nm]; None where it was not.

    Returns:
        One share each and the rest. Blades of no length share what the others leave, or where
        that is not known weigh as much as the others do on average.

    Raises:
        MoneyError: an amount is below 0.

    >>> blade_shares(10_000, lengths_nm=(3, 2), billet_nm=10)
    BladeShares(cents=(3000, 2000), rest_cents=5000, rest_nm=5)
    """
    not_below_zero(cost_of_the_billet=billet_cents)
    said = [length for length in lengths_nm if length]
    open_count = len(lengths_nm) - len(said)
    left = max(0, (billet_nm or 0) - sum(said))
    each = Fraction(0)
    if open_count and left:
        each, left = Fraction(left, open_count), 0
    elif open_count:
        each = Fraction(sum(said), len(said)) if said else Fraction(1)
    weights = [Fraction(length) if length else each for length in lengths_nm]
    *cents, rest = allocate(billet_cents, weights=[*weights, Fraction(left)])
    return BladeShares(tuple(cents), rest, left)


@dataclass(frozen=True)
class Kept:
    """What a blade carries since it was sold, and the length that this rests on."""

    cents: int
    length_nm: int


def shares_beside_sold(
    billet_cents: int,
    *,
    lengths_nm: Sequence[int],
    billet_nm: int | None,
    sold: Sequence[Kept | None],
) -> BladeShares:
    """The same where some blades are sold: theirs stand still, the others share what is over.

    Args:
        billet_cents: cost of the billet [minor units], 0 or more.
        lengths_nm: length of billet that each blade took [nm]; 0 where nobody said.
        billet_nm: length of the billet as measured [nm]; None where it was not.
        sold: for each blade what it carries since it was sold; None while it is not.

    Returns:
        One share each and the rest; together the billet. The rest is below 0 where the sold
        blades carry more than the billet costs by now, and has no length where money came to
        the billet after its last blade was sold.

    Raises:
        MoneyError: an amount is below 0.
    """
    kept = [one for one in sold if one is not None]
    over_cents = billet_cents - sum(one.cents for one in kept)
    over_nm = left_nm(billet_nm, taken_nm=[one.length_nm for one in kept])
    open_nm = [length for length, one in zip(lengths_nm, sold, strict=True) if one is None]
    if over_cents < 0 or not (open_nm or over_nm):
        not_below_zero(cost_of_the_billet=billet_cents)
        unused = left_nm(over_nm, taken_nm=open_nm) or 0
        found = BladeShares((0,) * len(open_nm), over_cents, unused)
    else:
        found = blade_shares(over_cents, lengths_nm=open_nm, billet_nm=over_nm)
    others = iter(found.cents)
    cents = tuple(next(others) if one is None else one.cents for one in sold)
    return BladeShares(cents, found.rest_cents, found.rest_nm)


def length_of(place: int, *, lengths_nm: Sequence[int], billet_nm: int | None) -> int:
    """The length that a blade's share rests on.

    Args:
        place: which of the blades.
        lengths_nm: length of billet that each blade took [nm]; 0 where nobody said.
        billet_nm: length of the billet as measured [nm]; None where it was not.

    Returns:
        What it took [nm]; where nobody said its part of what the others leave, rounded down; 0
        where nobody knows.
    """
    left = left_nm(billet_nm, taken_nm=lengths_nm) or 0
    return lengths_nm[place] or left // list(lengths_nm).count(0)


def left_nm(billet_nm: int | None, *, taken_nm: Sequence[int]) -> int | None:
    """How much of a billet is not in any blade.

    Args:
        billet_nm: length of the billet as measured [nm]; None where it was not.
        taken_nm: lengths that blades took [nm].

    Returns:
        What is left [nm], 0 where more was taken than there was; None where nobody knows.
    """
    return None if billet_nm is None else max(0, billet_nm - sum(taken_nm))
