"""What a billet will cost before anything of it is cut. Pure.

Average prices paid, the shop's usual times and the heats of the forecast; what it did cost is
read by `shop.billet_cost.reading`.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from billets.errors import ForgingError
from billets.forging.forecast import forecast
from billets.layup import design as layup_design
from billets.layup import seam, stack
from billets.layup.case import Case
from billets.layup.seam import FillerError
from shop.costing.billet import billet_lines, planned_work
from shop.costing.lines import Line, total_cents
from shop.costing.rate_values import ShopRates
from stock.alloys.book import Book, alloy_name
from stock.materials.matching import is_as_thick
from stock.quantities.money import whole_cents

MetalKey = tuple[str, str, int, int]  # alloy, form of the amount, thickness, width


@dataclass(frozen=True)
class PaidFor:
    """Area of an alloy in one thickness that came in, and what it cost."""

    alloy: str
    thickness_nm: int
    area_nm2: int
    cents: int
    is_sawn: bool = False  # bar; roll and sheet are sheared and lose no kerf


@dataclass(frozen=True)
class Expected:
    """What the metal of a stack will cost; `unpriced` are alloys that nothing was paid for.

    `listed` are those that the price list stood in for.
    """

    cents: int
    unpriced: tuple[str, ...] = ()
    listed: tuple[str, ...] = ()


@dataclass(frozen=True)
class MetalPrices:
    """Average prices by alloy and thickness; `offered` are the suppliers' for the same."""

    paid: tuple[PaidFor, ...]
    offered: tuple[PaidFor, ...] = ()

    def like(self, alloy: str, *, thickness_nm: int) -> list[PaidFor]:
        """What was paid for an alloy in a thickness, whatever form it came in; else an offer."""
        return self.paid_like(alloy, thickness_nm=thickness_nm) or self.cheapest(
            alloy, thickness_nm=thickness_nm
        )

    def paid_like(self, alloy: str, *, thickness_nm: int) -> list[PaidFor]:
        """What was paid for an alloy in a thickness, whatever form it came in."""
        return [one for one in self.paid if is_like(one, alloy, thickness_nm)]

    def cheapest(self, alloy: str, *, thickness_nm: int) -> list[PaidFor]:
        """The offer with the lowest price for its area, or none."""
        found = [one for one in self.offered if is_like(one, alloy, thickness_nm)]
        return [min(found, key=lambda one: Fraction(one.cents, one.area_nm2))] if found else []

    def of_area(self, alloy: str, *, thickness_nm: int, area_nm2: int) -> int:
        """What an area will cost [minor units]; 0 where nothing was ever paid for it."""
        like = self.like(alloy, thickness_nm=thickness_nm)
        area = sum(one.area_nm2 for one in like)
        return whole_cents(Fraction(sum(one.cents for one in like) * area_nm2, area)) if area else 0

    def of_stack(self, design: layup_design.Design, *, kerf_nm: int = 0) -> Expected:
        """What the blanks of a stack will cost, those of bar with one kerf each."""
        total, unpriced, listed = Fraction(0), [], []
        for layer in design.layers:
            like = self.like(layer.alloy, thickness_nm=layer.thickness_nm)
            area = sum(one.area_nm2 for one in like)
            if area <= 0:
                unpriced.append(layer.alloy)
                continue
            if not self.paid_like(layer.alloy, thickness_nm=layer.thickness_nm):
                listed.append(layer.alloy)
            kerf = kerf_nm if any(one.is_sawn for one in like) else 0
            blank = (stack.cut_length_nm(design) + kerf) * design.blank_width_nm
            total += Fraction(sum(one.cents for one in like) * blank, area)
        named = (tuple(dict.fromkeys(names)) for names in (unpriced, listed))
        return Expected(whole_cents(total), *named)


def is_like(one: PaidFor, alloy: str, thickness_nm: int) -> bool:
    """Whether a price is for an alloy in a thickness."""
    return one.alloy == alloy and is_as_thick(one.thickness_nm, thickness_nm)


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
