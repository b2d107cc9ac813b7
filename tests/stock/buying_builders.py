"""Invented suppliers, goods and needs for the tests of buying."""

from typing import Any

from stock.buying.best import Bought, buy
from stock.buying.case import BarNeed, Break, BuyingCase, Goods, SupplierTerms
from stock.buying.orders import Buying
from stock.cutting.plans.plan import Wanted

MM = 1_000_000
ALDER = SupplierTerms("Alder Metals", days=5, delivery_cents=1_500)
BIRCH = SupplierTerms("Birch Supply", days=3, delivery_cents=900)


def make_bar(
    key: str,
    *,
    cents: int,
    length_nm: int,
    supplier: str = "Alder Metals",
    need: str = "steel",
    amount: int = 1,
) -> Goods:
    """Bars of one length at one price."""
    prices = (Break(1, cents),)
    return Goods(key, supplier, need, "bar", prices, length_nm=length_nm, amount=amount)


def make_wire(
    key: str,
    *,
    cents: int,
    amount: int,
    supplier: str = "Alder Metals",
    prices: tuple[Break, ...] = (),
    most_packs: int | None = None,
) -> Goods:
    """Spools of wire."""
    priced = prices or (Break(1, cents),)
    return Goods(key, supplier, "wire", "amount", priced, amount=amount, most_packs=most_packs)


def make_steel(*pieces: tuple[int, int], **more: Any) -> BarNeed:
    """Pieces of steel that are short: length [nm] and count each."""
    return BarNeed("steel", "core steel", tuple(Wanted(*piece) for piece in pieces), **more)


def best_of(case: BuyingCase) -> Buying:
    """The cheapest purchase, which there must be."""
    return the_best(buy(case))


def the_best(bought: Bought) -> Buying:
    """The cheapest purchase of an answer, which there must be."""
    assert bought.best is not None
    return bought.best


def packs_of(buying: Buying) -> dict[str, int]:
    """Packs by goods."""
    return {line.goods.key: line.packs for order in buying.orders for line in order.lines}
