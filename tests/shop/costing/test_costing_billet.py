"""What a billet costs, made and sound."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.costing.billet import BilletWork, billet_lines, sound_cost, sound_cost_cents
from shop.costing.lines import Line, MachineRun, Rates, Step, total_cents
from stock.quantities.money import JOULES_PER_KWH, UG_PER_KG, MoneyError, Price

RATES = Rates(
    labour_cents_per_hour=3_600,
    overhead_cents_per_hour=900,
    fuel=Price(cents=250, per=UG_PER_KG),
    burn_ug_per_hour=2 * UG_PER_KG,
    power=Price(cents=20, per=JOULES_PER_KWH),
    shielding=Price(cents=1_000, per=1_000_000),
    shielding_ml_per_minute=12_000,
    filler=Price(cents=800, per=UG_PER_KG),
    billet_consumables_cents=150,
)


def test_every_line_of_a_billet_is_the_amount_at_the_rate() -> None:
    work = BilletWork(
        metal_cents=1_234,
        filler_ug=50_000_000,  # 50 g at 8.00/kg
        arc_seconds=300,  # 60 l at 10.00 for 1 000 l
        fire_seconds=5_400,  # 3 kg at 2.50, shared by two
        in_the_fire_together=2,
        runs=(MachineRun("Press", watts=2_000, seconds=3_600),),
        steps=(Step("Stack and weld", 1_800), Step("Forge", 3_600)),
    )

    lines = billet_lines(work, rates=RATES)

    assert lines == (
        Line("metal", "Metal", 1_234),
        Line("filler", "Filler", 40),
        Line("shielding", "Shielding gas", 60),
        Line("fuel", "Fuel", 375),
        Line("power", "Power", 40),
        Line("consumables", "Consumables", 150),
        Line("labour", "Stack and weld", 1_800),
        Line("labour", "Forge", 3_600),
        Line("overhead", "Overhead", 1_350),
    )
    assert total_cents(lines) == 8_649


def test_lines_of_nothing_are_left_out() -> None:
    lines = billet_lines(BilletWork(metal_cents=500), rates=Rates())

    assert lines == (Line("metal", "Metal", 500),)


def test_a_billet_may_have_consumables_of_its_own() -> None:
    lines = billet_lines(BilletWork(metal_cents=0, consumables_cents=0), rates=RATES)

    assert lines == ()


def test_metal_of_less_than_nothing_is_refused() -> None:
    with pytest.raises(MoneyError, match="value of the metal was given as -1"):
        BilletWork(metal_cents=-1)


def test_a_fire_without_billets_is_refused() -> None:
    with pytest.raises(MoneyError, match="at least 1 must"):
        BilletWork(metal_cents=0, in_the_fire_together=0)


def test_a_sound_billet_carries_its_share_of_the_failed_ones() -> None:
    assert sound_cost_cents(made_cents=9_000, sound_share=Fraction(9, 10)) == 10_000


def test_salvage_of_failed_ones_is_taken_off() -> None:
    # two made for one sound at a half; the failed one is worth 20.00
    found = sound_cost_cents(made_cents=9_000, sound_share=Fraction(1, 2), salvage_cents=2_000)

    assert found == 16_000


def test_with_no_failures_a_sound_billet_costs_what_it_costs() -> None:
    found = sound_cost_cents(made_cents=9_000, sound_share=Fraction(1), salvage_cents=2_000)

    assert found == 9_000


def test_the_low_cost_goes_with_the_high_yield() -> None:
    found = sound_cost(
        made_cents=9_000, sound_share=Fraction(3, 4), interval=(Fraction(1, 2), Fraction(9, 10))
    )

    assert (found.low_cents, found.cents, found.high_cents) == (10_000, 12_000, 18_000)


@pytest.mark.parametrize("share", [Fraction(0), Fraction(-1, 2), Fraction(3, 2)])
def test_a_share_outside_nothing_to_all_is_refused(share: Fraction) -> None:
    with pytest.raises(MoneyError, match="above 0 and at most 1"):
        sound_cost_cents(made_cents=1, sound_share=share)


def test_a_failed_billet_worth_more_than_it_cost_is_refused() -> None:
    with pytest.raises(MoneyError, match="cannot be worth more"):
        sound_cost_cents(made_cents=1, sound_share=Fraction(1, 2), salvage_cents=2)


@pytest.mark.slow
@given(
    made=st.integers(0, 10**8),
    share=st.fractions(min_value=Fraction(1, 100), max_value=1),
    salvage=st.integers(0, 10**8),
)
def test_a_sound_billet_never_costs_less_than_one_made(
    made: int, share: Fraction, salvage: int
) -> None:
    found = sound_cost_cents(made_cents=made, sound_share=share, salvage_cents=min(made, salvage))

    assert found >= made
