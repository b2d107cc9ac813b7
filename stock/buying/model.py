"""Buying as a whole-number programme: goods, price breaks, delivery, and the cutting of bars.

Solved together, since the cheapest bars depend on how they are cut and on which supplier is
paid for delivery anyway. It leaves out what is said about the answer (best.py) and how
sheets are laid out: for these it is told how many packs cover the need.
"""

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field

from stock.buying.bars import AllWays, Cuts, Dish, FromMenu, add_all_ways, add_menu
from stock.buying.case import (
    AmountNeed,
    BarNeed,
    Break,
    BuyingCase,
    Goods,
    Need,
    SheetNeed,
    SupplierTerms,
)
from stock.buying.programme import Programme, Solution

SUPPLIER_WEIGHT = 1_000  # among equal costs: fewer suppliers first, then fewer days


@dataclass(frozen=True)
class Prepared:
    """What is worked out once for a case, by the cut planners.

    `sheet_packs` says for goods of a sheet need how many packs of it alone cover the need;
    goods that are missing cannot. `menus` has the ways to buy the bars of a need that are
    chosen among; for a need that is missing all ways to cut are weighed.
    """

    sheet_packs: Mapping[str, int] = field(default_factory=dict)  # by goods
    menus: Mapping[str, tuple[Dish, ...]] = field(default_factory=dict)  # by need


@dataclass(frozen=True)
class Purchase:
    """Packs by goods key, and how the bars are cut: length and pieces of each bar [nm]."""

    packs: Mapping[str, int]
    cuts: Mapping[str, Cuts]  # by need
    cents: int
    at_least_cents: int | None  # None when a menu leaves it unknown

    @property
    def is_proved(self) -> bool:
        """Whether nothing cheaper covers the needs on these terms."""
        return self.at_least_cents is not None and self.at_least_cents >= self.cents


@dataclass
class _Model:
    programme: Programme = field(default_factory=Programme)
    packs: dict[str, list[int]] = field(default_factory=dict)  # goods -> columns, one a break
    used: dict[str, int] = field(default_factory=dict)  # supplier -> column
    cutting: dict[str, AllWays | FromMenu] = field(default_factory=dict)  # by need


def cheapest(
    case: BuyingCase,
    *,
    prepared: Prepared,
    not_these: Collection[frozenset[str]] = (),
    seconds: float,
) -> Purchase | None:
    """The cheapest purchase that covers every need of the case.

    Args:
        case: needs, goods and terms; every need must be coverable, or there is no answer.
        prepared: layouts and menus; every bar need without a menu must have a graph of at
            most MOST_ARCS cuts (see bars.py).
        not_these: sets of suppliers that are not wanted again.
        seconds: time for each of at most two solves, above 0.

    Returns:
        What to buy, rechecked in whole numbers; None when nothing covers the needs.
    """
    model = _built(case, prepared)
    for suppliers in not_these:
        _forbid(model, suppliers)
    first = model.programme.solve(seconds=seconds)
    if first is None:
        return None
    best = _with_fewer_suppliers(case, model, first, seconds)
    return _purchase(case, model, best, first.at_least)


def _built(case: BuyingCase, prepared: Prepared) -> _Model:
    model = _Model()
    sheet_packs = prepared.sheet_packs
    needs = {need.key: need for need in case.needs}
    for supplier in case.suppliers:
        goods = [one for one in case.goods if one.supplier == supplier.name and one.need in needs]
        if goods:
            _add_supplier(model, supplier, goods, needs, sheet_packs)
    for need in case.needs:
        goods = [one for one in case.goods if one.need == need.key]
        match need:
            case BarNeed() if need.key in prepared.menus:
                model.cutting[need.key] = add_menu(
                    model.programme, prepared.menus[need.key], goods=goods, packs=model.packs
                )
            case BarNeed():
                model.cutting[need.key] = add_all_ways(
                    model.programme, need, goods=goods, packs=model.packs
                )
            case SheetNeed():
                _cover_sheets(model, goods, sheet_packs)
            case AmountNeed():
                weights = {
                    column: one.amount for one in goods for column in model.packs.get(one.key, ())
                }
                model.programme.row(weights, low=need.amount)
    return model


def _add_supplier(
    model: _Model,
    supplier: SupplierTerms,
    goods: list[Goods],
    needs: Mapping[str, Need],
    sheet_packs: Mapping[str, int],
) -> None:
    programme = model.programme
    used = programme.column(cost=supplier.delivery_cents, high=1)
    model.used[supplier.name] = used
    subtotal: dict[int, int] = {}
    for one in goods:
        most = _most_packs(one, supplier, _packs_alone(one, needs[one.need], sheet_packs))
        subtotal |= _add_goods(model, one, most, used)
    programme.row(subtotal | {used: -supplier.minimum_cents}, low=0)
    programme.row({**dict.fromkeys(subtotal, 1), used: -1}, low=0)  # no supplier for nothing
    if supplier.free_from_cents is not None and supplier.delivery_cents:
        free = programme.column(cost=-supplier.delivery_cents, high=1)
        programme.row({used: 1, free: -1}, low=0)
        programme.row(subtotal | {free: -supplier.free_from_cents}, low=0)


def _add_goods(model: _Model, goods: Goods, most: int, used: int) -> dict[int, int]:
    # one column a price break, and a switch that lets only one of them be bought at
    programme = model.programme
    columns: dict[int, int] = {}
    switches: dict[int, int] = {}
    for price, upto in _tiers(goods, most):
        packs = programme.column(cost=price.cents, high=upto)
        switch = programme.column(high=1)
        programme.row({packs: 1, switch: -price.from_packs}, low=0)
        programme.row({packs: 1, switch: -upto}, high=0)
        columns[packs] = price.cents
        switches[switch] = 1
    model.packs[goods.key] = list(columns)
    programme.row(switches | {used: -1}, high=0)
    return columns


def _tiers(goods: Goods, most: int) -> list[tuple[Break, int]]:
    steps = sorted(goods.prices, key=lambda price: price.from_packs)
    ends = [*(step.from_packs - 1 for step in steps[1:]), most]
    return [
        (step, min(end, most))
        for step, end in zip(steps, ends, strict=True)
        if step.from_packs <= min(end, most)
    ]


def _packs_alone(goods: Goods, need: Need, sheet_packs: Mapping[str, int]) -> int:
    match need:
        case BarNeed():
            return -(-sum(piece.count for piece in need.pieces) // goods.amount)
        case SheetNeed():
            return sheet_packs.get(goods.key, 0)
        case AmountNeed():
            return -(-need.amount // goods.amount)


def _most_packs(goods: Goods, supplier: SupplierTerms, packs_alone: int) -> int:
    # more than the need may be worth it: for a price break, a minimum order, free delivery
    breaks = max(price.from_packs for price in goods.prices)
    worth_cents = max(supplier.free_from_cents or 0, supplier.minimum_cents)
    cheapest_cents = min(price.cents for price in goods.prices)
    topping_up = -(-worth_cents // cheapest_cents) if cheapest_cents else 0
    most = max(packs_alone, breaks, topping_up)
    return most if goods.most_packs is None else min(most, goods.most_packs)


def _cover_sheets(model: _Model, goods: list[Goods], sheet_packs: Mapping[str, int]) -> None:
    programme = model.programme
    chosen: dict[int, int] = {}
    for one in goods:
        needed = sheet_packs.get(one.key)
        if needed is not None:
            choice = programme.column(high=1)
            columns = dict.fromkeys(model.packs.get(one.key, ()), 1)
            programme.row({**columns, choice: -needed}, low=0)
            chosen[choice] = 1
    programme.row(chosen, low=1)


def _forbid(model: _Model, suppliers: frozenset[str]) -> None:
    weights = {column: -1 if name in suppliers else 1 for name, column in model.used.items()}
    model.programme.row(weights, low=1 - len(suppliers & model.used.keys()))


def _with_fewer_suppliers(
    case: BuyingCase, model: _Model, first: Solution, seconds: float
) -> Solution:
    if len(model.used) == 1:
        return first
    programme = model.programme
    weights = {column: cost for column, cost in enumerate(programme.costs) if cost}
    costs = [0] * len(programme.costs)
    for name, column in model.used.items():
        costs[column] = SUPPLIER_WEIGHT + case.terms(name).days
    again = Programme(costs, programme.limits, [*programme.rows])
    again.row(weights, high=first.cost)
    found = again.solve(seconds=seconds)
    return first if found is None else found


def _purchase(
    case: BuyingCase, model: _Model, solution: Solution, at_least: int
) -> Purchase | None:
    values = solution.values
    packs = {key: sum(values[column] for column in columns) for key, columns in model.packs.items()}
    packs = {key: count for key, count in packs.items() if count}
    cents = total_cents(case, packs)
    has_menu = any(isinstance(one, FromMenu) for one in model.cutting.values())
    return Purchase(
        packs=packs,
        cuts={key: one.cuts(values) for key, one in model.cutting.items()},
        cents=cents,
        at_least_cents=None if has_menu else min(at_least, cents),
    )


def total_cents(case: BuyingCase, packs: Mapping[str, int]) -> int:
    """What a purchase costs, with delivery, reckoned from the prices alone.

    Args:
        case: goods and terms.
        packs: packs by goods key; each number must have a price.

    Returns:
        Minor units.

    Raises:
        ValueError: no price holds for so few packs, the supplier has fewer, or an order is
            under its minimum.
    """
    by_supplier: dict[str, int] = {}
    for one in case.goods:
        count = packs.get(one.key, 0)
        cents = one.cents_for(count)
        if cents is None or (one.most_packs is not None and count > one.most_packs):
            raise ValueError(f"{count} packs of {one.key} cannot be bought")
        if count:
            by_supplier[one.supplier] = by_supplier.get(one.supplier, 0) + cents
    total = 0
    for name, cents in by_supplier.items():
        terms = case.terms(name)
        if cents < terms.minimum_cents:
            raise ValueError(f"an order of {cents} from {name} is under its minimum")
        total += cents + terms.delivery_of(cents)
    return total
