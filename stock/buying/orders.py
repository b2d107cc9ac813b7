"""A purchase as orders: what from whom, what it costs, how it is cut, what it leaves over.

It leaves out how the purchase was found (model.py).
"""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

from stock.buying.case import AmountNeed, BarNeed, BuyingCase, Goods, Need, SheetNeed
from stock.buying.model import Purchase
from stock.buying.sheets import Laid
from stock.cutting.bars import best
from stock.cutting.plans.plan import BarCase, CutBar, OnHand, SheetPlan, remnant_nm

CUTTING_S = 1.0  # for the cut plan of one need once the bars are chosen


@dataclass(frozen=True)
class OrderLine:
    """So many packs of one goods."""

    goods: Goods
    packs: int
    cents: int


@dataclass(frozen=True)
class Order:
    """What is ordered from one supplier."""

    supplier: str
    lines: tuple[OrderLine, ...]
    delivery_cents: int
    days: int

    @property
    def goods_cents(self) -> int:
        """The goods alone [minor units]."""
        return sum(line.cents for line in self.lines)

    @property
    def cents(self) -> int:
        """Goods and delivery [minor units]."""
        return self.goods_cents + self.delivery_cents


@dataclass(frozen=True)
class LeftOver:
    """What a purchase leaves for the next time: bar lengths [nm], or an amount."""

    need: str
    label: str
    lengths_nm: tuple[int, ...] = ()
    amount: int = 0


@dataclass(frozen=True)
class Buying:
    """One way to buy all that can be bought; `days` until the last parcel is there."""

    orders: tuple[Order, ...]
    at_least_cents: int | None
    cuts: Mapping[str, tuple[CutBar, ...]]  # by need
    sheets: Mapping[str, SheetPlan]  # by need
    left_over: tuple[LeftOver, ...]

    @property
    def cents(self) -> int:
        """All orders with their delivery [minor units]."""
        return sum(order.cents for order in self.orders)

    @property
    def days(self) -> int:
        """Days until all of it is there; 0 when nothing has to be bought."""
        return max((order.days for order in self.orders), default=0)

    @property
    def suppliers(self) -> frozenset[str]:
        """Who is ordered from."""
        return frozenset(order.supplier for order in self.orders)

    @property
    def is_proved(self) -> bool:
        """Whether nothing cheaper covers the needs on these terms."""
        return self.at_least_cents is not None and self.at_least_cents >= self.cents


def buying_of(
    case: BuyingCase, purchase: Purchase, laid: Mapping[str, Laid], *, is_final: bool
) -> Buying:
    """A purchase as orders, with what it leaves over.

    Args:
        case: goods and terms.
        purchase: packs by goods, and cuts.
        laid: layouts by goods key.
        is_final: whether the bars are planned again, for the longest remnants.

    Returns:
        Orders by supplier name.
    """
    cuts = {
        need.key: _cuts(need, case, purchase, is_final=is_final)
        for need in case.needs
        if isinstance(need, BarNeed)
    }
    chosen = {
        one.need: laid[one.key].plan
        for one in case.goods
        if one.key in laid and purchase.packs.get(one.key, 0) >= laid[one.key].packs
    }
    return Buying(
        orders=_orders(case, purchase),
        at_least_cents=purchase.at_least_cents,
        cuts=cuts,
        sheets=chosen,
        left_over=_left_over(case, purchase, cuts),
    )


def _orders(case: BuyingCase, purchase: Purchase) -> tuple[Order, ...]:
    orders = []
    for supplier in sorted(case.suppliers, key=lambda one: one.name):
        lines = tuple(
            OrderLine(one, packs, one.cents_for(packs) or 0)
            for one in case.goods
            if one.supplier == supplier.name and (packs := purchase.packs.get(one.key, 0))
        )
        if lines:
            delivery = supplier.delivery_of(sum(line.cents for line in lines))
            orders.append(Order(supplier.name, lines, delivery, supplier.days))
    return tuple(orders)


def _bought_bars(need: Need, case: BuyingCase, purchase: Purchase) -> Counter[int]:
    bought: Counter[int] = Counter()
    for one in case.goods:
        if one.need == need.key and purchase.packs.get(one.key):
            bought[one.length_nm] += one.amount * purchase.packs[one.key]
    return bought


def _cuts(
    need: BarNeed, case: BuyingCase, purchase: Purchase, *, is_final: bool
) -> tuple[CutBar, ...]:
    bought = _bought_bars(need, case, purchase)
    if is_final:
        plan = best.solve(
            BarCase(
                name=need.label,
                kerf_nm=need.kerf_nm,
                keep_from_nm=need.keep_from_nm,
                reference_nm=0,
                on_hand=need.on_hand + tuple(OnHand(nm, n) for nm, n in sorted(bought.items())),
                offers=(),
                pieces=need.pieces,
            ),
            limit_s=CUTTING_S,
        )
        if not plan.short:
            return plan.bars
    return tuple(CutBar("on_hand", nm, cuts) for nm, cuts in purchase.cuts[need.key] if cuts)


def _left_over(
    case: BuyingCase, purchase: Purchase, cuts: Mapping[str, tuple[CutBar, ...]]
) -> tuple[LeftOver, ...]:
    found = []
    for need in case.needs:
        match need:
            case BarNeed():
                bought = _bought_bars(need, case, purchase)
                lengths = _left_lengths(need, bought, cuts[need.key])
                found.append(LeftOver(need.key, need.label, lengths_nm=lengths))
            case AmountNeed():
                amount = sum(
                    one.amount * purchase.packs.get(one.key, 0)
                    for one in case.goods
                    if one.need == need.key
                )
                found.append(LeftOver(need.key, need.label, amount=amount - need.amount))
            case SheetNeed():
                pass  # the layout itself says what is left of a roll or a sheet
    return tuple(found)


def _left_lengths(need: BarNeed, bought: Counter[int], cuts: tuple[CutBar, ...]) -> tuple[int, ...]:
    there = Counter(bought)
    for bar in need.on_hand:
        there[bar.length_nm] += bar.count
    there.subtract(bar.length_nm for bar in cuts)
    uncut = Counter({nm: min(count, bought[nm]) for nm, count in there.items()})
    remnants = [
        remnant_nm(length_nm=bar.length_nm, cuts=bar.cuts, kerf_nm=need.kerf_nm) for bar in cuts
    ]
    kept = [nm for nm in remnants if nm >= max(need.keep_from_nm, 1)]
    return tuple(sorted((*kept, *uncut.elements()), reverse=True))
