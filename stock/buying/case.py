"""What buying is asked: what is short, who sells what, on which terms.

Plain frozen dataclasses that the solver, the alternatives and the pages share. Days are whole
calendar days from today; who counts in working days turns them into these first.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from stock.cutting.plans.plan import OnHand, Rectangle, Wanted
from stock.quantities.money import MoneyError, not_below_zero

NM2_PER_M2 = 10**18
NM2_PER_FT2 = 304_800_000**2


@dataclass(frozen=True)
class SupplierTerms:
    """One supplier: days to deliver, and what an order costs beside the goods."""

    name: str
    days: int
    delivery_cents: int = 0
    free_from_cents: int | None = None  # goods from here on are delivered free
    minimum_cents: int = 0  # no order of less
    working_days: int | None = None  # what it says itself, where it counts working days

    @property
    def said_days(self) -> int:
        """Days as the supplier says them."""
        return self.days if self.working_days is None else self.working_days

    @property
    def counts(self) -> str:
        """Which days it counts."""
        return "calendar" if self.working_days is None else "working"

    def __post_init__(self) -> None:
        not_below_zero(
            days_to_deliver=self.days,
            delivery_charge=self.delivery_cents,
            minimum_order=self.minimum_cents,
            order_for_free_delivery=self.free_from_cents or 0,
        )

    def delivery_of(self, goods_cents: int) -> int:
        """Delivery charge on an order of so much [minor units]; nothing on no order."""
        is_free = self.free_from_cents is not None and goods_cents >= self.free_from_cents
        return 0 if is_free or goods_cents == 0 else self.delivery_cents


@dataclass(frozen=True)
class Break:
    """From so many packs on, all of them cost so much each."""

    from_packs: int
    cents: int

    def __post_init__(self) -> None:
        not_below_zero(price=self.cents)
        if self.from_packs < 1:
            raise MoneyError(
                f"A price holds from {self.from_packs} packs on; give 1 or more.",
                given=self.from_packs,
            )


@dataclass(frozen=True)
class Goods:
    """Something that a supplier sells for one need.

    A bar has a length; a roll a width and a length; a sheet both; wire and counted things have
    only an amount (µg, pieces). A roll sold by the length has the step it is sold in as its
    length. A pack holds `amount` bars, rolls or sheets alike.
    """

    key: str
    supplier: str
    need: str
    form: str  # "bar" | "roll" | "by-length" | "sheet" | "amount"
    prices: tuple[Break, ...]
    length_nm: int = 0
    width_nm: int = 0
    amount: int = 1
    most_packs: int | None = None  # what the supplier has

    def __post_init__(self) -> None:
        if not self.prices:
            raise MoneyError(f"{self.key} has no price; give at least one.", given=self.key)
        if self.amount < 1:
            raise MoneyError(
                f"A pack of {self.key} holds {self.amount}; give 1 or more.", given=self.amount
            )

    @property
    def fewest_packs(self) -> int:
        """The smallest number that has a price."""
        return min(one.from_packs for one in self.prices)

    def cents_for(self, packs: int) -> int | None:
        """Price of so many packs [minor units]; None when none holds for so few."""
        if packs == 0:
            return 0
        held = [one for one in self.prices if one.from_packs <= packs]
        return max(held, key=lambda one: one.from_packs).cents * packs if held else None


@dataclass(frozen=True)
class BarNeed:
    """Pieces of one alloy and section that no bar on hand gives any more."""

    key: str
    label: str
    pieces: tuple[Wanted, ...]
    kerf_nm: int = 0
    on_hand: tuple[OnHand, ...] = ()
    keep_from_nm: int = 0
    days_left: int | None = None  # until it must have arrived; None is any time

    @property
    def is_short(self) -> bool:
        """Whether it asks for anything."""
        return any(piece.count for piece in self.pieces)


@dataclass(frozen=True)
class SheetNeed:
    """Rectangles of one alloy and thickness, from one roll or from sheets of one size."""

    key: str
    label: str
    pieces: tuple[Rectangle, ...]
    days_left: int | None = None

    @property
    def is_short(self) -> bool:
        """Whether it asks for anything."""
        return any(piece.count for piece in self.pieces)


@dataclass(frozen=True)
class AmountNeed:
    """So much wire [µg], so many pieces, or so much of a roll of the right width [nm]."""

    key: str
    label: str
    amount: int
    days_left: int | None = None

    @property
    def is_short(self) -> bool:
        """Whether it asks for anything."""
        return self.amount > 0


Need = BarNeed | SheetNeed | AmountNeed


@dataclass(frozen=True)
class BuyingCase:
    """All that is short at once, so that one delivery can carry more than one thing."""

    needs: tuple[Need, ...]
    goods: tuple[Goods, ...]
    suppliers: tuple[SupplierTerms, ...]

    def __post_init__(self) -> None:
        names = [supplier.name for supplier in self.suppliers]
        needs = [need.key for need in self.needs]
        goods = [one.key for one in self.goods]
        for listed in (names, needs, goods):
            twice = [one for one, count in Counter(listed).items() if count > 1]
            if twice:
                raise MoneyError(f"'{twice[0]}' stands twice; name each once.", given=twice[0])
        known = set(names)
        for one in self.goods:
            if one.supplier not in known:
                raise MoneyError(
                    f"{one.key} is sold by '{one.supplier}', who is not among the suppliers; "
                    "add the supplier first.",
                    given=one.supplier,
                )

    def terms(self, supplier: str) -> SupplierTerms:
        """The terms of one supplier by name."""
        return next(one for one in self.suppliers if one.name == supplier)


@dataclass(frozen=True)
class AreaPrice:
    """What an area costs when bought as these goods, at their dearest and cheapest price."""

    goods: Goods
    cents_per_m2: Fraction
    best_cents_per_m2: Fraction

    @property
    def cents_per_ft2(self) -> Fraction:
        """The same for a square foot."""
        return self.cents_per_m2 * NM2_PER_FT2 / NM2_PER_M2


def area_prices(goods: Sequence[Goods]) -> tuple[AreaPrice, ...]:
    """Roll against sheet: what a square metre costs as each of them.

    Args:
        goods: goods of one need; those without an area are passed over.

    Returns:
        Cheapest first, by the price of the smallest purchase; delivery is not in it.
    """
    priced = []
    for one in goods:
        area_nm2 = one.length_nm * one.width_nm * one.amount
        if area_nm2:
            first = min(one.prices, key=lambda price: price.from_packs).cents
            best = min(price.cents for price in one.prices)
            per_m2 = Fraction(NM2_PER_M2, area_nm2)
            priced.append(AreaPrice(one, first * per_m2, best * per_m2))
    return tuple(sorted(priced, key=lambda area: (area.cents_per_m2, area.goods.key)))


def merged_breaks(goods: Sequence[Goods]) -> tuple[Goods, ...]:
    """Rows of a price list that differ only in their price break, as one goods each.

    Args:
        goods: one row each, in any order.

    Returns:
        The goods in the order in which each stands first, under its first key, with all its
        breaks by number; of two prices for the same number the lower one.
    """
    grouped: dict[tuple[object, ...], list[Goods]] = {}
    for one in goods:
        same = (one.supplier, one.need, one.form, one.length_nm, one.width_nm, one.amount)
        grouped.setdefault(same, []).append(one)
    return tuple(_with_all_breaks(rows) for rows in grouped.values())


def _with_all_breaks(rows: Sequence[Goods]) -> Goods:
    lowest: dict[int, int] = {}
    for row in rows:
        for price in row.prices:
            lowest[price.from_packs] = min(price.cents, lowest.get(price.from_packs, price.cents))
    return replace(rows[0], prices=tuple(Break(*one) for one in sorted(lowest.items())))
