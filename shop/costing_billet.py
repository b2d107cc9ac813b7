"""What a billet costs, made and sound.

Metal comes in at the ledger's value of the very pieces; everything else is an amount at a
rate. How many turn out sound is in yields.py.
"""

from dataclasses import dataclass
from fractions import Fraction

from shop.costing import Line, MachineRun, Rates, Step, hours_lines, power_line, with_money
from shop.fuel import burnt_ug
from stock.money import MoneyError, not_below_zero, whole_cents

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

    Source:
        Amount times rate; each line rounded once.
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

    Source:
        Mean of the geometric distribution.

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

    Source:
        See `sound_cost_cents`.
    """

    def at(share: Fraction) -> int:
        return sound_cost_cents(
            made_cents=made_cents, sound_share=share, salvage_cents=salvage_cents
        )

    low_yield, high_yield = interval
    return SoundCost(cents=at(sound_share), low_cents=at(high_yield), high_cents=at(low_yield))
