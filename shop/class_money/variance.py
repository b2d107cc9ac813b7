"""A held class as planned beside real, line by line, each difference with its reasons. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from billets.drawings.chart import Share, Waterfall, waterfall
from shop.billet_cost.planned import MetalKey, Planned
from shop.class_money import labour as class_labour
from shop.class_money.books import MINUTE_S, ClassBooks, Terms
from shop.class_money.costs import Plans
from shop.class_work.hours import StepSum, step_sums
from shop.costing.billet import billet_lines, real_work
from shop.costing.lines import Line, cents_of
from shop.costing.rate_values import ShopRates
from shop.costing.seats import Made, PlannedLine, Used, Variance, reason_lines, variances
from stock.quantities.money import allocate, for_hours, whole_cents


@dataclass(frozen=True)
class ClassVariance:
    """What a class was planned to cost, what it cost, and why they differ."""

    splits: tuple[Variance, ...]
    planned: Made
    real: Made
    hours: tuple[StepSum, ...]  # at its billets

    @property
    def clock_words(self) -> str:
        """How much of the hours stands written down."""
        return class_labour.clock_words(self.hours)

    @cached_property
    def drawing(self) -> Waterfall | None:
        """From planned to real by reasons."""
        return drawn(self.splits)

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


def class_variance(books: ClassBooks, *, plans: Plans) -> ClassVariance:
    """Every line of a class, split into its reasons.

    Args:
        books: a class that is held.
        plans: what its billets were to cost, as `shop.class_money.costs.class_plans` has them.

    Returns:
        Planned and real of each line, and from one to the other in a drawing.
    """
    made, shop = books.made, books.shop
    costs = [plans[seat.design] for seat in made]
    begun = sum(1 for seat in made if seat.done and seat.done.is_begun)
    planned = Made(sum(1 for seat in made if not seat.is_spare), len(made))
    real = Made(books.taken, begun)
    others = other_lines(books.terms, shop=shop, planned=planned, real=real)
    salvage = salvage_split(books, costs)
    work = work_lines(books, costs, begun=begun)
    metal = metal_lines(books, costs)
    hours = step_sums(books.reached, usual=shop.usual)
    labour = class_labour.labour_lines(hours, costs, shop=shop)
    lines = [
        one for one in (*metal, *work, *labour, *others) if one.planned.cents or one.real.cents
    ]
    splits = variances(lines, planned=planned, real=real)
    return ClassVariance(splits + salvage, planned, real, hours)


def salvage_split(books: ClassBooks, costs: Sequence[Planned]) -> tuple[Variance, ...]:
    """What failed billets are still worth: of as many as there are spares, and of those that did.

    One rule with the class's money page; nothing where the rates give a failed one no worth.
    """
    worth = [books.shop.salvage_of(cost.cents) for cost in costs]
    pairs = list(zip(books.made, worth, strict=True))
    planned = sum(cents for seat, cents in pairs if seat.is_spare)
    real = sum(cents for seat, cents in pairs if seat.done and seat.done.has_failed)
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


def planned_sum(costs: Sequence[Planned], *keys: str) -> int:
    """Money of some kinds of cost over all billets [minor units]."""
    return sum(cents_of(cost.lines, key) for cost in costs for key in keys)


def metal_lines(books: ClassBooks, costs: Sequence[Planned]) -> list[PlannedLine]:
    """A line for each kind of metal: amounts as the plan and the ledger have them."""
    metal = books.metal
    was_to_cost = planned_metal_cents(books, costs)
    return [
        PlannedLine(
            key="-".join(map(str, key)),
            label=books.market.name_of(key[0]),
            planned=Used(metal.planned.get(key, 0), was_to_cost.get(key, 0)),
            real=Used(max(0, metal.real.get(key, 0)), max(0, metal.real_cents.get(key, 0))),
        )
        for key in sorted(metal.planned.keys() | metal.real.keys())
    ]


def planned_metal_cents(books: ClassBooks, costs: Sequence[Planned]) -> dict[MetalKey, int]:
    """What each kind of metal was to cost: the billets' planned metal, shared to the cent."""
    planned, prices = books.metal.planned, books.market.prices
    metal, filler = planned_sum(costs, "metal"), planned_sum(costs, "filler")
    wires = [key for key in planned if key[1] == "wire"]
    others = [key for key in planned if key[1] != "wire"]
    weights = [
        prices.of_area(key[0], thickness_nm=key[2], area_nm2=planned[key] * (key[3] or 1))
        for key in others
    ]
    found = dict.fromkeys(planned, 0)
    if sum(weights):
        shares = allocate(metal, weights=weights)
        found |= dict(zip(others, shares, strict=True))
    if wires:
        shares = allocate(filler, weights=[planned[key] for key in wires])
        found |= dict(zip(wires, shares, strict=True))
    return found


def real_works(books: ClassBooks, costs: Sequence[Planned]) -> list[tuple[Line, ...]]:
    """What each billet cost so far beside its metal, the same lines as on its own page."""
    shop = books.shop
    return [
        billet_lines(
            real_work(shop, reached, metal_cents=0, planned_heats=cost.heats, is_for_class=True),
            rates=shop.rates,
        )
        for reached, cost in zip(books.reached, costs, strict=True)
    ]


def work_lines(books: ClassBooks, costs: Sequence[Planned], *, begun: int) -> list[PlannedLine]:
    """Fuel by heats; gas, power and consumables as they stand at each billet.

    Both sides are at the same rates, so that what differs is the amount: the money stands for it.
    """
    logged = any(reached.heats for reached in books.reached)
    works = real_works(books, costs)

    def line(key: str, label: str) -> PlannedLine:
        planned = planned_sum(costs, key)
        real = sum(cents_of(lines, key) for lines in works)
        if key == "fuel" and not logged and costs:  # nobody logs heats here: as planned
            real = whole_cents(Fraction(planned * begun, len(costs)))
        return PlannedLine(key, label, Used(planned, planned), Used(real, real))

    return [
        line("fuel", "Fuel"),
        line("shielding", "Shielding gas"),
        line("power", "Power"),
        line("consumables", "Consumables"),
    ]


def other_lines(terms: Terms, *, shop: ShopRates, planned: Made, real: Made) -> list[PlannedLine]:
    """Place, helper and hours as planned and as written down after class."""

    def sum_line(key: str, label: str) -> PlannedLine:
        name = f"{key}_cents"
        was, came = Used(0, terms.planned_of(name)), Used(0, terms.real_of(name))
        return PlannedLine(key, label, was, came, "nothing")

    def hours(rate: int, minutes: int) -> Used:
        seconds = minutes * MINUTE_S
        return Used(seconds, for_hours(rate, seconds=seconds))

    def hours_line(key: str, label: str, rate: int, *names: str) -> PlannedLine:
        was = hours(rate, sum(terms.planned_of(f"{name}_minutes") for name in names))
        came = hours(rate, sum(terms.real_of(f"{name}_minutes") for name in names))
        return PlannedLine(key, label, was, came, "nothing")

    labour, overhead = shop.rates.labour_cents_per_hour, shop.rates.overhead_cents_per_hour
    food = Used(planned.seats, planned.seats * terms.seat_cents)
    eaten = Used(real.seats, terms.real.get("seats_cents", real.seats * terms.seat_cents))
    return [
        sum_line("place", "Place"),
        sum_line("helper", "Helper"),
        sum_line("other", "Other costs"),
        hours_line("prepare", "Preparing the class", labour, "prepare"),
        hours_line("teach", "Teaching", labour, "teach"),
        hours_line("overhead", "Overhead", overhead, "prepare", "teach"),
        PlannedLine("seats", "Food and handouts", food, eaten, "seats"),
    ]
