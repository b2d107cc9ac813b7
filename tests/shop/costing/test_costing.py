"""Lines of a cost: rates of the day, hours, waterfall."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.costing.lines import (
    Line,
    MachineRun,
    Rates,
    Step,
    cents_of,
    hours_lines,
    power_line,
    total_cents,
    waterfall,
    worked_seconds,
)
from stock.quantities.money import JOULES_PER_KWH, MoneyError, Price


def test_each_step_is_a_line_and_overhead_is_one_for_all() -> None:
    rates = Rates(labour_cents_per_hour=4_000, overhead_cents_per_hour=1_200)

    lines = hours_lines([Step("Grind", 5_400), Step("Etch", 1_800)], rates=rates)

    assert lines == (
        Line("labour", "Grind", 6_000),
        Line("labour", "Etch", 2_000),
        Line("overhead", "Overhead", 2_400),
    )


def test_a_person_may_have_a_rate_of_their_own_even_none() -> None:
    rates = Rates(labour_cents_per_hour=4_000)
    steps = [Step("Forge", 3_600, cents_per_hour=2_500), Step("Sweep", 3_600, cents_per_hour=0)]

    assert hours_lines(steps, rates=rates) == (Line("labour", "Forge", 2_500),)


def test_power_is_priced_by_the_kilowatt_hour() -> None:
    # 2 200 W for 90 min = 3.3 kWh at 15 cents
    rates = Rates(power=Price(cents=15, per=JOULES_PER_KWH))

    line = power_line([MachineRun("Press", watts=2_200, seconds=5_400)], rates=rates)

    assert line == Line("power", "Power", 50)


def test_a_machine_cannot_run_backwards() -> None:
    with pytest.raises(MoneyError, match="time in seconds was given as -1"):
        power_line([MachineRun("Press", watts=1, seconds=-1)], rates=Rates())


def test_a_rate_below_zero_is_refused_by_name() -> None:
    with pytest.raises(MoneyError, match="overhead rate was given as -5"):
        Rates(overhead_cents_per_hour=-5)


def test_lines_add_up_in_all_and_by_kind() -> None:
    lines = [Line("metal", "Core", 300), Line("metal", "Copper", 200), Line("fuel", "Fuel", 50)]

    assert total_cents(lines) == 550
    assert cents_of(lines, "metal") == 500
    assert cents_of(lines, "power") == 0


def test_time_adds_up() -> None:
    assert worked_seconds([Step("a", 60), Step("b", 30)]) == 90


def test_a_waterfall_from_plan_to_real_goes_up_and_down() -> None:
    steps = [Line("price", "Copper dearer", 300), Line("amount", "Fewer hours", -100)]

    rows = waterfall(steps, start=("Planned", 1_000), end="Real")

    drawn = [(row.label, row.start_cents, row.end_cents, row.kind) for row in rows]
    assert drawn == [
        ("Planned", 0, 1_000, "total"),
        ("Copper dearer", 1_000, 1_300, "up"),
        ("Fewer hours", 1_300, 1_200, "down"),
        ("Real", 0, 1_200, "total"),
    ]


@given(st.lists(st.integers(-(10**6), 10**6), max_size=20), st.integers(0, 10**6))
def test_each_bar_of_a_waterfall_begins_where_the_last_one_ended(
    amounts: list[int], start: int
) -> None:
    lines = [Line("x", str(number), cents) for number, cents in enumerate(amounts)]

    rows = waterfall(lines, start=("Start", start))

    steps = rows[1:-1]
    ends = [start, *(row.end_cents for row in steps)]
    assert [row.start_cents for row in steps] == ends[:-1]
    assert rows[-1].end_cents == ends[-1] == start + sum(amounts)
