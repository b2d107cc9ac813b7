"""How the value of a piece goes with the metal taken from it, to the cent.

Pure. What is left of the piece keeps the rest, so that the parts add up to the whole.
"""


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
