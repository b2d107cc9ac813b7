"""The demo shop's money: its rates, the fees and deposits of its classes. All of it invented."""

from __future__ import annotations

from shop.calendar import writing as calendar_writing
from shop.class_money import writing as class_money
from shop.demo.classes import FIRST_DAY, HELD_DAY
from shop.demo.people import Days
from shop.models import ForgeClass, Seat
from shop.rates import writing as rates
from shop.rates.forms import jet_of
from stock import clock
from stock.quantities.money import UG_PER_LB
from stock.quantities.named_values import FieldValues
from stock.who import Person

ML_PER_FT3 = 28317
USUAL: FieldValues = {
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


def set_rates(*, by: Person, helper: Person, days: Days) -> None:
    """Last year's rates, and dearer ones since the autumn's gas bill."""
    jet = jet_of(USUAL["orifice_nm"], gauge_pa=USUAL["gauge_pa"], burners=USUAL["burners"])
    now = USUAL | {"burn_ug_per_hour": jet.ug_per_hour, "people": {str(helper.pk): 2200}}
    with clock.as_of(days.at(-200)):
        rates.set_rates(
            from_date=days.on(-200),
            by=by,
            note="",
            values=now | {"labour_cents_per_hour": 3000, "fuel_cents": 109, "power_cents": 1610},
        )
    with clock.as_of(days.at(-30)):
        rates.set_rates(from_date=days.on(-30), by=by, note="gas and power are dearer", values=now)
    calendar_writing.set_hours(minutes=(0, 240, 240, 240, 240, 180, 0), closed=[], clear_days=1)


TERMS: FieldValues = {
    "fee_cents": 46500,
    "deposit_cents": 12000,
    "margin_bp": 3500,
    "place_cents": 18000,
    "helper_cents": 35200,
    "other_cents": 4500,
    "seat_cents": 2800,
    "prepare_minutes": 240,
    "teach_minutes": 960,
    "refund_rule": [[30, 10000], [14, 5000]],
    "confidence_percent": 90,
}


def first_class(forge_class: ForgeClass, *, by: Person, days: Days) -> None:
    """Everybody paid, and it came out as planned but for the food."""
    paid_class(forge_class, fee_cents=44500, on=FIRST_DAY, by=by, days=days)
    with clock.as_of(days.at(FIRST_DAY + 3)):
        class_money.set_real(
            forge_class=forge_class,
            by=by,
            real={"teach_minutes": 960, "other_cents": 4500, "seats_cents": 35180},
        )


def held_class(forge_class: ForgeClass, *, by: Person, days: Days) -> None:
    """Everybody paid; the class took longer than planned."""
    paid_class(forge_class, fee_cents=TERMS["fee_cents"], on=HELD_DAY, by=by, days=days)
    given_up(forge_class, by=by, days=days)
    with clock.as_of(days.at(HELD_DAY + 3)):
        class_money.set_real(
            forge_class=forge_class,
            by=by,
            real={"teach_minutes": 1050, "other_cents": 6130, "seats_cents": 15240},
        )


def paid_class(forge_class: ForgeClass, *, fee_cents: int, on: int, by: Person, days: Days) -> None:
    """Terms, deposits over some days, balances on the first day of the class."""
    with clock.as_of(days.at(on - 44)):
        class_money.set_terms(
            forge_class=forge_class, changes=TERMS | {"fee_cents": fee_cents}, by=by
        )
    fee = rates.history().on(days.on(on)).charges.with_tax_cents(fee_cents)
    for number, seat in enumerate(forge_class.seats.filter(is_spare=False)):
        day = on - 39 + number
        with clock.as_of(days.at(day)):
            class_money.record_payment(
                seat=seat, kind="deposit", cents=12000, day=days.on(day), by=by, note="transfer"
            )
        with clock.as_of(days.at(on)):
            class_money.record_payment(
                seat=seat, kind="balance", cents=fee - 12000, day=days.on(on), by=by, note="card"
            )


def given_up(forge_class: ForgeClass, *, by: Person, days: Days) -> None:
    """One seat was given up twenty days before: half of the deposit went back, half stayed."""
    number = forge_class.seats.count() + 1
    seat = Seat.objects.create(forge_class=forge_class, number=number, student="Lena Marsh")
    for day, kind, cents in ((-70, "deposit", 12000), (-55, "refund", 6000)):
        with clock.as_of(days.at(day)):
            class_money.record_payment(
                seat=seat, kind=kind, cents=cents, day=days.on(day), by=by, note="transfer"
            )
    seat.is_cancelled, seat.cancelled_on = True, days.on(-56)
    seat.save(update_fields=["is_cancelled", "cancelled_on"])


def coming_class(forge_class: ForgeClass, *, by: Person, days: Days) -> None:
    """Deposits from all but two; one has paid the whole."""
    with clock.as_of(days.at(-6)):
        class_money.set_terms(forge_class=forge_class, changes=TERMS | {"fee_cents": 48500}, by=by)
    fee = rates.history().on(days.on(0)).charges.with_tax_cents(48500)
    for number, seat in enumerate(forge_class.seats.filter(is_spare=False)[:8]):
        with clock.as_of(days.at(-5, minute=number)):
            class_money.record_payment(
                seat=seat,
                kind="deposit",
                cents=fee if number == 3 else 12000,
                day=days.on(-5),
                by=by,
                note="transfer",
            )
