"""The demo shop's money: its rates, the fees and deposits of its classes. All of it invented."""

from __future__ import annotations

from typing import Any

from shop import rates
from shop.demo.calendar import Days
from shop.forms_rates import jet_of
from stock import clock
from stock.money import UG_PER_LB

ML_PER_FT3 = 28317
USUAL: dict[str, Any] = {
    "labour_cents_per_hour": 3200,
    "overhead_cents_per_hour": 900,
    "fuel_cents": 128,
    "fuel_per_ug": UG_PER_LB,
    "orifice_nm": 1_000_000,
    "gauge_pa": 68_948,  # 10 psi
    "burners": 2,
    "power_cents": 1740,  # 100 kWh
    "shielding_cents": 6200,
    "shielding_per_ml": 125 * ML_PER_FT3,
    "shielding_ml_per_minute": 9439,  # 20 ft³ an hour
    "filler_cents": 415,
    "filler_per_ug": UG_PER_LB,
    "billet_consumables_cents": 240,
    "knife_consumables_cents": 1150,
    "card_fee_bp": 290,
    "card_fixed_cents": 30,
    "tax_bp": 625,
    "shows_tax": True,
    "cut_s": 480,
    "clean_s": 900,
    "weld_s": 900,
    "finish_s": 600,
    "heat_s": 360,
    "arc_s": 300,
    "in_the_fire_together": 3,
    "watts_saw": 900,
    "machine_s_saw": 360,
    "watts_welder": 4200,
    "machine_s_welder": 300,
    "watts_press": 3700,
    "machine_s_press": 240,
    "watts_blower": 60,
    "machine_s_blower": 2400,
    "watts_grinder": 1500,
    "machine_s_grinder": 480,
}


def set_rates(*, by: Any, helper: Any, days: Days) -> None:
    """Last year's rates, and dearer ones since the autumn's gas bill."""
    jet = jet_of(USUAL["orifice_nm"], gauge_pa=USUAL["gauge_pa"], burners=USUAL["burners"])
    now = USUAL | {"burn_ug_per_hour": jet.ug_per_hour, "people": {str(helper.pk): 2200}}
    with clock.as_of(days.at(-200)):
        rates.set_rates(
            from_date=days.on(-200), by=by, note="",
            values=now | {"labour_cents_per_hour": 3000, "fuel_cents": 109, "power_cents": 1610},
        )  # fmt: skip
    with clock.as_of(days.at(-30)):
        rates.set_rates(from_date=days.on(-30), by=by, note="gas and power are dearer", values=now)
