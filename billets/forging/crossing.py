"""Where a rising or falling function crosses 0. Nothing about metal.

Leaves out functions with more than one crossing.
"""

from collections.abc import Callable

_TURNS = 200


def crossing(
    function: Callable[[float], float], *, low: float, high: float, within: float = 1e-13
) -> float | None:
    """The place where a function crosses 0 between two places.

    Args:
        function: continuous, with one crossing between the ends.
        low: lower end.
        high: upper end.
        within: width of the answer, as a share of the distance between the ends.

    Returns:
        The place, or None when the ends are on the same side of 0.

    Source:
        False position with the Illinois rule (Dowell & Jarratt 1971, from memory), which keeps
        the crossing between its ends and needs no slope.

    >>> crossing(lambda x: 3 * x - 1.5, low=0.0, high=2.0)
    0.5
    """
    a, b, at_a, at_b = low, high, function(low), function(high)
    if at_a == 0 or at_b == 0:
        return a if at_a == 0 else b
    if (at_a > 0) == (at_b > 0):
        return None
    for _ in range(_TURNS):
        middle = (a * at_b - b * at_a) / (at_b - at_a)
        at_middle = function(middle)
        if (at_middle > 0) == (at_b > 0):
            at_a /= 2
        else:
            a, at_a = b, at_b
        b, at_b = middle, at_middle
        if at_b == 0 or abs(b - a) <= within * (high - low):
            break
    return b
