"""The beta distribution, by the standard library alone.

What `yields` needs and no more: logarithms of counts and of the beta function, and quantiles.
"""

from math import exp, lgamma, log, log1p

HALVINGS = 60  # of the interval 0 to 1: beyond the precision of a float
MOST_TERMS = 500
SMALL_CHANGE = 1e-15


def log_choose(n: int, *, k: int) -> float:
    """Natural logarithm of the number of ways to choose k of n.

    Args:
        n: how many there are, 0 or more.
        k: how many are chosen, 0 to n.

    Returns:
        The logarithm.

    Source:
        Definition of the binomial coefficient by the gamma function.
    """
    return lgamma(n + 1) - lgamma(k + 1) - lgamma(n - k + 1)


def log_beta(a: float, *, b: float) -> float:
    """Natural logarithm of the beta function.

    Args:
        a: first parameter, above 0.
        b: second parameter, above 0.

    Returns:
        The logarithm.
    """
    return lgamma(a) + lgamma(b) - lgamma(a + b)


def beta_below(x: float, *, a: float, b: float) -> float:
    """Probability that a beta variable lies below a value.

    Args:
        x: the value, 0 to 1.
        a: first parameter, above 0.
        b: second parameter, above 0.

    Returns:
        Probability, 0 to 1; within about 1e-13 for parameters up to a few hundred.

    Source:
        Continued fraction of the regularised incomplete beta function, Abramowitz & Stegun,
        Handbook of Mathematical Functions (1964), 26.5.8.
    """
    if x <= 0:
        return 0.0
    if x >= 1:
        return 1.0
    if x > (a + 1) / (a + b + 2):  # beyond this the fraction settles slowly
        return 1.0 - beta_below(1 - x, a=b, b=a)
    return exp(a * log(x) + b * log1p(-x) - log_beta(a, b=b)) / a / _fraction(x, a, b)


def beta_quantile(probability: float, *, a: float, b: float) -> float:
    """The value below which a beta variable lies with a given probability.

    Args:
        probability: 0 to 1.
        a: first parameter, above 0.
        b: second parameter, above 0.

    Returns:
        The value, 0 to 1.
    """
    low, high = 0.0, 1.0
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        if beta_below(middle, a=a, b=b) < probability:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def _fraction(x: float, a: float, b: float) -> float:
    """1 + d1/(1 + d2/(1 + …)), by Lentz's method: running ratios of its two recurrences."""
    value = above = 1.0
    below = 0.0
    for term in range(1, MOST_TERMS):
        step = _coefficient(term, x, a, b)
        below = 1.0 / (1.0 + step * below)
        above = 1.0 + step / above
        value *= above * below
        if abs(above * below - 1.0) < SMALL_CHANGE:
            break
    return value


def _coefficient(term: int, x: float, a: float, b: float) -> float:
    m = term // 2
    if term % 2:
        return -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
    return m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
