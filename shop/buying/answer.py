"""The solver's answer as a list that people read: lacks, ways to buy, what is left. Pure."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from datetime import date, timedelta

from shop.buying.case import Lack, Question, coarse, offers_for, terms_of
from shop.buying.facts import Asked
from shop.buying.list import (
    BEST,
    AreaLine,
    BuyLine,
    BuyOrder,
    CutLine,
    LackLine,
    Leftover,
    Seller,
    ShoppingList,
    Size,
    Way,
    WhyLine,
)
from shop.calendar.opening import last_order_day, pace
from shop.planning.cut_plan import is_worth_keeping
from stock.buying.case import area_prices
from stock.buying.orders import Buying, Order
from stock.buying.worker import Answer
from stock.cutting.plans.plan import SheetPlan


def shopping_list(asked: Asked, put: Question, answer: Answer | None) -> ShoppingList:
    """All that a look found.

    Args:
        asked: the facts.
        put: what buying was asked.
        answer: what it answered; None when nothing was short.

    Returns:
        What is short, the ways to buy it with the cheapest first, and what that one leaves.
    """
    if answer is None:
        return ShoppingList(made_on=asked.today.isoformat(), kerf_nm=asked.kerf_nm)
    uncovered = {one.need: one.sentence for one in answer.bought.uncovered}
    best = answer.bought.best
    is_bought = best is not None and bool(best.orders)
    return ShoppingList(
        made_on=asked.today.isoformat(),
        lacks=tuple(lack_line(asked, lack, uncovered.get(lack.key, "")) for lack in put.lacks),
        ways=ways(asked, put, answer) if is_bought else (),
        at_least_cents=best.at_least_cents if best else None,
        is_cut_short=not answer.is_final,
        kerf_nm=asked.kerf_nm,
        cuts=tuple(one for lack in put.lacks for one in cut_lines(lack, best)) if best else (),
        leftovers=tuple(leftovers(asked, put, best)) if best else (),
        areas=tuple(area_lines(asked, put)),
    )


def lack_line(asked: Asked, lack: Lack, uncovered: str) -> LackLine:
    """One thing that is short."""
    day = lack.deadline.day
    facts = LackLine(
        key=lack.key,
        label=lack.label,
        form=lack.form,
        by_day=day.isoformat() if day else "",
        is_tight=lack.deadline.is_tight,
        sellers=tuple(sellers(asked, lack, day)),
        uncovered=uncovered,
    )
    if lack.group is not None:
        group = lack.group
        sizes = Counter((one.need.width_nm, one.need.length_nm) for one in group.waiting)
        return replace(
            facts,
            why=tuple(why_lines(asked, lack)),
            sizes=tuple(Size(*size, count) for size, count in sorted(sizes.items())),
            bars_there=len(group.bars),
        )
    low = lack.reorder
    assert low is not None
    assert lack.stocked is not None
    return replace(
        facts,
        amount=low.missing,
        level=lack.stocked.level,
        left=low.left,
        falls_on=low.day.isoformat(),
        falls_for=low.why,
    )


def why_lines(asked: Asked, lack: Lack) -> list[WhyLine]:
    """The classes that are short of it, soonest first."""
    assert lack.group is not None
    short = Counter(one.class_id for one in lack.group.waiting)
    wanted = Counter(one.class_id for one in lack.group.group.needs)
    classes = sorted((asked.class_of(pk) for pk in short), key=lambda one: one.starts_on)
    return [
        WhyLine(
            one.class_id,
            one.title,
            one.starts_on.isoformat(),
            short[one.class_id],
            wanted[one.class_id],
        )
        for one in classes
    ]


def sellers(asked: Asked, lack: Lack, day: date | None) -> list[Seller]:
    """Who sells it, fastest first, each with the last day to order."""
    found = []
    for name in dict.fromkeys(one.supplier for one in offers_for(asked, lack)):
        terms = terms_of(asked, name)
        said, counts = terms.said_days, terms.counts
        last = last_order_day(day, days=said, counts=counts).isoformat() if day else ""
        found.append(Seller(name, said, last, counts))
    return sorted(found, key=lambda one: (pace(one.days, counts=one.counts), one.supplier))


def ways(asked: Asked, put: Question, answer: Answer) -> tuple[Way, ...]:
    """The cheapest way and the runners-up."""
    best = answer.bought.best
    assert best is not None
    first = Way(BEST, "", 0, 0, orders_of(asked, put, best))
    others = [
        Way(
            one.kind,
            one.sentence,
            one.dearer_cents,
            one.days_sooner,
            orders_of(asked, put, one.buying),
        )
        for one in answer.choices
    ]
    return (first, *others)


def orders_of(asked: Asked, put: Question, buying: Buying) -> tuple[BuyOrder, ...]:
    """One way's orders, a supplier each."""
    return tuple(
        BuyOrder(
            supplier=order.supplier,
            days=order.days,
            arrives_on=(asked.today + timedelta(days=order.days)).isoformat(),
            working_days=terms_of(asked, order.supplier).working_days,
            goods_cents=order.goods_cents,
            delivery_cents=order.delivery_cents,
            lines=lines_of(put, order),
        )
        for order in buying.orders
    )


def lines_of(put: Question, order: Order) -> tuple[BuyLine, ...]:
    """The lines of one order, in the terms of the price list."""
    lines = []
    for line in order.lines:
        offer = put.offers[line.goods.key]
        is_one = offer.is_by_length  # cut to order: one roll of so many steps
        lines.append(
            BuyLine(
                lack=line.goods.need,
                label=offer.title,
                offer_id=offer.offer_id,
                material_id=offer.material_id,
                form=offer.form,
                packs=1 if is_one else line.packs,
                per_pack=1 if is_one else offer.count,
                length_nm=offer.length_nm * (line.packs if is_one else 1),
                width_nm=offer.width_nm if offer.form == "sheet" else 0,
                mass_ug=offer.mass_ug,
                cents=line.cents,
            )
        )
    return tuple(lines)


def cut_lines(lack: Lack, best: Buying) -> list[CutLine]:
    """How the bars of one lack are cut; what is on the rack is told from what is bought."""
    if lack.group is None or lack.key not in best.cuts:
        return []
    there = Counter(bar.length_nm for bar in lack.group.bars)
    alike: Counter[tuple[int, tuple[int, ...], bool]] = Counter()
    for bar in best.cuts[lack.key]:
        if not bar.cuts:
            continue
        is_bought = there[bar.length_nm] <= 0
        there[bar.length_nm] -= 1
        alike[bar.length_nm, tuple(sorted(bar.cuts, reverse=True)), is_bought] += 1
    return [
        CutLine(lack.key, length_nm, cuts, count, is_bought)
        for (length_nm, cuts, is_bought), count in sorted(alike.items(), reverse=True)
    ]


def leftovers(asked: Asked, put: Question, best: Buying) -> list[Leftover]:
    """What the cheapest way leaves, where it leaves anything."""
    by_key = {lack.key: lack for lack in put.lacks}
    found = []
    for left in best.left_over:
        lack = by_key[left.need]
        # what the level itself asks for stays on the rack too: only what is beyond it is told
        amount = left.amount * coarse(lack.form) if lack.group is None else 0
        found.append(Leftover(left.label, lack.form, left.lengths_nm, (), amount))
    for key, plan in best.sheets.items():
        lack = by_key[key]
        found.append(
            Leftover(lack.label, "sheet", areas=tuple(areas_left(asked, put, best, plan, key)))
        )
    return [one for one in found if one.lengths_nm or one.areas or one.amount]


def areas_left(asked: Asked, put: Question, best: Buying, plan: SheetPlan, key: str) -> list[Size]:
    """Rectangles worth keeping, what is left on the roll, and sheets that stay whole."""
    sizes: Counter[tuple[int, int]] = Counter()
    for one in plan.left:
        if is_worth_keeping(one, keep_from_nm=asked.keep_from_nm):
            sizes[one.width_nm, one.length_nm] += 1
    for order in best.orders:
        for line in order.lines:
            if line.goods.need != key:
                continue
            goods, pieces = line.goods, line.packs * line.goods.amount
            used = {one.sheet for one in plan.placed if one.source == "sheet"}
            if goods.form == "by-length":
                left_nm = line.packs * goods.length_nm - plan.roll_length_nm
                sizes[goods.width_nm, left_nm] += 1
                continue
            if plan.roll_length_nm:
                sizes[goods.width_nm, goods.length_nm - plan.roll_length_nm] += 1
                pieces -= 1
            sizes[goods.width_nm, goods.length_nm] += max(0, pieces - len(used))
    return [
        Size(width, length, count)
        for (width, length), count in sorted(sizes.items(), reverse=True)
        if count > 0 and length > 0
    ]


def area_lines(asked: Asked, put: Question) -> list[AreaLine]:
    """Roll against sheet, where both or several could serve."""
    found = []
    for lack in put.lacks:
        if lack.form != "sheet" or lack.group is None:
            continue
        goods = [one for one in put.case.goods if one.need == lack.key]
        for one in area_prices(goods):
            offer = put.offers[one.goods.key]
            found.append(
                AreaLine(
                    lack.label,
                    offer.supplier,
                    offer.title,
                    offer.form,
                    offer.width_nm,
                    0 if offer.is_by_length else offer.length_nm,
                    round(one.cents_per_m2),
                    round(one.cents_per_ft2),
                )
            )
    return found
