"""Reads a held class as planned beside real, line by line, each difference with its reasons."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from billets.case import case_of
from billets.drawing_chart import Share, Waterfall, waterfall
from billets.models import Billet, Heat, StepKind
from shop import after_pages, class_costs, class_labour, metal_prices
from shop.after_pages import Key, begun_seats
from shop.billet_cost import Planned, planned_cost, reached_by
from shop.billet_work import real_work
from shop.class_pages import stages_of
from shop.costing import Line, cents_of
from shop.costing_billet import billet_lines
from shop.models import ClassTerms, ForgeClass, Seat
from shop.rate_values import ShopRates
from shop.seat_accounts import taken_seats
from shop.variance import Made, PlannedLine, Used, Variance, reason_lines, variances
from stock.alloys import Book
from stock.house import House
from stock.models import alloy_book
from stock.money import allocate, for_hours, whole_cents

MINUTE_S = 60


@dataclass(frozen=True)
class ClassVariance:
    """What a class was planned to cost, what it cost, and why they differ."""

    splits: tuple[Variance, ...]
    planned: Made
    real: Made
    drawing: Waterfall | None
    clock_words: str = ""

    @property
    def planned_cents(self) -> int:
        """All lines as planned [minor units]."""
        return sum(split.planned_cents for split in self.splits)

    @property
    def real_cents(self) -> int:
        """All lines as they came out [minor units]."""
        return sum(split.real_cents for split in self.splits)

    @property
    def difference_cents(self) -> int:
        """Real less planned [minor units]; above 0 is dearer."""
        return self.real_cents - self.planned_cents


def class_variance(
    row: ForgeClass, *, terms: ClassTerms, shop: ShopRates, house: House
) -> ClassVariance:
    """Every line of a class, split into its reasons."""
    alloys = alloy_book()
    seats = begun_seats(row)
    billets = [seat.billet for seat in seats if seat.billet]
    begun = class_costs.begun_count(billets)
    planned = Made(sum(1 for seat in seats if not seat.is_spare), len(billets))
    real = Made(taken_seats(row), begun)
    plans = cost_plans(billets, shop=shop, house=house, alloys=alloys)
    sums = class_labour.class_sums(billets, shop=shop)
    lines = [
        *metal_lines(row, billets, plans, house=house, alloys=alloys),
        *work_lines(billets, plans, begun=begun, shop=shop),
        *class_labour.labour_lines(sums, plans, shop=shop),
        *other_lines(terms, shop=shop, planned=planned, real=real),
    ]
    splits = variances(
        [one for one in lines if one.planned.cents or one.real.cents], planned=planned, real=real
    )
    splits += salvage_split(seats, plans, shop=shop)
    return ClassVariance(splits, planned, real, drawn(splits), class_labour.clock_words(sums))


def salvage_split(
    seats: Sequence[Seat], plans: Sequence[Planned], *, shop: ShopRates
) -> tuple[Variance, ...]:
    """What failed billets are still worth: of as many as there are spares, and of those that did.

    One rule with the class's money page; nothing where the rates give a failed one no worth.
    """
    made = [seat for seat in seats if seat.billet]
    stages = stages_of([seat.billet for seat in made if seat.billet])
    failed = {pk for pk, stage in stages.items() if stage == StepKind.FAILED}
    worth = [shop.salvage_of(plan.cents) for plan in plans]
    pairs = list(zip(made, worth, strict=True))
    planned = sum(cents for seat, cents in pairs if seat.is_spare)
    real = sum(cents for seat, cents in pairs if seat.billet_id in failed)
    if not planned and not real:
        return ()
    less = planned - real
    return (Variance("salvage", "Worth of failed billets", -planned, -real, 0, less, 0, 0),)


def drawn(splits: tuple[Variance, ...]) -> Waterfall | None:
    """From planned to real by reasons; nothing where neither cost anything."""
    planned = sum(split.planned_cents for split in splits)
    real = sum(split.real_cents for split in splits)
    if not planned and not real:
        return None
    steps = [Share(line.label, line.cents) for line in reason_lines(splits)]
    first, last = Share("Planned", planned), Share("Real", real, is_total=True)
    return waterfall([first, *steps, last], may_tear=True)


def cost_plans(
    billets: list[Billet], *, shop: ShopRates, house: House, alloys: Book
) -> list[Planned]:
    """What each billet was planned to cost, the same lines as on the class's money page."""
    known: dict[str, Planned] = {}  # billets of a class are mostly alike; a forecast takes time
    for one in billets:
        key = repr(one.design_json)
        if key not in known:
            case = case_of(one.design(), alloys=alloys, house=house)
            known[key] = planned_cost(case, shop=shop, is_for_class=True)
    return [known[repr(one.design_json)] for one in billets]


def planned_sum(plans: list[Planned], *keys: str) -> int:
    """Money of some kinds of cost over all billets [minor units]."""
    return sum(cents_of(plan.lines, key) for plan in plans for key in keys)


def metal_lines(
    row: ForgeClass, billets: list[Billet], plans: list[Planned], *, house: House, alloys: Book
) -> list[PlannedLine]:
    """A line for each kind of metal: amounts as the plan and the ledger have them."""
    planned = after_pages.planned_amounts(row, billets, house=house)
    amounts, cents = after_pages.real_amounts(row, billets)
    was_to_cost = planned_metal_cents(planned, plans)
    return [
        PlannedLine(
            key="-".join(map(str, key)),
            label=alloys[key[0]].name if key[0] in alloys else key[0],
            planned=Used(planned[key], was_to_cost.get(key, 0)),
            real=Used(max(0, amounts[key]), max(0, cents[key])),
        )
        for key in sorted(planned.keys() | amounts.keys())
    ]


def planned_metal_cents(planned: Mapping[Key, int], plans: list[Planned]) -> dict[Key, int]:
    """What each kind of metal was to cost: the billets' planned metal, shared to the cent."""
    prices = metal_prices.prices_of({key[0] for key in planned})
    wires = [key for key in planned if key[1] == "wire"]
    others = [key for key in planned if key[1] != "wire"]
    weights = [
        prices.of_area(key[0], thickness_nm=key[2], area_nm2=planned[key] * (key[3] or 1))
        for key in others
    ]
    found = dict.fromkeys(planned, 0)
    if sum(weights):
        shares = allocate(planned_sum(plans, "metal"), weights=weights)
        found |= dict(zip(others, shares, strict=True))
    if wires:
        shares = allocate(planned_sum(plans, "filler"), weights=[planned[key] for key in wires])
        found |= dict(zip(wires, shares, strict=True))
    return found


def real_works(
    billets: list[Billet], plans: list[Planned], *, shop: ShopRates
) -> list[tuple[Line, ...]]:
    """What each billet cost so far beside its metal, the same lines as on its own page."""
    reached = reached_by(billets)
    return [
        billet_lines(
            real_work(
                shop, reached[one.pk], metal_cents=0, planned_heats=plan.heats, is_for_class=True
            ),
            rates=shop.rates,
        )
        for one, plan in zip(billets, plans, strict=True)
    ]


def work_lines(
    billets: list[Billet], plans: list[Planned], *, begun: int, shop: ShopRates
) -> list[PlannedLine]:
    """Fuel by heats; gas, power and consumables as they stand at each billet.

    Both sides are at the same rates, so that what differs is the amount: the money stands for it.
    """
    logged = Heat.objects.filter(billet__in=billets, struck_at=None).exists()
    works = real_works(billets, plans, shop=shop)

    def line(key: str, label: str) -> PlannedLine:
        planned = planned_sum(plans, key)
        real = sum(cents_of(lines, key) for lines in works)
        if key == "fuel" and not logged and billets:  # nobody logs heats here: as planned
            real = whole_cents(Fraction(planned * begun, len(billets)))
        return PlannedLine(key, label, Used(planned, planned), Used(real, real))

    return [
        line("fuel", "Fuel"),
        line("shielding", "Shielding gas"),
        line("power", "Power"),
        line("consumables", "Consumables"),
    ]


def other_lines(
    terms: ClassTerms, *, shop: ShopRates, planned: Made, real: Made
) -> list[PlannedLine]:
    """Place, helper and hours as planned and as written down after class."""
    came_out: dict[str, Any] = terms.real

    def sum_line(key: str, label: str) -> PlannedLine:
        planned_cents = getattr(terms, f"{key}_cents")
        real_cents = came_out.get(f"{key}_cents", planned_cents)
        return PlannedLine(key, label, Used(0, planned_cents), Used(0, real_cents), "nothing")

    def hours(rate: int, *names: str, real: bool) -> Used:
        planned_min = {name: getattr(terms, f"{name}_minutes") for name in names}
        found = {k: came_out.get(f"{k}_minutes", v) if real else v for k, v in planned_min.items()}
        seconds = sum(found.values()) * MINUTE_S
        return Used(seconds, for_hours(rate, seconds=seconds))

    def hours_line(key: str, label: str, rate: int, *names: str) -> PlannedLine:
        was, came = hours(rate, *names, real=False), hours(rate, *names, real=True)
        return PlannedLine(key, label, was, came, "nothing")

    labour, overhead = shop.rates.labour_cents_per_hour, shop.rates.overhead_cents_per_hour
    food = Used(planned.seats, planned.seats * terms.seat_cents)
    eaten = Used(real.seats, came_out.get("seats_cents", real.seats * terms.seat_cents))
    return [
        sum_line("place", "Place"),
        sum_line("helper", "Helper"),
        sum_line("other", "Other costs"),
        hours_line("prepare", "Preparing the class", labour, "prepare"),
        hours_line("teach", "Teaching", labour, "teach"),
        hours_line("overhead", "Overhead", overhead, "prepare", "teach"),
        PlannedLine("seats", "Food and handouts", food, eaten, "seats"),
    ]
