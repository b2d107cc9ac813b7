"""Reads what a knife cost, line by line, and what to ask for it or what it brought."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from django.utils import timezone

from billets.layup.case import case_of
from billets.layup.work_time import whole_seconds
from billets.models import Billet
from shop.billet_cost.planned import planned_heats
from shop.billet_cost.reading import real_lines
from shop.costing.billet import joined
from shop.costing.knife import (
    BladeShares,
    Floor,
    Kept,
    KnifeWork,
    earned_cents_per_hour,
    knife_lines,
    length_of,
    price_floor,
    shares_beside_sold,
    sold,
)
from shop.costing.lines import Line, Step, hours_lines, power_line, total_cents, worked_seconds
from shop.costing.pricing import Charges, Priced, price_at_margin
from shop.costing.rate_values import ShopRates
from shop.knives.share import OfBillet, of_billet
from shop.models import Knife, KnifeStep, KnifeTime, ShopSettings
from shop.rates import writing as rates
from shop.rates.writing import History, day_of
from stock import clock
from stock.house import House
from stock.models import CUT_FORMS, Entry, alloy_book
from stock.quantities.money import MoneyError

AT_THE_GRINDER = (KnifeStep.GRIND, KnifeStep.FINISH)
ORDER = ("blade", "parts", "services", "power", "consumables", "labour", "overhead")
STEPS = [str(step.label).capitalize() for step in KnifeStep]


@dataclass(frozen=True)
class PricedHours:
    """Hours at a knife with what they cost: labour by step, overhead, power of the grinder."""

    steps: tuple[Step, ...]
    lines: tuple[Line, ...]


def standing_times(knife: Knife) -> list[KnifeTime]:
    """Hours at a knife that were not struck."""
    rows = knife.times.select_related("person")
    return [time for time in rows if time.struck_at is None]


def struck_times(knife: Knife) -> list[KnifeTime]:
    """Hours at a knife that were struck, the latest first."""
    rows = knife.times.exclude(struck_at=None).select_related("person", "struck_by")
    return list(rows.order_by("-struck_at", "-id"))


def seconds_of(time: KnifeTime) -> int:
    """How long a line is; a running one up to now [s]."""
    return whole_seconds(time.started_at, ended=time.stopped_at or clock.now())


def steps_of(times: Sequence[KnifeTime], *, shop: ShopRates) -> tuple[Step, ...]:
    """Hours by step and person, each at their own rate."""
    sums: dict[tuple[str, int], int] = defaultdict(int)
    for time in times:
        sums[time.step, time.person_id] += seconds_of(time)
    order = {step: place for place, step in enumerate(KnifeStep.values)}
    return tuple(
        Step(str(KnifeStep(step).label).capitalize(), seconds, shop.labour_of(person))
        for (step, person), seconds in sorted(sums.items(), key=lambda one: order[one[0][0]])
    )


def priced_hours(times: Sequence[KnifeTime], *, history: History) -> PricedHours:
    """The hours of each sheet of rates by that sheet; a day before the first counts as nothing."""
    by_sheet: dict[date | None, list[KnifeTime]] = defaultdict(list)
    for time in times:
        day = timezone.localdate(time.stopped_at or clock.now())
        by_sheet[history.begun_on(day)].append(time)
    steps: list[Step] = []
    lines: list[Line] = []
    for begun, rows in by_sheet.items():
        shop = (history.on_or_none(begun) if begun else None) or ShopRates()
        at_sheet = steps_of(rows, shop=shop)
        ground = sum(seconds_of(time) for time in rows if time.step in AT_THE_GRINDER)
        steps += at_sheet
        lines.append(power_line(shop.runs({"grinder": ground}), rates=shop.rates))
        lines += hours_lines(at_sheet, rates=shop.rates)
    return PricedHours(tuple(steps), tuple(line for line in lines if line.cents))


def in_order(lines: Sequence[Line]) -> tuple[Line, ...]:
    """Lines of a knife as they are shown, those of one name as one; the sum stays."""
    return tuple(sorted(joined(lines), key=place_of))


def place_of(line: Line) -> tuple[int, int]:
    """Where a line belongs: by its kind, and labour by its step."""
    step = STEPS.index(line.label) if line.key == "labour" and line.label in STEPS else 0
    return ORDER.index(line.key), step


@dataclass(frozen=True)
class KnifeCost:
    """Everything about the money of one knife."""

    lines: tuple[Line, ...]
    seconds: int
    asked: Priced | None
    floor: Floor | None
    refused: str  # why there is no price
    brought: Priced | None
    earned_cents_per_hour: int | None
    shop: ShopRates
    rest_cents: int = 0  # what the unused rest of its billet carries
    rest_nm: int = 0

    @property
    def cents(self) -> int:
        """All of it [minor units]."""
        return total_cents(self.lines)

    @property
    def missing_cents(self) -> int:
        """What the sold knives of its billet carry above what that costs by now [minor units]."""
        return max(0, -self.rest_cents)

    @property
    def asked_with_tax_cents(self) -> int:
        """The price with its tax [minor units]."""
        return self.shop.charges.with_tax_cents(self.asked.price_cents) if self.asked else 0


@dataclass(frozen=True)
class BladeMoney:
    """What a blade carries, and what the unused rest of its billet does."""

    cents: int
    rest_cents: int = 0
    rest_nm: int = 0


def blade_cents(knife: Knife, *, history: History, house: House) -> int:
    """The blade's share of its billet's real cost, or the bar that was cut for it."""
    return blade_money(knife, history=history, house=house).cents


def blade_money(
    knife: Knife, *, history: History, house: House, with_rest: bool = True
) -> BladeMoney:
    """The same, with what is left in the billet if that is asked for."""
    cut = 0
    rows = Entry.objects.filter(job=knife.job, piece__material__form__in=CUT_FORMS)
    cut -= sum(rows.values_list("value_cents", flat=True))
    if knife.billet is None:
        return BladeMoney(max(0, cut))
    if knife.sold_share_cents is not None and not with_rest:
        return BladeMoney(max(0, cut) + knife.sold_share_cents)
    shared = of_billet(knife.billet)
    shares = shares_of(knife.billet, shared, history=history, house=house)
    own = shares.cents[shared.place(knife)]
    return BladeMoney(max(0, cut) + own, shares.rest_cents, shares.rest_nm)


def shares_of(billet: Billet, shared: OfBillet, *, history: History, house: House) -> BladeShares:
    """What each blade of a billet carries of its real cost."""
    shop = history.on_or_none(day_of(billet)) or ShopRates()
    heats, _ = planned_heats(case_of(billet.design(), alloys=alloy_book(), house=house))
    lines = real_lines(billet, shop=shop, planned_heats=heats, is_for_class=hasattr(billet, "seat"))
    return shares_beside_sold(
        total_cents(lines),
        lengths_nm=shared.lengths_nm,
        billet_nm=shared.billet_nm,
        sold=shared.sold,
    )


def share_now(knife: Knife) -> Kept | None:
    """What a knife carries of its billet today, to be kept; nothing where it is of bar."""
    if knife.billet is None:
        return None
    row = ShopSettings.objects.first()
    shared = of_billet(knife.billet)
    shares = shares_of(
        knife.billet, shared, history=rates.history(), house=row.house() if row else House()
    )
    place = shared.place(knife)
    length = length_of(place, lengths_nm=shared.lengths_nm, billet_nm=shared.billet_nm)
    return Kept(shares.cents[place], length)


def parts_of(knife: Knife) -> tuple[Line, ...]:
    """Counted things and wire booked to a knife, a line for each material."""
    sums: dict[str, int] = defaultdict(int)
    rows = Entry.objects.filter(job=knife.job).exclude(piece__material__form__in=CUT_FORMS)
    for entry in rows.select_related("piece__material"):
        sums[str(entry.piece.material)] -= entry.value_cents
    return tuple(Line("parts", name.capitalize(), cents) for name, cents in sums.items() if cents)


def knife_cost(
    knife: Knife, *, history: History, house: House, with_rest: bool = True
) -> KnifeCost:
    """A knife's cost with its price or what it brought.

    Hours are priced by the rates of their own days, consumables and the price to ask by those of
    the day that it was begun. Without the rest of its billet a sold knife is read faster.
    """
    shop = history.on_or_none(timezone.localdate(knife.made_at)) or ShopRates()
    times = standing_times(knife)
    hours = priced_hours(times, history=history)
    services = knife.services.filter(struck_at=None)
    blade = blade_money(knife, history=history, house=house, with_rest=with_rest)
    work = KnifeWork(
        blade_cents=blade.cents,
        parts=parts_of(knife),
        services=tuple(Line("services", one.name, one.cents) for one in services),
        consumables_cents=None if times else 0,
    )
    lines = in_order([*knife_lines(work, rates=shop.rates), *hours.lines])
    brought = earned = None
    if knife.price_cents is not None:
        charges = charges_of_sale(knife, history=history, usual=shop.charges)
        brought = sold(lines, price_cents=knife.price_cents, charges=charges)
        earned = earned_cents_per_hour(
            lines, steps=hours.steps, price_cents=knife.price_cents, charges=charges
        )
    asked, floor, refused = prices(lines, knife=knife, shop=shop)
    return KnifeCost(
        lines,
        worked_seconds(hours.steps),
        asked,
        floor,
        refused,
        brought,
        earned,
        shop,
        blade.rest_cents,
        blade.rest_nm,
    )


def charges_of_sale(knife: Knife, *, history: History, usual: Charges) -> Charges:
    """Card fee and tax of the day that it was sold on."""
    day = knife.sold_on
    shop = history.on_or_none(day) if day else None
    return shop.charges if shop else usual


def prices(
    lines: Sequence[Line], *, knife: Knife, shop: ShopRates
) -> tuple[Priced | None, Floor | None, str]:
    """The price at the wanted margin and the floor, or why there is none."""
    try:
        asked = price_at_margin(
            cost_cents=total_cents(lines), margin_bp=knife.margin_bp, charges=shop.charges
        )
        return asked, price_floor(lines, charges=shop.charges), ""
    except MoneyError as error:
        return None, None, str(error)
