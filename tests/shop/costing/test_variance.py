"""Planned against real: the reasons add up to the difference."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.costing.lines import Line, waterfall
from shop.costing.seats import Made, PlannedLine, Used, reason_lines, variance, variances
from stock.quantities.money import MoneyError

USED = st.builds(Used, amount=st.integers(0, 10**9), cents=st.integers(0, 10**7))
MADE = st.builds(Made, seats=st.integers(0, 24), billets=st.integers(0, 40))


def test_metal_splits_into_failures_amount_and_price() -> None:
    # planned 8 billets of 100 mm at 10 cents/mm: 80.00; real 10 billets, 1 050 mm, 126.00.
    # two more billets +20.00; 50 mm more +5.00; 12 instead of 10 cents/mm +21.00
    metal = PlannedLine("metal", "Copper", Used(800, 8_000), Used(1_050, 12_600))

    found = variance(metal, planned=Made(6, 8), real=Made(6, 10))

    assert found.difference_cents == 4_600
    assert found.seats_cents == 0
    assert found.failures_cents == 2_000
    assert found.amount_cents == 500
    assert found.price_cents == 2_100


def test_hours_split_into_time_and_rate() -> None:
    hours = PlannedLine("labour", "Forging", Used(36_000, 40_000), Used(45_000, 45_000), "nothing")

    found = variance(hours, planned=Made(6, 8), real=Made(6, 10))

    assert (found.seats_cents, found.failures_cents) == (0, 0)
    assert found.amount_cents == 10_000
    assert found.price_cents == -5_000


def test_an_empty_seat_is_no_failure() -> None:
    # 6 seats and 9 billets planned; 4 seats and 6 billets real: in proportion
    metal = PlannedLine("metal", "Steel", Used(900, 9_000), Used(600, 6_000))

    found = variance(metal, planned=Made(6, 9), real=Made(4, 6))

    assert found.seats_cents == -3_000
    assert (found.failures_cents, found.amount_cents, found.price_cents) == (0, 0, 0)


def test_lunch_follows_the_seats_alone() -> None:
    lunch = PlannedLine("lunch", "Lunch", Used(6, 9_000), Used(5, 7_500), "seats")

    found = variance(lunch, planned=Made(6, 8), real=Made(5, 12))

    assert (found.seats_cents, found.failures_cents) == (-1_500, 0)


def test_a_line_that_was_not_planned_is_all_price() -> None:
    extra = PlannedLine("services", "Crane", Used(0, 0), Used(1, 5_000), "nothing")

    found = variance(extra, planned=Made(6, 8), real=Made(6, 8))

    assert found.price_cents == 5_000


def test_the_reasons_lead_a_waterfall_from_plan_to_real() -> None:
    metal = PlannedLine("metal", "Copper", Used(800, 8_000), Used(1_050, 12_600))
    splits = variances([metal], planned=Made(6, 8), real=Made(6, 10))

    steps = reason_lines(splits)
    rows = waterfall(steps, start=("Planned", 8_000), end="Real")

    assert steps == (
        Line("failures", "More or fewer billets for those seats", 2_000),
        Line("amount", "Copper: amount", 500),
        Line("price", "Copper: price", 2_100),
    )
    assert rows[-1].end_cents == 12_600


def test_a_line_must_follow_something_we_know() -> None:
    with pytest.raises(MoneyError, match="'moon' is nothing a cost can follow"):
        PlannedLine("metal", "Copper", Used(0, 0), Used(0, 0), "moon")


def test_an_amount_below_nothing_is_refused() -> None:
    with pytest.raises(MoneyError, match="amount was given as -1"):
        Used(-1, 0)


@given(USED, USED, MADE, MADE, st.sampled_from(["billets", "seats", "nothing"]))
def test_the_reasons_always_add_up_to_the_difference(
    plan: Used, real: Used, made: Made, made_real: Made, follows: str
) -> None:
    line = PlannedLine("metal", "Copper", plan, real, follows)

    found = variance(line, planned=made, real=made_real)

    reasons = (found.seats_cents, found.failures_cents, found.amount_cents, found.price_cents)
    assert sum(reasons) == real.cents - plan.cents


@given(USED, MADE)
def test_a_class_that_went_as_planned_has_no_reasons(plan: Used, made: Made) -> None:
    line = PlannedLine("metal", "Copper", plan, plan)

    assert reason_lines(variances([line], planned=made, real=made)) == ()
