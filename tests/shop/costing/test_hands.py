"""Hands at a billet: written-down time before usual time, machines and fire in proportion."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from fractions import Fraction
from typing import Any

import pytest
from bs4 import BeautifulSoup
from django.urls import reverse
from hypothesis import given
from hypothesis import strategies as st

from billets.history import writing as history
from billets.hours import writing as hours
from billets.layup.work_time import Spell, Worked
from billets.models import Billet
from shop.billet_cost import reading as billet_cost_reading
from shop.costing.billet import joined, machine_seconds, real_work
from shop.costing.labour import (
    Reached,
    all_hands,
    at_step,
    fire_seconds,
    forging_share,
    in_proportion,
    step_hours,
)
from shop.costing.lines import Line
from shop.costing.rate_values import ShopRates, shop_rates
from shop.rates import writing as rates
from stock import clock
from stock.house import House
from tests.kinds import Client, MakeLayup, Person

T0 = datetime(2026, 4, 1, 9, tzinfo=UTC)
SHEET: dict[str, Any] = {
    "labour_cents_per_hour": 3000, "overhead_cents_per_hour": 1200, "cut_s": 600, "clean_s": 300,
    "weld_s": 900, "finish_s": 1200, "heat_s": 360, "arc_s": 300, "in_the_fire_together": 3,
    "machine_s_welder": 240, "watts_welder": 4000, "machine_s_saw": 360, "watts_saw": 900,
    "machine_s_press": 1000, "watts_press": 3600, "people": {"7": 2000},
}  # fmt: skip


@pytest.fixture
def shop() -> ShopRates:
    """Rates and usual times of the tests."""
    return shop_rates(SHEET)


def spell(seconds: int, *, billets: int = 1, person: int = 3, is_typed: bool = False) -> Spell:
    """A spell that is shared equally."""
    return Spell(seconds, billets, seconds // billets, person, is_typed)


def test_written_down_time_goes_before_the_usual_one(shop: ShopRates) -> None:
    reached = Reached(
        steps={"cut_s": 3, "weld_s": 3}, worked={"weld_s": Worked((spell(2880, person=7),))}
    )

    steps = all_hands(shop, reached, is_for_class=True)

    assert [(one.name, one.seconds, one.cents_per_hour) for one in steps] == [
        ("Cut", 600, None),
        ("Weld shut", 2880, 2000),
    ]


def test_a_step_that_nobody_reached_nor_worked_at_is_nothing(shop: ShopRates) -> None:
    assert all_hands(shop, Reached(), is_for_class=False) == ()


def test_time_at_a_step_that_is_not_reached_yet_counts(shop: ShopRates) -> None:
    reached = Reached(worked={"clean_s": Worked((spell(120),))})

    assert [one.seconds for one in all_hands(shop, reached, is_for_class=True)] == [120]


def test_two_people_at_a_step_have_their_own_rates(shop: ShopRates) -> None:
    worked = Worked((spell(600, person=7), spell(300, person=3), spell(60, person=7)))

    steps = all_hands(shop, Reached(worked={"cut_s": worked}), is_for_class=True)

    assert [(one.seconds, one.cents_per_hour) for one in steps] == [(660, 2000), (300, None)]


def test_a_class_pays_only_for_forging_that_its_own_people_wrote_down(shop: ShopRates) -> None:
    bare = Reached(steps={"finish_s": 3}, heats=5)
    written = Reached(
        steps={"finish_s": 3}, heats=5, worked={"forge_s": Worked((spell(600, person=7),))}
    )

    assert all_hands(shop, bare, is_for_class=True) == ()
    assert [(one.name, one.seconds) for one in all_hands(shop, written, is_for_class=True)] == [
        ("Forge, 5 heats", 600)
    ]
    assert [one.seconds for one in all_hands(shop, bare, is_for_class=False)] == [1800, 1200]


def test_machines_and_the_arc_go_with_the_time_of_their_step(shop: ShopRates) -> None:
    # Welding took 30 min where 15 are usual: everything twice.
    reached = Reached(steps={"cut_s": 3}, worked={"weld_s": Worked((spell(1800),))})

    work = real_work(shop, reached, metal_cents=0, planned_heats=7, is_for_class=True)

    assert work.arc_seconds == 600
    assert machine_seconds(shop, reached, planned_heats=7) == {"saw": 360, "welder": 480}


@pytest.mark.parametrize(
    ("worked_s", "usual_s", "seconds"),
    [(0, 900, 300), (1800, 0, 300), (1800, 900, 600), (1, 3, 100)],
)
def test_without_one_of_the_two_times_the_usual_one_stands(
    worked_s: int, usual_s: int, seconds: int
) -> None:
    assert in_proportion(300, worked_s=worked_s, usual_s=usual_s) == seconds


def test_a_step_without_time_and_not_reached_draws_no_power(shop: ShopRates) -> None:
    assert at_step(shop.usual, Reached(), name="weld_s", seconds=240) == 0


def test_the_press_goes_with_the_forging_that_was_written_down(shop: ShopRates) -> None:
    # 7 heats of 6 min are 42 min; 21 min are half of it.
    reached = Reached(heats=9, worked={"forge_s": Worked((spell(1260),))})

    assert forging_share(shop.usual, reached, planned_heats=7) == Fraction(1, 2)
    assert machine_seconds(shop, reached, planned_heats=7)["press"] == 500


@pytest.mark.parametrize(
    ("spells", "seconds"),
    [
        ((), 7 * 360),  # by heats
        ((spell(3600),), 3600),  # alone at the fire: a third of it later, as usual
        ((spell(3600, billets=3),), 3600),
        ((spell(3600, billets=12),), 900),  # 12 in a fire for 3: an hour is 5 minutes each
        ((spell(600), spell(1200, billets=6)), 1200),
    ],
)
def test_the_fire_burns_for_all_its_billets_at_once(
    shop: ShopRates, spells: tuple[Spell, ...], seconds: int
) -> None:
    worked = {"forge_s": Worked(spells)} if spells else {}

    assert fire_seconds(shop.usual, Reached(heats=7, worked=worked)) == seconds


@given(st.integers(0, 10**5), st.integers(1, 40), st.integers(1, 12))
def test_billets_of_one_clock_never_burn_more_than_the_fire(
    seconds: int, billets: int, room: int
) -> None:
    usual = shop_rates({"in_the_fire_together": room, "heat_s": 360}).usual
    reached = Reached(
        worked={"forge_s": Worked((Spell(seconds, billets, seconds, 1),))} if seconds else {}
    )

    burnt = Fraction(billets * fire_seconds(usual, reached), room)

    # Each billet's seconds are rounded to the nearest: half a second a billet at most.
    assert burnt <= seconds + Fraction(billets, 2 * room)


def test_each_step_says_what_its_time_rests_on(shop: ShopRates) -> None:
    reached = Reached(
        steps={"cut_s": 3, "clean_s": 3, "weld_s": 3},
        worked={
            "clean_s": Worked((spell(240, is_typed=True),)),
            "weld_s": Worked((spell(2880),)),
        },
    )

    found = step_hours(shop, reached, planned_heats=7, is_for_class=False)

    assert [(one.word, one.planned, one.real if one.how else "", one.how) for one in found] == [
        ("Cut", "10 min", "10 min", "usual"),
        ("Clean", "5 min", "4 min", "written by hand"),
        ("Weld shut", "15 min", "48 min", "by the clock"),
        ("Forge", "42 min", "", ""),
        ("Finish", "20 min", "", ""),
    ]


def test_students_forging_is_not_planned(shop: ShopRates) -> None:
    found = step_hours(shop, Reached(heats=7), planned_heats=7, is_for_class=True)

    assert [one.word for one in found] == ["Cut", "Clean", "Weld shut"]


def test_two_people_at_a_step_are_one_line_of_the_cost() -> None:
    lines = [Line("labour", "Cut", 50), Line("labour", "Weld", 20), Line("labour", "Cut", 7)]

    assert joined(lines) == (Line("labour", "Cut", 57), Line("labour", "Weld", 20))


@pytest.fixture
def welded(make_layup: MakeLayup, owner: Person, helper: Person) -> Billet:
    """A billet of one's own, welded shut in 48 minutes by somebody at 20.00 an hour."""
    rates.set_rates(
        from_date=date(2020, 1, 1), by=owner, values=SHEET | {"people": {str(helper.pk): 2000}}
    )
    with clock.as_of(T0):
        billet = history.make_billet(layup=make_layup(), by=owner)
        for kind in ("cut", "cleaned"):
            history.record_step(billet=billet, kind=kind, by=owner)
        hours.start_clock(billets=[billet], step="weld", person=helper)
    with clock.as_of(T0 + timedelta(minutes=48)):
        hours.stop_clock(person=helper)
        history.record_step(billet=billet, kind="welded", by=owner)
    return billet


def test_a_billet_costs_the_hours_that_stand_written_down(welded: Billet) -> None:
    cost = billet_cost_reading.billet_cost(welded, history=rates.history(), house=House())

    labour = {line.label: line.cents for line in cost.real if line.key in ("labour", "overhead")}
    # Cut 10 and clean 5 min at 30.00, weld 48 min at 20.00; overhead 63 min at 12.00.
    assert labour == {"Cut": 500, "Clean": 250, "Weld shut": 1600, "Overhead": 1260}


def test_the_cost_page_says_by_the_clock_or_usual(as_owner: Client, welded: Billet) -> None:
    page = as_owner.get(reverse("shop:billet-cost", args=[welded.mark])).text

    text = " ".join(BeautifulSoup(page, "html.parser").get_text(" ").split())
    assert "Weld shut 15 min 48 min, by the clock" in text
    assert "Cut 10 min 10 min, usual" in text


def test_a_struck_clock_leaves_the_usual_minutes(welded: Billet, owner: Person) -> None:
    hours.strike(time=welded.times.get(), by=owner)

    cost = billet_cost_reading.billet_cost(welded, history=rates.history(), house=House())

    assert next(line.cents for line in cost.real if line.label == "Weld shut") == 750
