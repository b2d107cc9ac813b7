"""What a billet will cost before anything of it is cut. Pure.

Average prices paid, the shop's usual times and the heats of the forecast; what it did cost is
read by `shop.billet_cost.reading`.
"""

from __future__ import annotations

from dataclasses import dataclass

from billets.errors import ForgingError
from billets.forging.forecast import forecast
from billets.layup import seam
from billets.layup.case import Case
from billets.layup.seam import FillerError
from shop.billet_cost.paid_metal import MetalPrices
from shop.costing.billet import billet_lines, planned_work
from shop.costing.lines import Line, total_cents
from shop.costing.rate_values import ShopRates
from stock.alloys.book import Book, alloy_name


@dataclass(frozen=True)
class Market:
    """What metal is known by: prices, the kerf that each blank of bar takes, the alloy book."""

    prices: MetalPrices
    kerf_nm: int
    alloys: Book

    def name_of(self, alloy: str) -> str:
        """An alloy's name; its key where the book has lost it."""
        return alloy_name(alloy, book=self.alloys)


@dataclass(frozen=True)
class Planned:
    """What a stack will cost, line by line; what could not be priced or foretold is said."""

    lines: tuple[Line, ...]
    heats: int
    unpriced: tuple[str, ...]
    no_heats: str = ""  # why the forecast has none
    listed: tuple[str, ...] = ()  # metals at the price list, as none was ever bought

    @property
    def cents(self) -> int:
        """All of it [minor units]."""
        return total_cents(self.lines)


def planned_billet(case: Case, *, market: Market, shop: ShopRates, is_for_class: bool) -> Planned:
    """What a billet of a stack will cost, line by line.

    Args:
        case: the stack in this shop.
        market: what was paid for metal, and the kerf of the saw.
        shop: the rates and usual times of the day.
        is_for_class: the students forge it, so forging and finishing are nobody's paid hours.

    Returns:
        Lines, heats, and what could not be priced or foretold.
    """
    filler_ug = wire_ug(case)
    heats, why = planned_heats(case)
    metal = market.prices.of_stack(case.design, kerf_nm=market.kerf_nm)
    work = planned_work(
        shop,
        metal_cents=metal.cents,
        filler_ug=filler_ug,
        heats=heats,
        is_for_class=is_for_class,
    )
    unpriced, listed = (tuple(map(market.name_of, keys)) for keys in (metal.unpriced, metal.listed))
    return Planned(billet_lines(work, rates=shop.rates), heats, unpriced, why, listed)


def planned_heats(case: Case) -> tuple[int, str]:
    """Heats that the forecast foresees.

    Args:
        case: the stack in this shop.

    Returns:
        Their number, or 0 and the sentence that says why there is none.
    """
    try:
        return forecast(case).heats, ""
    except ForgingError as error:
        return 0, error.sentence(case.house.system)


def wire_ug(case: Case) -> int:
    """Wire for the seams [µg]; none where a size is impossible."""
    try:
        return seam.wire_ug(case.design, house=case.house, alloys=case.alloys)
    except FillerError:
        return 0
