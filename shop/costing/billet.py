"""What a billet costs, made and sound.

Metal comes in at the ledger's value of the very pieces; everything else is an amount at a
rate. How many turn out sound is in `shop.yields.spares`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from shop.costing import labour
from shop.costing.fuel import burnt_ug
from shop.costing.labour import Reached as Reached
from shop.costing.lines import (
    Line,
    MachineRun,
    Rates,
    Step,
    hours_lines,
    power_line,
    total_cents,
    with_money,
)
from shop.costing.rate_values import FINISH, ShopRates
from stock.quantities.money import MoneyError, not_below_zero, whole_cents

SECONDS_PER_MINUTE = 60


@dataclass(frozen=True)
class BilletWork:
    """What one billet takes. `fire_seconds` is the time it stands in the lit forge."""

    metal_cents: int
    filler_ug: int = 0
    arc_seconds: int = 0  # shielding gas flows
    fire_seconds: int = 0
    in_the_fire_together: int = 1  # billets that share the fire
    runs: tuple[MachineRun, ...] = ()
    steps: tuple[Step, ...] = ()
    consumables_cents: int | None = None  # None takes the shop's usual

    def __post_init__(self) -> None:
        not_below_zero(
            value_of_the_metal=self.metal_cents,
            filler=self.filler_ug,
            arc_time=self.arc_seconds,
            fire_time=self.fire_seconds,
            consumables=self.consumables_cents or 0,
        )
        if self.in_the_fire_together < 1:
            raise MoneyError(
                f"{self.in_the_fire_together} billets share the fire; at least 1 must.",
                given=self.in_the_fire_together,
            )


@dataclass(frozen=True)
class SoundCost:
    """What a sound billet costs when some fail; `low` and `high` go with the yield's interval."""

    cents: int
    low_cents: int
    high_cents: int


def billet_lines(work: BilletWork, *, rates: Rates) -> tuple[Line, ...]:
    """The cost of one billet made, sound or not, line by line.

    Args:
        work: what it takes.
        rates: the rates of the day it was made.

    Returns:
        Lines in the order metal, filler, shielding gas, fuel, power, consumables, labour by
        step, overhead; those of no money are left out.

    Raises:
        MoneyError: an amount is below 0.
    """
    burnt = burnt_ug(ug_per_hour=rates.burn_ug_per_hour, seconds=work.fire_seconds)
    shielding_ml = Fraction(rates.shielding_ml_per_minute * work.arc_seconds, SECONDS_PER_MINUTE)
    usual = rates.billet_consumables_cents
    consumables = usual if work.consumables_cents is None else work.consumables_cents
    fuel = rates.fuel.of(Fraction(burnt, work.in_the_fire_together))
    power, hands = power_line(work.runs, rates=rates), hours_lines(work.steps, rates=rates)
    lines = (
        Line("metal", "Metal", work.metal_cents),
        Line("filler", "Filler", whole_cents(rates.filler.of(work.filler_ug))),
        Line("shielding", "Shielding gas", whole_cents(rates.shielding.of(shielding_ml))),
        Line("fuel", "Fuel", whole_cents(fuel)),
        power,
        Line("consumables", "Consumables", consumables),
        *hands,
    )
    return with_money(lines)


def sound_cost_cents(*, made_cents: int, sound_share: Fraction, salvage_cents: int = 0) -> int:
    """Expected cost of one sound billet when some of those made fail.

    Args:
        made_cents: cost of one billet made [minor units], 0 or more.
        sound_share: share that turns out sound, above 0, at most 1.
        salvage_cents: what a failed one is still worth [minor units], 0 or more and no more
            than it cost.

    Returns:
        Minor units, rounded once: cost / share − salvage · (1 / share − 1). For one sound
        billet 1 / share are made, and all but one of these fail.

    Raises:
        MoneyError: an amount or the share is outside its limits.

    >>> sound_cost_cents(made_cents=9_000, sound_share=Fraction(9, 10))
    10000
    """
    not_below_zero(cost=made_cents, salvage=salvage_cents)
    if not 0 < sound_share <= 1:
        raise MoneyError(
            f"A share of sound billets of {float(sound_share):g} was given; it must be above 0 "
            "and at most 1.",
            given=sound_share,
        )
    if salvage_cents > made_cents:
        raise MoneyError(
            f"A failed billet cannot be worth more ({salvage_cents}) than it cost "
            f"({made_cents}); give a smaller salvage.",
            given=salvage_cents,
        )
    tries = 1 / sound_share
    return whole_cents(made_cents * tries - salvage_cents * (tries - 1))


def sound_cost(
    *,
    made_cents: int,
    sound_share: Fraction,
    interval: tuple[Fraction, Fraction],
    salvage_cents: int = 0,
) -> SoundCost:
    """Expected cost of a sound billet, and what it is at both ends of the yield's interval.

    Args:
        made_cents: cost of one billet made [minor units], 0 or more.
        sound_share: the yield, above 0, at most 1.
        interval: lower and upper end of the yield, each above 0, at most 1.
        salvage_cents: as for `sound_cost_cents`.

    Returns:
        The three costs; the low cost goes with the high yield.

    Raises:
        MoneyError: an amount or a share is outside its limits.
    """

    def at(share: Fraction) -> int:
        return sound_cost_cents(
            made_cents=made_cents, sound_share=share, salvage_cents=salvage_cents
        )

    low_yield, high_yield = interval
    return SoundCost(cents=at(sound_share), low_cents=at(high_yield), high_cents=at(low_yield))


FORGING = ("press", "blower")  # machines that run while somebody forges
STEP_MACHINES = {"cut_s": "saw", "weld_s": "welder", "finish_s": "grinder"}
ORDER = ("metal", "filler", "shielding", "fuel", "power", "consumables", "labour", "overhead")
WORDS = {"labour": "Labour"}  # of which a cost has several lines


@dataclass(frozen=True)
class Compared:
    """One kind of cost, planned and real."""

    word: str
    planned_cents: int
    real_cents: int

    @property
    def difference_cents(self) -> int:
        """Real less planned [minor units]; above 0 is dearer."""
        return self.real_cents - self.planned_cents


def planned_work(
    shop: ShopRates, *, metal_cents: int, filler_ug: int, heats: int, is_for_class: bool
) -> BilletWork:
    """What a billet will take.

    Args:
        shop: the rates and usual times of the day.
        metal_cents: what its metal will cost [minor units], 0 or more.
        filler_ug: wire for its seams [µg], 0 or more.
        heats: heats of the forecast, 0 or more.
        is_for_class: the students forge it, so forging and finishing are nobody's paid hours.

    Returns:
        The work, for `shop.costing.billet.billet_lines`.
    """
    usual = shop.usual
    steps = list(usual.before_class())
    if not is_for_class:
        steps += [Step(f"Forge, {heats} heats", heats * usual.heat_s), Step(FINISH, usual.finish_s)]
    return BilletWork(
        metal_cents=metal_cents,
        filler_ug=filler_ug,
        arc_seconds=usual.arc_s if filler_ug else 0,
        fire_seconds=heats * usual.heat_s,
        in_the_fire_together=usual.in_the_fire_together,
        runs=shop.runs(usual.machine_s),
        steps=tuple(steps),
    )


def real_work(
    shop: ShopRates, reached: Reached, *, metal_cents: int, planned_heats: int, is_for_class: bool
) -> BilletWork:
    """What a billet took so far; its wire is the ledger's and is not in it.

    Args:
        shop: the rates and usual times of the day.
        reached: steps, who did them, and heats.
        metal_cents: what the ledger has booked to it [minor units], 0 or more.
        planned_heats: heats that the machines' usual times are meant for, 0 or more.
        is_for_class: as for `planned_work`.

    Returns:
        The work, for `shop.costing.billet.billet_lines`.
    """
    usual = shop.usual
    machines = machine_seconds(shop, reached, planned_heats=planned_heats)
    return BilletWork(
        metal_cents=metal_cents,
        arc_seconds=labour.at_step(usual, reached, name="weld_s", seconds=usual.arc_s),
        fire_seconds=labour.fire_seconds(usual, reached),
        in_the_fire_together=usual.in_the_fire_together,
        steps=labour.all_hands(shop, reached, is_for_class=is_for_class),
        runs=shop.runs(machines),
        consumables_cents=None if reached.steps or reached.worked else 0,
    )


def machine_seconds(shop: ShopRates, reached: Reached, *, planned_heats: int) -> dict[str, int]:
    """Time under each machine, in proportion to the time that its step took.

    Args:
        shop: the usual times.
        reached: what was done and what stands written down.
        planned_heats: heats that the usual times are meant for; 0 counts all the time at once.

    Returns:
        Seconds by machine; those of steps that nobody was at are left out.
    """
    usual = shop.usual
    found = {
        machine: labour.at_step(usual, reached, name=name, seconds=usual.machine_s.get(machine, 0))
        for name, machine in STEP_MACHINES.items()
    }
    share = labour.forging_share(usual, reached, planned_heats=planned_heats)
    found |= {machine: round(usual.machine_s.get(machine, 0) * share) for machine in FORGING}
    return {machine: seconds for machine, seconds in found.items() if seconds}


def joined(lines: Sequence[Line]) -> tuple[Line, ...]:
    """Lines of the same kind and name as one: two people at the same step.

    Args:
        lines: lines of one cost.

    Returns:
        The lines in the order of the first of each; the sum stays.
    """
    found: dict[tuple[str, str], Line] = {}
    for line in lines:
        name = (line.key, line.label)
        before = found[name].cents if name in found else 0
        found[name] = Line(line.key, line.label, before + line.cents, line.detail)
    return tuple(found.values())


def with_filler(lines: Sequence[Line], *, cents: int) -> tuple[Line, ...]:
    """The lines with the wire that the ledger booked, after the metal.

    Args:
        lines: a billet's cost without its wire.
        cents: value of the wire [minor units], 0 or more.

    Returns:
        The lines in their order.
    """
    if not cents:
        return tuple(lines)
    first = [line for line in lines if line.key == "metal"]
    rest = [line for line in lines if line.key != "metal"]
    return (*first, Line("filler", "Filler", cents), *rest)


def compared(planned: Sequence[Line], real: Sequence[Line]) -> tuple[Compared, ...]:
    """Planned beside real, a row for each kind of cost.

    Args:
        planned: lines of the plan.
        real: lines as they came out.

    Returns:
        Kinds that are in either, in the order of a billet's cost; the rows add up to the totals.
    """
    words = {line.key: WORDS.get(line.key, line.label) for line in (*planned, *real)}
    known = [key for key in ORDER if key in words]
    return tuple(
        Compared(
            words[key],
            total_cents(line for line in planned if line.key == key),
            total_cents(line for line in real if line.key == key),
        )
        for key in known
    )
