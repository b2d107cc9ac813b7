"""Hours at a knife are priced by the rates of their own days."""

from __future__ import annotations

from datetime import UTC, date, datetime

from django.urls import reverse

from shop.knives import cost as knife_cost
from shop.knives import writing as knives
from shop.models import Knife
from shop.rates import writing as rates
from stock import clock
from stock.house import House
from tests.kinds import Client, Person

APRIL, MAY = datetime(2026, 4, 10, 12, tzinfo=UTC), datetime(2026, 5, 10, 12, tzinfo=UTC)
OLD = {
    "labour_cents_per_hour": 3000, "overhead_cents_per_hour": 600, "power_cents": 3000,
    "watts_grinder": 1000, "knife_consumables_cents": 700,
}  # fmt: skip
NEW = {
    "labour_cents_per_hour": 4500, "overhead_cents_per_hour": 900, "power_cents": 4000,
    "watts_grinder": 1000, "knife_consumables_cents": 900,
}  # fmt: skip


def begun_in_april(owner: Person) -> Knife:
    """Rates rise on 1 May; an hour of grinding before, two hours and a sheath after."""
    rates.set_rates(from_date=date(2026, 1, 1), values=OLD, by=owner)
    rates.set_rates(from_date=date(2026, 5, 1), values=NEW, by=owner)
    with clock.as_of(APRIL):
        knife = knives.make_knife(pattern="petty", by=owner)
        knives.add_minutes(knife=knife, step="grind", minutes=60, person=owner)
    with clock.as_of(MAY):
        knives.add_minutes(knife=knife, step="sheath", minutes=30, person=owner)
        knives.add_minutes(knife=knife, step="grind", minutes=120, person=owner)
    return knife


def test_each_line_of_hours_goes_by_the_rates_of_its_own_day(owner: Person) -> None:
    knife = begun_in_april(owner)

    cost = knife_cost.knife_cost(knife, history=rates.history(), house=House())

    # Grinding 1 h at 30.00 and 2 h at 45.00, sheath half an hour at 45.00; overhead 6.00 and
    # 2.5 h at 9.00; power 1 kWh at 0.30 and 2 kWh at 0.40; consumables of the day it was begun.
    assert [(one.key, one.label, one.cents) for one in cost.lines] == [
        ("power", "Power", 110),
        ("consumables", "Consumables", 700),
        ("labour", "Grind", 12_000),
        ("labour", "Sheath", 2250),
        ("overhead", "Overhead", 2850),
    ]
    assert cost.cents == 17_910
    assert cost.seconds == 12_600


def test_hours_from_before_the_first_rates_cost_nothing(owner: Person) -> None:
    with clock.as_of(APRIL):
        knife = knives.make_knife(pattern="petty", by=owner)
        knives.add_minutes(knife=knife, step="grind", minutes=60, person=owner)
    rates.set_rates(from_date=date(2026, 5, 1), values=NEW, by=owner)
    with clock.as_of(MAY):
        knives.add_minutes(knife=knife, step="sheath", minutes=30, person=owner)

    cost = knife_cost.knife_cost(knife, history=rates.history(), house=House())

    assert [(one.key, one.cents) for one in cost.lines] == [("labour", 2250), ("overhead", 450)]


def test_the_page_says_which_rates_it_went_by(as_owner: Client, owner: Person) -> None:
    knife = begun_in_april(owner)

    shown = as_owner.get(reverse("shop:knife-detail", args=[knife.pk])).text

    assert "Each line of hours is reckoned with the rates of its own day" in shown
    assert "all else with those that hold from 1 Jan 2026" in shown
