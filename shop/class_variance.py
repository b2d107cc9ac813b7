"""Reads a held class as planned beside real, line by line, each difference with its reasons."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from billets.drawing_chart import Share, Waterfall, waterfall
from billets.models import Billet, Heat
from shop import after_pages, class_costs, metal_prices
from shop.after_pages import Key, begun_seats
from shop.billet_cost import planned_heats
from shop.fuel import burnt_ug
from shop.models import ClassTerms, ForgeClass
from shop.rate_values import ShopRates
from shop.variance import Made, PlannedLine, Used, Variance, reason_lines, variances
from stock.alloys import Book
from stock.house import House
from stock.models import alloy_book
from stock.money import for_hours, whole_cents

MINUTE_S = 60


@dataclass(frozen=True)
class ClassVariance:
    """What a class was planned to cost, what it cost, and why they differ."""

    splits: tuple[Variance, ...]
    planned: Made
    real: Made
    drawing: Waterfall | None

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
    real = Made(class_costs.taken_seats(row), begun)
    lines = [
        *metal_lines(row, billets, shop=shop, house=house, alloys=alloys),
        *work_lines(row, billets, begun=begun, shop=shop, house=house, alloys=alloys),
        *other_lines(terms, shop=shop, planned=planned, real=real),
    ]
    splits = variances(
        [one for one in lines if one.planned.cents or one.real.cents], planned=planned, real=real
    )
    return ClassVariance(splits, planned, real, drawn(splits))


def drawn(splits: tuple[Variance, ...]) -> Waterfall | None:
    """From planned to real by reasons; nothing where neither cost anything."""
    planned = sum(split.planned_cents for split in splits)
    real = sum(split.real_cents for split in splits)
    if not planned and not real:
        return None
    steps = [Share(line.label, line.cents) for line in reason_lines(splits)]
    first, last = Share("Planned", planned), Share("Real", real, is_total=True)
    return waterfall([first, *steps, last])


def metal_lines(
    row: ForgeClass, billets: list[Billet], *, shop: ShopRates, house: House, alloys: Book
) -> list[PlannedLine]:
    """A line for each kind of metal: amounts as the plan and the ledger have them."""
    planned = after_pages.planned_amounts(row, billets, house=house)
    amounts, cents = after_pages.real_amounts(row, billets)
    prices = metal_prices.prices_of({key[0] for key in planned})
    return [
        PlannedLine(
            key="-".join(map(str, key)),
            label=alloys[key[0]].name if key[0] in alloys else key[0],
            planned=Used(planned[key], planned_cents(key, planned[key], prices, shop)),
            real=Used(max(0, amounts[key]), max(0, cents[key])),
        )
        for key in sorted(planned.keys() | amounts.keys())
    ]


def planned_cents(key: Key, amount: int, prices: metal_prices.MetalPrices, shop: ShopRates) -> int:
    """What an amount of a kind of metal was to cost, at the average price paid."""
    alloy, form, thickness, width = key
    if form == "wire":
        return whole_cents(shop.rates.filler.of(amount))
    return prices.of_area(alloy, thickness_nm=thickness, area_nm2=amount * (width or 1))


def work_lines(
    row: ForgeClass, billets: list[Billet], *, begun: int, shop: ShopRates, house: House,
    alloys: Book,
) -> list[PlannedLine]:  # fmt: skip
    """Fuel by heats, and the hours before the class by billets."""
    usual, rates = shop.usual, shop.rates
    known: dict[str, int] = {}  # billets of a class are mostly alike, and a forecast takes time
    for one in billets:
        key = repr(one.design_json)
        if key not in known:
            known[key] = planned_heats(one.design(), house=house, alloys=alloys)[0]
    foretold = sum(known[repr(one.design_json)] for one in billets)
    logged = Heat.objects.filter(billet__in=billets, struck_at=None).count()

    def fuel(heats: int) -> Used:
        ug = burnt_ug(ug_per_hour=rates.burn_ug_per_hour, seconds=heats * usual.heat_s)
        return Used(heats, whole_cents(rates.fuel.of(ug) / usual.in_the_fire_together))

    def hours(count: int) -> Used:
        return worked(count * usual.before_class_s, shop)

    def consumables(count: int) -> Used:
        return Used(count, count * rates.billet_consumables_cents)

    return [
        PlannedLine("fuel", "Fuel", fuel(foretold), fuel(logged or foretold)),
        PlannedLine("consumables", "Consumables", consumables(len(billets)), consumables(begun)),
        PlannedLine("billets", "Hours at the billets", hours(len(billets)), hours(begun)),
    ]


def worked(seconds: int, shop: ShopRates) -> Used:
    """Hours with their overhead."""
    rate = shop.rates.labour_cents_per_hour + shop.rates.overhead_cents_per_hour
    return Used(seconds, for_hours(rate, seconds=seconds))


def other_lines(
    terms: ClassTerms, *, shop: ShopRates, planned: Made, real: Made
) -> list[PlannedLine]:
    """Place, helper and hours as planned and as written down after class."""
    came_out: dict[str, Any] = terms.real

    def sum_line(key: str, label: str) -> PlannedLine:
        planned_cents = getattr(terms, f"{key}_cents")
        real_cents = came_out.get(f"{key}_cents", planned_cents)
        return PlannedLine(key, label, Used(0, planned_cents), Used(0, real_cents), "nothing")

    def hours_line(key: str, label: str) -> PlannedLine:
        minutes = getattr(terms, f"{key}_minutes")
        real_minutes = came_out.get(f"{key}_minutes", minutes)
        return PlannedLine(
            key, label, worked(minutes * MINUTE_S, shop), worked(real_minutes * MINUTE_S, shop),
            "nothing",
        )  # fmt: skip

    food = Used(planned.seats, planned.seats * terms.seat_cents)
    eaten = Used(real.seats, came_out.get("seats_cents", real.seats * terms.seat_cents))
    return [
        sum_line("place", "Place"),
        sum_line("helper", "Helper"),
        sum_line("other", "Other costs"),
        hours_line("prepare", "Preparing the class"),
        hours_line("teach", "Teaching"),
        PlannedLine("seats", "Food and handouts", food, eaten, "seats"),
    ]
