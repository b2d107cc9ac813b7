"""What is worked out before the buying programme: menus where a graph is too large, and a floor.

It leaves out the layouts of sheets (sheets.py), which are handed in.
"""

import time
from collections.abc import Mapping
from dataclasses import replace

from stock.buying.bars import MOST_ARCS, Dish, least_cents, menu, need_graph
from stock.buying.case import AmountNeed, BarNeed, BuyingCase, Goods, Need, SheetNeed
from stock.buying.model import Prepared
from stock.buying.sheets import Laid

MENU_SHARE = 0.5  # of the time that is left, for all menus together


def prepare(case: BuyingCase, *, laid: Mapping[str, Laid], until: float) -> Prepared:
    """Layouts as packs, and menus for the needs whose graphs are too large together.

    Args:
        case: needs, and all goods that any later question is about.
        laid: layouts by goods key.
        until: the end of the time (time.monotonic).

    Returns:
        What the programme needs to know.
    """
    sizes: list[tuple[int, BarNeed]] = []
    large: list[BarNeed] = []
    for need in case.needs:
        if isinstance(need, BarNeed):
            graph = need_graph(need, _offered(case, need))
            if graph is None:
                large.append(need)
            else:
                sizes.append((len(graph.arcs), need))
    arcs = 0
    for size, need in sorted(sizes, key=lambda pair: pair[0]):
        arcs += size
        if arcs > 2 * MOST_ARCS:
            large.append(need)
    packs = {key: one.packs for key, one in laid.items()}
    return Prepared(sheet_packs=packs, menus=_menus(case, large, until))


def with_all_menus(case: BuyingCase, prepared: Prepared, *, until: float) -> Prepared:
    """The same with a menu for every need of bars, where the graphs gave no proof in time.

    Args:
        case: needs and goods.
        prepared: what there is already.
        until: the end of the time (time.monotonic).

    Returns:
        The menus there were and the missing ones.
    """
    missing = [
        need for need in case.needs if isinstance(need, BarNeed) and need.key not in prepared.menus
    ]
    return replace(prepared, menus={**prepared.menus, **_menus(case, missing, until)})


def floor_cents(case: BuyingCase, prepared: Prepared, *, found_cents: int) -> int:
    """What no purchase for these needs can go below, proof or no proof.

    Args:
        case: needs, goods and terms; every need can be covered.
        prepared: layouts as packs.
        found_cents: cost of a purchase that was found; who delivers free only from more than
            that on does not do so for a cheaper one.

    Returns:
        Minor units, at most `found_cents`: each need at its lowest price, and the smallest
        delivery charge when something has to be bought.
    """
    goods_cents = sum(_need_floor(need, _offered(case, need), prepared) for need in case.needs)
    if goods_cents == 0:
        return 0
    sellers = {one.supplier for one in case.goods}
    charges = [one.delivery_of(found_cents) for one in case.suppliers if one.name in sellers]
    return min(found_cents, goods_cents + min(charges, default=0))


def _need_floor(need: Need, goods: list[Goods], prepared: Prepared) -> int:
    match need:
        case BarNeed():
            return least_cents(need, goods)
        case SheetNeed():
            return min(
                (
                    prepared.sheet_packs[one.key] * min(price.cents for price in one.prices)
                    for one in goods
                    if one.key in prepared.sheet_packs
                ),
                default=0,
            )
        case AmountNeed():
            # need.amount / one.amount packs at least, not rounded up: several may be mixed
            return min(
                (
                    need.amount * min(price.cents for price in one.prices) // one.amount
                    for one in goods
                ),
                default=0,
            )


def _offered(case: BuyingCase, need: Need) -> list[Goods]:
    return [one for one in case.goods if one.need == need.key]


def _menus(case: BuyingCase, needs: list[BarNeed], until: float) -> dict[str, tuple[Dish, ...]]:
    menus = {}
    for number, need in enumerate(needs):
        now = time.monotonic()
        share = MENU_SHARE * max(0.0, until - now) / (len(needs) - number)
        menus[need.key] = menu(need, _offered(case, need), until=now + share)
    return menus
