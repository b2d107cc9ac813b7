"""How the value of a piece goes with the metal taken from it, to the cent.

Pure. The parts always add up to the whole, since the last part takes what is left.
"""

from collections.abc import Sequence


def share_cents(value_cents: int, *, amount: int, of_amount: int) -> int:
    """Value that goes with a part of a piece, rounded half up to the cent.

    Args:
        value_cents: value of the whole [minor units], 0 or more.
        amount: the part, in the unit of `of_amount`, from 0 to `of_amount`.
        of_amount: the whole, above 0.

    Returns:
        Minor units; all of the value when the part is the whole.

    Raises:
        ValueError: the part is below 0 or more than the whole.

    Source:
        Proportion; common practice.

    >>> share_cents(1000, amount=1, of_amount=3)
    333
    """
    if not 0 <= amount <= of_amount or of_amount <= 0:
        raise ValueError(f"a part of {amount} cannot come from {of_amount}")
    return (2 * value_cents * amount + of_amount) // (2 * of_amount)


def spread_cents(total_cents: int, *, weights: Sequence[int]) -> list[int]:
    """A sum spread over parts by weight; the parts add up to it exactly.

    Args:
        total_cents: what is spread [minor units], 0 or more.
        weights: one weight each, 0 or more, at least one; all 0 counts as equal.

    Returns:
        One share each [minor units], in the order given.

    Raises:
        ValueError: no weight, or one below 0.

    Source:
        Differences of the rounded running total; common practice.

    >>> spread_cents(100, weights=[1, 1, 1])
    [33, 34, 33]
    """
    if not weights or min(weights) < 0:
        raise ValueError("spreading needs at least one weight, none below 0")
    used = list(weights) if sum(weights) else [1] * len(weights)
    whole, running, done, shares = sum(used), 0, 0, []
    for weight in used:
        running += weight
        upto = share_cents(total_cents, amount=running, of_amount=whole)
        shares.append(upto - done)
        done = upto
    return shares
