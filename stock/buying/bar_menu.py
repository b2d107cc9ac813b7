"""A few good ways to buy the bars of one need, where all ways together are too many.

The cut planner is asked once for each set of suppliers and for each end of their price breaks;
the programme then chooses among its answers. It leaves out delivery and other needs.
"""

import time
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from stock.buying.case import BarNeed, Goods
from stock.cutting.bars import best
from stock.cutting.plans.plan import BarCase, BarPlan, Offer

FEW_SUPPLIERS = 3  # up to here every set of them is tried; beyond it, each alone and all
ONE_PLAN_S = 0.5


@dataclass(frozen=True)
class Dish:
    """One way: bars bought by length, and the cuts of all bars, length and pieces [nm]."""

    bought: Mapping[int, int]
    cuts: tuple[tuple[int, tuple[int, ...]], ...]


def menu(need: BarNeed, goods: Sequence[Goods], *, until: float) -> tuple[Dish, ...]:
    """Good ways to buy the bars of a need.

    Args:
        need: the pieces and what is on hand.
        goods: bars on offer for it.
        until: no new plan is begun after this moment (time.monotonic); the first always is.

    Returns:
        Different ways, each of which gives all pieces; none when no set of suppliers can.

    Source:
        Our own rule.
    """
    found: dict[frozenset[tuple[int, int]], Dish] = {}
    for offers in _offers(goods):
        plan = best.solve(_case(need, offers), limit_s=ONE_PLAN_S)
        if not plan.short:
            dish = _dish(plan)
            found.setdefault(frozenset(dish.bought.items()), dish)
        if time.monotonic() >= until:
            break
    return tuple(found.values())


def least_cents(need: BarNeed, goods: Sequence[Goods]) -> int:
    """What the bars of a need cost at the very least, at everybody's lowest price.

    Args:
        need: the pieces and what is on hand.
        goods: bars on offer for it.

    Returns:
        A bound [minor units] that no purchase goes below, delivery not counted.

    Source:
        The cut planner's own bound; a price for a pack counts per bar, rounded down.
    """
    lowest: dict[int, int] = {}
    for one in goods:
        cents = min(price.cents for price in one.prices) // one.amount
        lowest[one.length_nm] = min(cents, lowest.get(one.length_nm, cents))
    offers = tuple(Offer(nm, cents) for nm, cents in sorted(lowest.items()))
    plan = best.solve(_case(need, offers), limit_s=ONE_PLAN_S)
    return 0 if plan.short else plan.spent_at_least


def _offers(goods: Sequence[Goods]) -> list[tuple[Offer, ...]]:
    names = sorted({one.supplier for one in goods})
    sizes = range(len(names), 0, -1) if len(names) <= FEW_SUPPLIERS else (len(names), 1)
    found: dict[tuple[Offer, ...], None] = {}
    for size in sizes:
        for chosen in combinations(names, size):
            sold = [one for one in goods if one.supplier in chosen]
            found[_at(sold, of_many=True)] = None
            found[_at(sold, of_many=False)] = None
    return list(found)


def _at(goods: Sequence[Goods], *, of_many: bool) -> tuple[Offer, ...]:
    cheapest: dict[int, int] = {}
    for one in goods:
        prices = sorted(one.prices, key=lambda price: price.from_packs)
        cents = -(-prices[-1 if of_many else 0].cents // one.amount)
        cheapest[one.length_nm] = min(cents, cheapest.get(one.length_nm, cents))
    return tuple(Offer(nm, cents) for nm, cents in sorted(cheapest.items()))


def _case(need: BarNeed, offers: tuple[Offer, ...]) -> BarCase:
    return BarCase(
        name=need.label,
        kerf_nm=need.kerf_nm,
        keep_from_nm=need.keep_from_nm,
        reference_nm=0,
        on_hand=need.on_hand,
        offers=offers,
        pieces=need.pieces,
    )


def _dish(plan: BarPlan) -> Dish:
    bought = Counter(bar.length_nm for bar in plan.bars if bar.source == "offer")
    return Dish(bought, tuple((bar.length_nm, bar.cuts) for bar in plan.bars))
