"""Made-up buying cases that a seed makes again, and what buying by eye pays for them.

All figures are invented. It leaves out solving and showing (the `bench` command).
"""

import random

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
from stock.buying.model import total_cents
from stock.buying.sheets import laid_on
from stock.cutting.bars.first_packing import first_fit_decreasing
from stock.cutting.plans.plan import BarCase, Offer, OnHand, Rectangle, SheetCase, SheetPlan, Wanted

INCH = 25_400_000
KERF_NM = 1_100_000
NAMES = ("Aldershot Bar", "Birchgate Metals", "Cressing Supply")
BAR_LENGTHS_IN = (24, 36, 48, 72, 96)
EVERY_SHEET = 3  # every third case has copper as well
QUICK_S = 0.3


def made_cases(count: int, *, seed: int) -> list[tuple[str, BuyingCase]]:
    """Cases of the size that a shop with two or three classes to come has.

    Args:
        count: how many, 0 or more.
        seed: the same seed makes the same cases.

    Returns:
        Each with its name: two to four sections of bar, wire, belts, sometimes copper, from
        three suppliers with deliveries, minimum orders and price breaks.
    """
    return [
        (f"buying-{seed}-{number}", _case(random.Random(f"{seed} {number}"), number))
        for number in range(count)
    ]


def _case(dice: random.Random, number: int) -> BuyingCase:
    suppliers = tuple(
        SupplierTerms(
            name,
            days=dice.randint(2, 12),
            delivery_cents=100 * dice.randint(6, 40),
            free_from_cents=dice.choice((None, 20_000, 40_000)),
            minimum_cents=dice.choice((0, 0, 4_000)),
        )
        for name in NAMES
    )
    needs: list[Need] = []
    goods: list[Goods] = []
    for section in range(dice.randint(2, 4)):
        need = _bars(dice, f"bar-{section}")
        needs.append(need)
        goods += _bar_goods(dice, need.key)
    needs += [
        AmountNeed("wire", "wire", dice.randint(500, 9_000)),
        AmountNeed("belts", "belts", dice.randint(5, 60)),
    ]
    goods += [*_packs(dice, "wire", 5_000, 4_600), *_packs(dice, "belts", 10, 5_500)]
    if number % EVERY_SHEET == 0:
        needs.append(
            SheetNeed(
                "copper", "copper", (Rectangle(INCH * 5 // 4, INCH * 6, dice.randint(8, 48)),)
            )
        )
        goods += _copper(dice)
    return BuyingCase(tuple(needs), tuple(goods), suppliers)


def _bars(dice: random.Random, key: str) -> BarNeed:
    lengths = sorted({INCH * dice.randint(16, 48) // 4 for _ in range(dice.randint(1, 3))})
    on_hand = tuple(
        OnHand(INCH * dice.randint(10, 40), dice.randint(1, 2)) for _ in range(dice.randint(0, 2))
    )
    pieces = tuple(Wanted(nm, dice.randint(4, 16)) for nm in lengths)
    return BarNeed(key, key, pieces, KERF_NM, on_hand, 2 * INCH)


def _bar_goods(dice: random.Random, key: str) -> list[Goods]:
    cents_a_foot = dice.randint(180, 900)
    found = []
    for name in NAMES:
        for inches in dice.sample(BAR_LENGTHS_IN, dice.randint(1, 3)):
            cents = cents_a_foot * inches * dice.randint(85, 125) // 1_200
            breaks = [Break(1, cents)]
            if dice.random() < 0.4:
                breaks.append(Break(4, cents * 9 // 10))
            found.append(
                Goods(
                    f"{key}/{name}/{inches}",
                    name,
                    key,
                    "bar",
                    tuple(breaks),
                    length_nm=INCH * inches,
                )
            )
    return found


def _packs(dice: random.Random, key: str, amount: int, cents: int) -> list[Goods]:
    found = []
    for name in dice.sample(NAMES, 2):
        price = cents * dice.randint(85, 120) // 100
        breaks = (Break(1, price), Break(3, price * 93 // 100))
        found.append(Goods(f"{key}/{name}", name, key, "amount", breaks, amount=amount))
    return found


def _copper(dice: random.Random) -> list[Goods]:
    roll = dice.randint(150, 200) * 100
    sheet = dice.randint(36, 46) * 100
    return [
        Goods(
            "roll",
            NAMES[0],
            "copper",
            "roll",
            (Break(1, roll),),
            width_nm=12 * INCH,
            length_nm=120 * INCH,
        ),
        Goods(
            "sheet",
            NAMES[1],
            "copper",
            "sheet",
            (Break(1, sheet),),
            width_nm=12 * INCH,
            length_nm=24 * INCH,
        ),
    ]


def by_eye_cents(case: BuyingCase) -> int:
    """What is paid when each thing is bought where it alone is cheapest, delivery forgotten.

    Args:
        case: needs, goods and terms; every need has goods that serve it.

    Returns:
        Minor units, with the deliveries that this then costs; an order under a supplier's
        minimum has packs of its cheapest line added until it is not. Bars are cut by first-fit
        decreasing from one length.

    Source:
        Common practice.
    """
    packs: dict[str, int] = {}
    for need in case.needs:
        offered = [
            (one.cents_for(count) or 0, one.key, count)
            for one in case.goods
            if one.need == need.key and (count := _packs_by_eye(need, one)) is not None
        ]
        _, key, count = min(offered)
        if count:
            packs[key] = count
    _top_up(case, packs)
    return total_cents(case, packs)


def _packs_by_eye(need: Need, goods: Goods) -> int | None:
    match need:
        case BarNeed():
            plan = first_fit_decreasing(
                BarCase(
                    need.label,
                    need.kerf_nm,
                    need.keep_from_nm,
                    0,
                    need.on_hand,
                    (Offer(goods.length_nm, 1),),
                    need.pieces,
                )
            )
            return None if plan.short else plan.spent_cents
        case SheetNeed():
            laid = laid_on(goods, need, lay=_quick_layout)
            return laid.packs if laid else None
        case AmountNeed():
            return -(-need.amount // goods.amount)


def _quick_layout(case: SheetCase) -> SheetPlan:
    from stock.cutting.sheets import best

    return best.solve(case, limit_s=QUICK_S)


def _top_up(case: BuyingCase, packs: dict[str, int]) -> None:
    for terms in case.suppliers:
        mine = [one for one in case.goods if one.supplier == terms.name and packs.get(one.key)]
        if not mine:
            continue
        least = min(mine, key=lambda one: one.cents_for(packs[one.key]) or 0)
        while sum(one.cents_for(packs[one.key]) or 0 for one in mine) < terms.minimum_cents:
            packs[least.key] += 1
