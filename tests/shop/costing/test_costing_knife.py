"""Knives: cost, floor, price, what an hour really brought."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.costing.knife import (
    KnifeWork,
    blade_shares_cents,
    earned_cents_per_hour,
    knife_lines,
    price_floor,
    sold,
)
from shop.costing.lines import Line, MachineRun, Rates, Step
from shop.costing.pricing import Charges
from stock.quantities.money import JOULES_PER_KWH, MoneyError, Price

RATES = Rates(
    labour_cents_per_hour=4_000,
    overhead_cents_per_hour=1_000,
    power=Price(cents=20, per=JOULES_PER_KWH),
    knife_consumables_cents=900,
)
STEPS = (Step("Grind", 7_200), Step("Handle", 10_800))
WORK = KnifeWork(
    blade_cents=12_000,
    parts=(Line("handle", "Walnut scales", 1_800), Line("sheath", "Sheath", 2_500)),
    services=(Line("services", "Engraving", 3_000),),
    steps=STEPS,
    runs=(MachineRun("Grinder", watts=1_500, seconds=7_200),),
)


def test_every_line_of_a_knife() -> None:
    assert knife_lines(WORK, rates=RATES) == (
        Line("blade", "Blade", 12_000),
        Line("handle", "Walnut scales", 1_800),
        Line("sheath", "Sheath", 2_500),
        Line("services", "Engraving", 3_000),
        Line("power", "Power", 60),
        Line("consumables", "Consumables", 900),
        Line("labour", "Grind", 8_000),
        Line("labour", "Handle", 12_000),
        Line("overhead", "Overhead", 5_000),
    )


def test_the_floor_is_the_cost_and_below_it_what_was_paid_out() -> None:
    floor = price_floor(knife_lines(WORK, rates=RATES))

    assert floor.without_loss_cents == 45_260
    assert floor.out_of_pocket_cents == 20_260


def test_the_floor_pays_the_card_fee() -> None:
    # (452.60 + 0.30) / 0.971 = 466.426…
    charges = Charges(card_fee_bp=290, card_fixed_cents=30)

    floor = price_floor(knife_lines(WORK, rates=RATES), charges=charges)

    assert floor.without_loss_cents == 46_643


def test_a_knife_sold_under_cost_shows_its_loss() -> None:
    found = sold(knife_lines(WORK, rates=RATES), price_cents=40_000)

    assert found.profit_cents == -5_260


def test_what_an_hour_really_brought() -> None:
    # 452.60 less the 200.00 of labour is 252.60; 552.60 leaves 300.00 for five hours
    found = earned_cents_per_hour(knife_lines(WORK, rates=RATES), steps=STEPS, price_cents=55_260)

    assert found == 6_000


def test_without_recorded_time_an_hour_brought_nothing_known() -> None:
    assert earned_cents_per_hour([], steps=(), price_cents=100) is None


def test_three_blades_share_one_billet_by_length() -> None:
    shares = blade_shares_cents(10_000, lengths_nm=(200, 100, 100))

    assert shares == (5_000, 2_500, 2_500)


def test_a_blade_of_less_than_nothing_is_refused() -> None:
    with pytest.raises(MoneyError, match="cost of the blade was given as -1"):
        KnifeWork(blade_cents=-1)
    with pytest.raises(MoneyError, match="cost of Pins was given as -2"):
        KnifeWork(blade_cents=0, parts=(Line("handle", "Pins", -2),))
    with pytest.raises(MoneyError, match="cost of the billet was given as -1"):
        blade_shares_cents(-1, lengths_nm=(1,))


@given(
    billet=st.integers(0, 10**8),
    lengths=st.lists(st.integers(1, 10**9), min_size=1, max_size=8),
)
def test_blades_always_carry_the_whole_billet(billet: int, lengths: list[int]) -> None:
    assert sum(blade_shares_cents(billet, lengths_nm=lengths)) == billet
