"""Metal that a supplier cuts to order: a price for a length, sold in steps from a least length on.

Prices stay whole: a step must cost whole minor units, or what is ordered and what is billed
would part by rounding. It leaves out how much is needed (`stock.buying.sheets`).
"""

from math import gcd


class ByLengthError(ValueError):
    """A price by length that cannot be used; `.exact_step_nm` is a step at a whole price, or 0."""

    def __init__(self, sentence: str, *, exact_step_nm: int = 0) -> None:
        self.exact_step_nm = exact_step_nm
        super().__init__(sentence)


def step_cents(price_cents: int, *, length_nm: int, step_nm: int) -> int:
    """What one step costs.

    Args:
        price_cents: price of `length_nm` [minor units], 0 or above.
        length_nm: the length that the price is for [nm], above 0.
        step_nm: sold in multiples of this [nm], above 0.

    Returns:
        Minor units, exactly the step's share of the price.

    Raises:
        ByLengthError: the share is no whole number; its `exact_step_nm` is the shortest
            multiple of the step whose share is one.

    >>> step_cents(1250, length_nm=304_800_000, step_nm=152_400_000)
    625
    """
    cents, over = divmod(price_cents * step_nm, length_nm)
    if over:
        raise ByLengthError(
            "A step does not come to a whole price.",
            exact_step_nm=step_nm * (length_nm // gcd(price_cents * step_nm, length_nm)),
        )
    return cents


def fewest_steps(least_nm: int, *, step_nm: int) -> int:
    """How many steps the least length is.

    Args:
        least_nm: shortest length that is sold [nm], above 0.
        step_nm: sold in multiples of this [nm], above 0.

    Returns:
        A whole number, 1 or more.

    Raises:
        ByLengthError: it is no whole number of steps.

    >>> fewest_steps(914_400_000, step_nm=304_800_000)
    3
    """
    steps, over = divmod(least_nm, step_nm)
    if over or steps < 1:
        raise ByLengthError("The least length is no whole number of steps.")
    return steps
