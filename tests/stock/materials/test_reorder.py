"""Reorder levels: what falls below, when, and through what."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stock.materials.reorder import Change, Shelf, reorders
from stock.quantities.money import MoneyError

TODAY = date(2025, 6, 2)
JULY = date(2025, 7, 1)
AUGUST = date(2025, 8, 1)


def make_shelf(
    *changes: Change, on_hand: int = 1_000, level: int = 500, key: str = "copper"
) -> Shelf:
    return Shelf(key, key, on_hand, level, tuple(changes))


def test_a_plan_that_takes_it_below_is_named_with_its_day() -> None:
    shelf = make_shelf(Change(JULY, -300, "June class"), Change(AUGUST, -300, "July class"))

    found = reorders([shelf], today=TODAY)

    assert len(found) == 1
    assert (found[0].day, found[0].left, found[0].why) == (AUGUST, 400, "July class")
    assert found[0].missing == 100


def test_at_the_level_is_not_below_it() -> None:
    assert reorders([make_shelf(Change(JULY, -500, "June class"))], today=TODAY) == ()


def test_an_order_that_comes_before_keeps_it_up() -> None:
    order = Change(JULY, 400, "on order")

    assert reorders([make_shelf(Change(JULY, -700, "class"), order)], today=TODAY) == ()


def test_an_order_that_comes_after_does_not() -> None:
    shelf = make_shelf(Change(JULY, -700, "class"), Change(AUGUST, 400, "on order"))

    found = reorders([shelf], today=TODAY)[0]

    assert (found.day, found.left, found.lowest, found.missing) == (JULY, 300, 300, 200)


def test_what_is_below_already_is_due_today() -> None:
    found = reorders([make_shelf(on_hand=100)], today=TODAY)[0]

    assert (found.day, found.left, found.missing, found.why) == (TODAY, 100, 400, "")


def test_an_overdue_plan_counts_as_todays() -> None:
    found = reorders([make_shelf(Change(date(2025, 5, 1), -600, "late class"))], today=TODAY)[0]

    assert found.day == TODAY


def test_the_soonest_comes_first() -> None:
    shelves = [
        make_shelf(Change(AUGUST, -600, "b"), key="steel"),
        make_shelf(Change(JULY, -600, "a"), key="copper"),
    ]

    assert [one.key for one in reorders(shelves, today=TODAY)] == ["copper", "steel"]


def test_a_level_below_nothing_is_refused() -> None:
    with pytest.raises(MoneyError, match="reorder level was given as -1"):
        make_shelf(level=-1)


@given(
    st.integers(0, 1_000),
    st.integers(0, 1_000),
    st.lists(st.tuples(st.dates(TODAY, AUGUST), st.integers(-400, 400)), max_size=8),
)
def test_with_what_is_missing_in_hand_nothing_falls_below(
    on_hand: int, level: int, changes: list[tuple[date, int]]
) -> None:
    listed = [Change(day, amount, "plan") for day, amount in changes]

    for one in reorders([make_shelf(*listed, on_hand=on_hand, level=level)], today=TODAY):
        assert one.missing > 0
        more = make_shelf(*listed, on_hand=on_hand + one.missing, level=level)
        assert reorders([more], today=TODAY) == ()
