"""Bounds on money and worth from lengths alone, as if bars could be cut and joined at will.

There at once, whatever the size of the case; the search betters them where it has the time.
"""

from stock.cutting.bars.problem import Problem


def least_cents(problem: Problem) -> int:
    """Money that no plan goes below: the length that bars on hand lack, at the best rate.

    Args:
        problem: all of whose pieces are to be cut.

    Returns:
        Cents, rounded up.

    Source:
        Arithmetic.
    """
    kerf = problem.kerf_nm
    lacking = sum(
        n * (length + kerf) for n, length in zip(problem.counts, problem.lengths_nm, strict=True)
    )
    lacking -= sum(g.limit * (g.length_nm + kerf) for g in problem.groups if not g.is_offer)
    prices = [(g.price_cents, g.length_nm + kerf) for g in problem.groups if g.is_offer]
    if lacking <= 0 or not prices:
        return 0
    return min(-(-lacking * cents // length) for cents, length in prices)


def least_scaled_loss(problem: Problem, budget: int) -> int:
    """A scaled loss that no plan within the budget goes below.

    As worth is convex in what is left, a bar of length L that gives up c loses at least the
    share c/L of its worth; the cheapest bars give up the pieces' length. Bought bars first add
    their whole worth, the whole budget being spent at the best rate of worth for money.

    Args:
        problem: all of whose pieces are to be cut.
        budget: most money [cents].

    Returns:
        Scaled worth, see worth.py; below 0 where bought bars may add more than goes.

    Source:
        Convexity of r + r²/(2·reference).
    """
    wanted = sum(n * length for n, length in zip(problem.counts, problem.lengths_nm, strict=True))
    free, bought = 0, 0
    rates: list[tuple[int, int]] = []  # worth per length given up, length there is
    for group in problem.groups:
        worth = problem.worth.scaled(group.length_nm)
        length = wanted if group.is_offer else group.limit * group.length_nm
        rates.append((worth // group.length_nm, length))
        if group.is_offer and group.price_cents:
            bought = max(bought, -(-budget * worth // group.price_cents))
        elif group.is_offer:
            free += group.limit * worth
    lost = 0
    for rate, length in sorted(rates):
        taken = min(wanted, length)
        lost += rate * taken
        wanted -= taken
    return lost - free - bought
