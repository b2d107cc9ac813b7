"""What metal will cost by what was paid for it: an average over all that came in. Pure.

By alloy and thickness, for each area, so that bar, roll and sheet are told alike; where nothing
came in yet, the cheapest offer of the suppliers, without delivery. `shop.billet_cost.metal_prices`
reads it.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from billets.layup import design as layup_design
from billets.layup import stack
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
