"""Laws of the shop's money under any figures: sums add up, and nothing falls below nothing."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from itertools import accumulate

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from shop.costing.billet import BilletWork, billet_lines, sound_cost
from shop.costing.deposits import Payment, seat_money
from shop.costing.knife import KnifeWork, blade_shares_cents, knife_lines, price_floor
from shop.costing.lines import Line, Step, hours_lines, total_cents, waterfall
from shop.costing.pricing import Charges, Fee
from shop.costing.rate_values import shop_rates
from shop.costing.seats import (
    ClassCosts,
    Made,
    PlannedLine,
    Used,
    break_even,
    class_priced,
    next_seat_cents,
    reason_lines,
    seats_table,
    variances,
)
from shop.reports.metal_used import Use, cells, rows_by
from shop.words.money_choices import LOCALES
from stock.house import House
from stock.quantities.money import MoneyError, allocate, money_text
from stock.web.fields import MoneyField

CENTS = st.integers(min_value=0, max_value=10_000_000)
SECONDS = st.integers(min_value=0, max_value=100_000)
RATES = st.fixed_dictionaries(
    {
        "labour_cents_per_hour": CENTS,
        "overhead_cents_per_hour": CENTS,
        "fuel_cents": CENTS,
        "burn_ug_per_hour": st.integers(0, 10**10),
        "power_cents": CENTS,
        "shielding_cents": CENTS,
        "shielding_per_ml": st.integers(1, 10**7),
        "shielding_ml_per_minute": st.integers(0, 10**5),
        "filler_cents": CENTS,
        "billet_consumables_cents": CENTS,
        "knife_consumables_cents": CENTS,
    }
)
CHARGES = st.builds(Charges, st.integers(0, 2_000), st.integers(0, 500), st.integers(0, 3_000))


@pytest.mark.slow
@given(RATES, CENTS, SECONDS, SECONDS, st.integers(1, 8))
def test_every_line_of_a_billet_is_nothing_or_more_and_they_add_up(
    sheet: dict[str, int], metal: int, fire: int, hands: int, together: int
) -> None:
    work = BilletWork(
        metal_cents=metal,
        fire_seconds=fire,
        in_the_fire_together=together,
        steps=(Step("Cut", hands), Step("Weld", fire)),
    )

    lines = billet_lines(work, rates=shop_rates(sheet).rates)

    assert all(line.cents > 0 for line in lines)
    assert waterfall(lines)[-1].cents == total_cents(lines)


@pytest.mark.slow
@given(RATES, CENTS, SECONDS)
def test_a_billet_never_costs_less_than_its_metal(
    sheet: dict[str, int], metal: int, hands: int
) -> None:
    work = BilletWork(metal_cents=metal, steps=(Step("Cut", hands),))

    assert total_cents(billet_lines(work, rates=shop_rates(sheet).rates)) >= metal


@given(CENTS, st.integers(1, 1000), st.integers(1, 1000), st.integers(1, 1000))
def test_a_sound_billet_costs_no_less_than_one_made(
    made: int, low: int, middle: int, high: int
) -> None:
    first, second, third = sorted((low, middle, high))
    shares = [Fraction(one, 1000) for one in (first, second, third)]

    found = sound_cost(made_cents=made, sound_share=shares[1], interval=(shares[0], shares[2]))

    assert made <= found.low_cents <= found.cents <= found.high_cents


@given(CENTS, CENTS, CENTS, st.integers(1, 60), CHARGES)
def test_what_each_seat_adds_comes_to_the_profit(
    fixed: int, per_seat: int, fee: int, seats: int, charges: Charges
) -> None:
    costs = ClassCosts(
        seats=seats, fixed=(Line("place", "Place", fixed),), per_seat=(Line("s", "Seat", per_seat),)
    )

    rows = seats_table(costs, fee=Fee(fee, charges))

    assert rows[0].profit_cents == -fixed
    assert sum(row.adds_cents for row in rows) == rows[-1].profit_cents + fixed
    assert rows[-1].adds_cents == next_seat_cents(costs, taken=seats - 1, fee=Fee(fee, charges))


@given(CENTS, CENTS, CENTS, st.integers(1, 60))
def test_break_even_is_the_first_number_of_seats_without_a_loss(
    fixed: int, per_seat: int, fee: int, seats: int
) -> None:
    costs = ClassCosts(
        seats=seats, fixed=(Line("place", "Place", fixed),), per_seat=(Line("s", "Seat", per_seat),)
    )

    found = break_even(costs, fee=Fee(fee))

    profits = [row.profit_cents for row in seats_table(costs, fee=Fee(fee))]
    if found.is_within_reach:
        assert found.seats is not None
        assert all(profit >= 0 for profit in profits[found.seats :])
        assert found.seats == 0 or profits[found.seats - 1] < 0
    else:
        assert profits[-1] < 0


@given(CENTS, st.lists(st.integers(1, 10**9), min_size=1, max_size=6))
def test_the_blades_of_a_billet_carry_all_of_it(cents: int, lengths: list[int]) -> None:
    shares = blade_shares_cents(cents, lengths_nm=lengths)

    assert sum(shares) == cents
    assert min(shares) >= 0


@pytest.mark.slow
@given(RATES, CENTS, CENTS, SECONDS, CHARGES)
def test_the_floor_of_a_knife_pays_all_its_costs(
    sheet: dict[str, int], blade: int, part: int, hands: int, charges: Charges
) -> None:
    work = KnifeWork(
        blade_cents=blade, parts=(Line("parts", "Pins", part),), steps=(Step("Grind", hands),)
    )
    lines = knife_lines(work, rates=shop_rates(sheet).rates)

    floor = price_floor(lines, charges=charges)

    assert charges.net_cents(floor.without_loss_cents) >= total_cents(lines)
    assert 0 <= floor.out_of_pocket_cents <= floor.without_loss_cents


@pytest.mark.slow
@given(CENTS, st.lists(st.tuples(CENTS, st.booleans()), max_size=8))
def test_a_seat_s_money_is_never_lost(fee: int, paid: list[tuple[int, bool]]) -> None:
    held = 0
    payments = []
    for cents, is_refund in paid:
        assume(not is_refund or cents <= held)
        held += -cents if is_refund else cents
        payments.append(Payment(date(2026, 4, 1), cents, "refund" if is_refund else "deposit"))

    money = seat_money(fee_cents=fee, payments=payments)

    assert money.kept_cents == held >= 0
    assert min(money.owed_cents, money.to_refund_cents) == 0
    assert money.kept_cents + money.owed_cents - money.to_refund_cents == fee


USED = st.builds(Used, st.integers(0, 10**6), CENTS)
FOLLOWS = st.sampled_from(["billets", "seats", "nothing"])
MADE = st.builds(Made, st.integers(0, 40), st.integers(0, 60))


PLANNED = st.builds(PlannedLine, st.just("k"), st.just("L"), USED, USED, FOLLOWS)


@pytest.mark.slow
@given(st.lists(PLANNED, max_size=6), MADE, MADE)
def test_the_reasons_always_come_to_the_difference(
    lines: list[PlannedLine], planned: Made, real: Made
) -> None:
    splits = variances(lines, planned=planned, real=real)

    total = sum(split.difference_cents for split in splits)
    assert total_cents(reason_lines(splits)) == total
    assert total == sum(line.real.cents - line.planned.cents for line in lines)


USES = st.builds(
    Use,
    st.sampled_from(["2026-03", "2026-04"]),
    st.sampled_from(["1084", "copper"]),
    st.sampled_from(["knives", "class"]),
    st.integers(0, 10**9),
    CENTS,
    st.booleans(),
)


@pytest.mark.slow
@given(st.lists(USES, max_size=20))
def test_a_report_added_up_any_way_comes_to_the_ledger(uses: list[Use]) -> None:
    found = cells(uses)

    for rows in (
        rows_by(found, lambda cell: cell.month),
        rows_by(found, lambda cell: cell.alloy),
        rows_by(found, lambda cell: cell.user),
    ):
        assert sum(row.cents for row in rows) == sum(use.cents for use in uses)
        assert sum(row.mass_ug for row in rows) == sum(use.mass_ug for use in uses)
        assert all(0 <= row.scrap_ug <= row.mass_ug for row in rows)


@given(RATES, SECONDS, SECONDS)
def test_hours_in_two_steps_cost_what_each_costs(
    sheet: dict[str, int], first: int, second: int
) -> None:
    rates = shop_rates(sheet | {"overhead_cents_per_hour": 0}).rates

    both = hours_lines([Step("A", first), Step("B", second)], rates=rates)
    one, other = (hours_lines([Step("A", time)], rates=rates) for time in (first, second))

    assert total_cents(both) == total_cents(one) + total_cents(other)


@pytest.mark.parametrize(
    ("currency", "locale", "text"),
    [
        ("JPY", "en_US", "¥1,234,567"),  # no decimals
        ("KWD", "en_US", "KWD1,234.567"),  # three of them
        ("USD", "en_US", "$12,345.67"),
    ],
)
def test_a_sum_is_the_same_whole_number_in_any_currency(
    currency: str, locale: str, text: str
) -> None:
    parts = allocate(1_234_567, weights=(1, 2, 4))

    assert sum(parts) == 1_234_567
    assert money_text(sum(parts), currency=currency, locale=locale) == text


@pytest.mark.slow
@given(
    CENTS, CENTS, CENTS, st.lists(st.integers(-1000, 1000), min_size=1, max_size=20), CENTS, CHARGES
)
def test_own_billets_and_kept_deposits_are_counted_once_whatever_is_taken(
    fixed: int, per_seat: int, fee: int, own: list[int], kept: int, charges: Charges
) -> None:
    extra = (0, *accumulate(own))
    lowest = min(extra)
    costs = ClassCosts(
        seats=len(own),
        fixed=(Line("place", "Place", fixed - lowest),),
        per_seat=(Line("s", "Seat", per_seat),),
        extra_cents=extra,
        kept_cents=kept,
    )

    rows = seats_table(costs, fee=Fee(fee, charges))

    assert rows[0].profit_cents == kept - (fixed - lowest)
    for row in rows:
        whole = class_priced(costs, taken=row.taken, fee=Fee(fee, charges))
        assert whole.profit_cents == row.profit_cents
        assert costs.cost_cents(row.taken) >= 0
    assert sum(row.adds_cents for row in rows) == rows[-1].profit_cents - rows[0].profit_cents


def test_own_billets_that_would_make_a_class_cost_less_than_nothing_are_refused() -> None:
    with pytest.raises(MoneyError, match="cannot be below 0"):
        ClassCosts(seats=1, extra_cents=(0, -1))


MONEY_HOUSES = st.builds(
    House,
    currency=st.sampled_from(["JPY", "KRW", "USD", "EUR", "NOK", "KWD", "TND"]),
    locale=st.sampled_from(LOCALES),
)


@given(MONEY_HOUSES, st.integers(0, 10**8))
def test_money_in_a_field_reads_back_in_any_currency_and_language(house: House, cents: int) -> None:
    field = MoneyField()
    field.use(house)

    assert field.clean(field.prepare_value(cents)) == cents


@given(MONEY_HOUSES, st.integers(0, 10**8))
def test_money_as_it_is_shown_can_be_typed_back(house: House, cents: int) -> None:
    field = MoneyField()
    field.use(house)

    shown = money_text(cents, currency=house.currency, locale=house.locale)

    assert field.clean(shown) == cents
