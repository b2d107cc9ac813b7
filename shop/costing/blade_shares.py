"""How several blades share one billet, also while part of it is still a billet. Pure.

Where the billet's length is known, a blade carries its length's share and what is not used yet
keeps its own; where it is not, the blades that there are carry all of it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from stock.quantities.money import allocate, not_below_zero


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

    Source:
        Largest-remainder method (see `stock.quantities.money.allocate`); a billet of one section is
        worth the same everywhere along it.

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

    Source:
        Subtraction, then `blade_shares`.
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

    Source:
        Subtraction and division.
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

    Source:
        Subtraction.
    """
    return None if billet_nm is None else max(0, billet_nm - sum(taken_nm))
