"""Units on the bills of a shop: what a bare pressure, volume or weight in its rates is in. Pure."""

from decimal import Decimal

from shop.costing import fuel
from shop.costing.rate_values import POWER_KWH
from stock.house import House
from stock.quantities.money import UG_PER_KG, UG_PER_LB, currency_digits

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

    Source:
        Our own rule.
    """
    return "lb" if house.system == "inch" else "kg"


def weight_unit_of(per_ug: int, *, house: House) -> str:
    """The unit that a price was written for.

    Args:
        per_ug: mass that the price is for [µg]; anything but a pound or a kilogram is none.
        house: the shop, for its system of units.

    Returns:
        "lb" or "kg"; the shop's where no price was written.

    Source:
        Our own rule.
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

    Source:
        International foot of 304.8 mm.
    """
    return ML_PER_FT3 if house.system == "inch" else Decimal(ML_PER_L)


def ml_per_minute(house: House) -> Decimal:
    """What a bare flow is in: cubic feet an hour or litres a minute.

    Args:
        house: the shop, for its system of units.

    Returns:
        Millilitres a minute in one of them.

    Source:
        See `ml_per_unit`.
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
