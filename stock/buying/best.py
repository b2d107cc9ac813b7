"""The cheapest purchase that covers what is short, and what else could be bought instead.

Prices, breaks, delivery, minimum orders and the cutting of the bars are weighed together
(model.py). What nobody can deliver in time is said, not hidden. It leaves out orders in
the database and words with money in them.
"""

import time
from collections.abc import Mapping
from dataclasses import dataclass, replace

from stock.buying.case import AmountNeed, BarNeed, BuyingCase, Goods, Need, SheetNeed
from stock.buying.model import Prepared, Purchase, cheapest
from stock.buying.orders import Buying, buying_of
from stock.buying.preparing import floor_cents, prepare, with_all_menus
from stock.buying.sheets import Laid, Lay, laid_on, shop_layout


@dataclass(frozen=True)
class Uncovered:
    """A need that these offers cannot cover in time, and why."""

    need: str
    sentence: str


@dataclass(frozen=True)
class Bought:
    """The answer: the cheapest way and what is uncovered.

    `best` is None when nothing is short, or nothing that is short can be bought.
    """

    best: Buying | None
    uncovered: tuple[Uncovered, ...]
    covered: BuyingCase  # the part of the case that `best` covers
    laid: Mapping[str, Laid]  # by goods
    prepared: Prepared


def buy(case: BuyingCase, *, seconds: float = 5.0, lay: Lay | None = None) -> Bought:
    """The cheapest purchase that covers what is short and arrives in time.

    Args:
        case: needs, goods and terms.
        seconds: time for the programme, above 0; layouts of sheets have their own.
        lay: finds layouts on sheets and rolls; None takes the shop's own.

    Returns:
        Orders by supplier with the cutting and what is left over. A need that no offer covers
        in time stands in `uncovered` with its reason, and the rest is bought all the same.
    """
    until = time.monotonic() + seconds
    case = replace(case, needs=tuple(need for need in case.needs if need.is_short))
    in_time = _in_time(case)
    laid = _layouts(case, lay or shop_layout)
    reasons = {need.key: _why_not(need, case, in_time, laid) for need in case.needs}
    uncovered = [Uncovered(key, reason) for key, reason in reasons.items() if reason]
    covered = replace(in_time, needs=tuple(need for need in in_time.needs if not reasons[need.key]))
    prepared = prepare(replace(case, needs=covered.needs), laid=laid, until=until)
    purchase, prepared = _solved(covered, prepared, until)
    if purchase is None and covered.needs:
        covered, more = _without_impossible(covered, prepared, until)
        uncovered.extend(more)
        purchase, prepared = _solved(covered, prepared, until)
    best = buying_of(covered, purchase, laid, is_final=True) if purchase else None
    return Bought(best, tuple(uncovered), covered, laid, prepared)


def _solved(case: BuyingCase, prepared: Prepared, until: float) -> tuple[Purchase | None, Prepared]:
    """The best purchase: with all ways to cut, and from menus where these are too many."""
    if not case.needs:
        return None, prepared
    first = cheapest(case, prepared=prepared, seconds=max(0.2, (until - time.monotonic()) / 2))
    if first is not None and first.is_proved:
        return first, prepared
    menus = with_all_menus(case, prepared, until=until)
    second = cheapest(case, prepared=menus, seconds=max(0.5, until - time.monotonic()))
    found = min(filter(None, (first, second)), key=lambda one: one.cents, default=None)
    if found is None:
        return None, prepared
    bounds = [one.at_least_cents for one in (first, second) if one and one.at_least_cents]
    bound = max([*bounds, floor_cents(case, prepared, found_cents=found.cents)])
    return replace(found, at_least_cents=bound), menus


def _in_time(case: BuyingCase) -> BuyingCase:
    days_left = {need.key: need.days_left for need in case.needs}
    days = {supplier.name: supplier.days for supplier in case.suppliers}

    def is_in_time(one: Goods) -> bool:
        limit = days_left.get(one.need)
        return one.need in days_left and (limit is None or days[one.supplier] <= limit)

    return replace(case, goods=tuple(filter(is_in_time, case.goods)))


def _layouts(case: BuyingCase, lay: Lay) -> dict[str, Laid]:
    found = {}
    for need in case.needs:
        if isinstance(need, SheetNeed):
            for one in case.goods:
                if one.need == need.key and (laid := laid_on(one, need, lay=lay)):
                    found[one.key] = laid
    return found


def _why_not(
    need: Need, case: BuyingCase, in_time: BuyingCase, laid: Mapping[str, Laid]
) -> str | None:
    offered = [one for one in case.goods if one.need == need.key]
    if not offered and not (isinstance(need, BarNeed) and need.on_hand):
        return f"Nobody offers {need.label}; enter an offer for it."
    usable = [one for one in in_time.goods if one.need == need.key]
    if offered and not usable:
        days = min(case.terms(one.supplier).days for one in offered)
        return (
            f"{need.label} is needed within {need.days_left} days and the fastest supplier takes "
            f"{days}; find a faster one."
        )
    match need:
        case BarNeed():
            lengths = [one.length_nm for one in usable]
            lengths.extend(bar.length_nm for bar in need.on_hand)
            if max(piece.length_nm for piece in need.pieces) > max(lengths):
                return f"The longest piece of {need.label} is longer than every bar on offer."
        case SheetNeed():
            if not any(one.key in laid for one in usable):
                return f"The pieces of {need.label} fit on no roll or sheet on offer."
        case AmountNeed():
            pass
    return None


def _without_impossible(
    case: BuyingCase, prepared: Prepared, until: float
) -> tuple[BuyingCase, list[Uncovered]]:
    # together they cannot be covered: find those that cannot be even alone
    possible, uncovered = [], []
    for need in case.needs:
        found, _ = _solved(replace(case, needs=(need,)), prepared, until)
        if found is not None:
            possible.append(need)
        else:
            words = f"No way was found to buy enough {need.label}; look for another offer."
            uncovered.append(Uncovered(need.key, words))
    return replace(case, needs=tuple(possible)), uncovered
