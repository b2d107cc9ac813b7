"""Where a forge's burn rate comes from, in words. Pure."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from shop.costing import fuel
from shop.costing.rate_values import pa_per_unit
from shop.words.numbers import plain
from stock.house import House
from stock.quantities import units
from stock.quantities.money import decimal_mark


def burner_words(values: Mapping[str, Any], *, house: House) -> str:
    """How a rate sheet knows what the forge burns.

    Args:
        values: a sheet as the database holds it (`shop.costing.rate_values.shop_rates`).
        house: for the units.

    Returns:
        A sentence; it says where the gas does not choke and the figure is less sure. Empty
        where nothing is burnt.
    """
    orifice_nm, gauge_pa = int(values.get("orifice_nm") or 0), int(values.get("gauge_pa") or 0)
    if not values.get("burn_ug_per_hour"):
        return ""
    if not orifice_nm:
        return "As it was weighed."
    count = int(values.get("burners") or 1)
    holes = "one orifice" if count == 1 else f"{count} orifices"
    size = units.field_text(orifice_nm, system=house.system)
    pressure = pressure_text(gauge_pa, house=house)
    through = f"Worked out: propane through {holes} of {size} at {pressure}"
    limit_pa = fuel.chokes_above_pa()
    if gauge_pa > limit_pa:
        return f"{through}, choked flow."
    limit = pressure_text(limit_pa, house=house)
    return (
        f"{through}. Under {limit} the flow does not choke and the figure is less sure; "
        "weigh the cylinder before and after an hour."
    )


def pressure_text(gauge_pa: float, *, house: House) -> str:
    """A pressure above the air's in the shop's unit.

    Args:
        gauge_pa: pressure [Pa], 0 or more.
        house: for the unit and the decimal mark.

    Returns:
        Such as "10.8 psi" or "0,75 bar": to 0.1 psi or 0.01 bar.
    """
    value = gauge_pa / float(pa_per_unit(house))
    is_inch = house.system == "inch"
    number = plain(value, places=1 if is_inch else 2, mark=decimal_mark(house.locale))
    return f"{number or '0'} {'psi' if is_inch else 'bar'}"
