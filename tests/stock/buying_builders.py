"""Invented suppliers, goods and needs for the tests of buying."""

from stock.buying_case import BarNeed, Break, Goods, SupplierTerms
from stock.cutting.plan import Wanted

MM = 1_000_000
ALDER = SupplierTerms("Alder Metals", days=5, delivery_cents=1_500)
BIRCH = SupplierTerms("Birch Supply", days=3, delivery_cents=900)


def make_bar(key, *, cents, length_nm, supplier="Alder Metals", need="steel", **more):
    return Goods(key, supplier, need, "bar", (Break(1, cents),), length_nm=length_nm, **more)


def make_wire(key, *, cents, amount, supplier="Alder Metals", prices=(), **more):
    prices = prices or (Break(1, cents),)
    return Goods(key, supplier, "wire", "amount", prices, amount=amount, **more)


def make_steel(*pieces, **more):
    return BarNeed("steel", "core steel", tuple(Wanted(*piece) for piece in pieces), **more)


def packs_of(buying):
    return {line.goods.key: line.packs for order in buying.orders for line in order.lines}
