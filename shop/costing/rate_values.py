"""The shop's rates as one sheet of plain numbers, and what they become for the sums. Pure.

A sheet also says how long the usual billet takes at each step, since that is what the rates are
multiplied with. Which sheet holds on a day is `shop.rates.writing.History.on`'s rule.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from shop.costing import fuel
from shop.costing.lines import MachineRun, Rates, Step
from shop.costing.pricing import Charges
from stock.house import House
from stock.quantities.money import (
    JOULES_PER_KWH,
    UG_PER_KG,
    UG_PER_LB,
    Price,
    currency_digits,
    not_below_zero,
)

POWER_KWH = 100  # a price of power is kept for so many kWh: a cent is too coarse for one
MACHINES = {
    "saw": "Saw",
    "welder": "Welder",
    "press": "Press or power hammer",
    "blower": "Forge blower",
    "grinder": "Grinder",
}
BEFORE_CLASS = {"cut_s": "Cut", "clean_s": "Clean", "weld_s": "Weld shut"}
FINISH = "Finish"


@dataclass(frozen=True)
class Usual:
    """How long a billet usually takes: seconds at each step, in the fire, under each machine."""

    cut_s: int = 0
    clean_s: int = 0
    weld_s: int = 0
    finish_s: int = 0
    heat_s: int = 0  # one heat: the fire and the work together
    arc_s: int = 0  # shielding gas flows
    in_the_fire_together: int = 1
    machine_s: Mapping[str, int] = field(default_factory=dict)

    def before_class(self, *, cents_per_hour: int | None = None) -> tuple[Step, ...]:
        """Hands at work before anybody forges: cutting, cleaning, welding shut."""
        return tuple(
            Step(word, seconds, cents_per_hour)
            for name, word in BEFORE_CLASS.items()
            if (seconds := getattr(self, name))
        )

    @property
    def before_class_s(self) -> int:
        """Time at one billet before anybody forges [s]."""
        return self.cut_s + self.clean_s + self.weld_s


@dataclass(frozen=True)
class ShopRates:
    """One sheet, ready for the sums."""

    rates: Rates = field(default_factory=Rates)
    charges: Charges = field(default_factory=Charges)
    shows_tax: bool = False
    usual: Usual = field(default_factory=Usual)
    watts: Mapping[str, int] = field(default_factory=dict)
    people_cents_per_hour: Mapping[int, int] = field(default_factory=dict)
    salvage_cents: int = 0  # what a failed billet is still worth

    def __post_init__(self) -> None:
        not_below_zero(worth_of_a_failed_billet=self.salvage_cents)

    def salvage_of(self, made_cents: int) -> int:
        """What a failed billet is still worth: no more than it cost [minor units]."""
        return min(self.salvage_cents, max(0, made_cents))

    def labour_of(self, person_id: int | None) -> int | None:
        """A person's own rate for an hour [minor units]; None takes the shop's."""
        return None if person_id is None else self.people_cents_per_hour.get(person_id)

    def runs(self, seconds: Mapping[str, int]) -> tuple[MachineRun, ...]:
        """Machines that draw power for so many seconds each."""
        return tuple(
            MachineRun(MACHINES[key], self.watts[key], time)
            for key, time in seconds.items()
            if time and self.watts.get(key)
        )


def shop_rates(values: Mapping[str, Any]) -> ShopRates:
    """A sheet as the database holds it, as the sums take it.

    Args:
        values: whole numbers by name: `*_cents` in minor units, `*_ug` [µg], `*_ml` [ml],
            `*_s` [s], `*_bp` [0.01 %]; names that are missing count as nothing.

    Returns:
        Rates, charges and usual times.

    Raises:
        MoneyError: one of them is below 0.
    """

    def number(name: str, usual: int = 0) -> int:
        return int(values.get(name) or usual)

    rates = Rates(
        labour_cents_per_hour=number("labour_cents_per_hour"),
        overhead_cents_per_hour=number("overhead_cents_per_hour"),
        fuel=Price(number("fuel_cents"), number("fuel_per_ug", UG_PER_KG)),
        burn_ug_per_hour=number("burn_ug_per_hour"),
        power=Price(number("power_cents"), POWER_KWH * JOULES_PER_KWH),
        shielding=Price(number("shielding_cents"), number("shielding_per_ml", 1)),
        shielding_ml_per_minute=number("shielding_ml_per_minute"),
        filler=Price(number("filler_cents"), number("filler_per_ug", UG_PER_KG)),
        billet_consumables_cents=number("billet_consumables_cents"),
        knife_consumables_cents=number("knife_consumables_cents"),
    )
    return ShopRates(
        rates=rates,
        charges=Charges(number("card_fee_bp"), number("card_fixed_cents"), number("tax_bp")),
        shows_tax=bool(values.get("shows_tax")),
        usual=usual_times(values),
        watts={key: number(f"watts_{key}") for key in MACHINES},
        salvage_cents=number("salvage_cents"),
        people_cents_per_hour={int(k): int(v) for k, v in (values.get("people") or {}).items()},
    )


def usual_times(values: Mapping[str, Any]) -> Usual:
    """The usual times in a sheet.

    Args:
        values: as for `shop_rates`; times in seconds.

    Returns:
        Seconds at each step and under each machine; at least one billet in the fire.
    """
    names = ("cut_s", "clean_s", "weld_s", "finish_s", "heat_s", "arc_s")
    return Usual(
        **{name: int(values.get(name) or 0) for name in names},
        in_the_fire_together=max(1, int(values.get("in_the_fire_together") or 1)),
        machine_s={key: int(values.get(f"machine_s_{key}") or 0) for key in MACHINES},
    )


ML_PER_FT3 = Decimal("28316.846592")  # exact: (304.8 mm)³
ML_PER_L = 1000
PA_PER_BAR = 100_000
MINUTES_PER_HOUR = 60
UG_PER = {"lb": UG_PER_LB, "kg": UG_PER_KG}


def weight_unit(house: House) -> str:
    """What a shop weighs gas and wire in unless it says otherwise.

    Args:
        house: the shop, for its system of units.

    Returns:
        "lb" or "kg".
    """
    return "lb" if house.system == "inch" else "kg"


def weight_unit_of(per_ug: int, *, house: House) -> str:
    """The unit that a price was written for.

    Args:
        per_ug: mass that the price is for [µg]; anything but a pound or a kilogram is none.
        house: the shop, for its system of units.

    Returns:
        "lb" or "kg"; the shop's where no price was written.
    """
    units = {ug: unit for unit, ug in UG_PER.items()}
    return units.get(per_ug, weight_unit(house))


def pa_per_unit(house: House) -> Decimal:
    """What a bare pressure is in: psi or bar.

    Args:
        house: the shop, for its system of units.

    Returns:
        Pascals in one of them.

    Source:
        International yard and pound; SI.
    """
    return Decimal(str(fuel.PA_PER_PSI)) if house.system == "inch" else Decimal(PA_PER_BAR)


def ml_per_unit(house: House) -> Decimal:
    """What a bare volume of gas is in: cubic feet or litres.

    Args:
        house: the shop, for its system of units.

    Returns:
        Millilitres in one of them.
    """
    return ML_PER_FT3 if house.system == "inch" else Decimal(ML_PER_L)


def ml_per_minute(house: House) -> Decimal:
    """What a bare flow is in: cubic feet an hour or litres a minute.

    Args:
        house: the shop, for its system of units.

    Returns:
        Millilitres a minute in one of them.
    """
    return ml_per_unit(house) / (MINUTES_PER_HOUR if house.system == "inch" else 1)


def power_scale(house: House) -> Decimal:
    """From the price of 1 kWh to minor units for the kWh that a price is kept for.

    Args:
        house: the shop, for its currency.

    Returns:
        The factor.

    Source:
        ISO 4217 for the decimals of the currency.
    """
    return Decimal(POWER_KWH * 10 ** currency_digits(house.currency))
