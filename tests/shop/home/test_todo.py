"""What is next for a class: one thing, in the order of the work."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from shop.home.todo import ClassState, Todo, class_todo, soonest_first

TODAY = date(2026, 5, 4)


def state(**changes: Any) -> ClassState:
    """A class on 20 May with everything cut."""
    about: dict[str, Any] = {
        "pk": 7,
        "title": "Copper blades",
        "starts_on": date(2026, 5, 20),
        "ends_on": date(2026, 5, 21),
        "seats": 4,
        "cut": 20,
        "standing": 0,
        "unplanned": 0,
    } | changes
    return ClassState(**about)


@pytest.mark.parametrize(
    ("changes", "title", "page"),
    [
        ({"seats": 0, "cut": 0}, "Seat the students of Copper blades", "shop:seat-paste"),
        ({"unplanned": 5}, "Plan the metal for Copper blades", "shop:plan"),
        ({"unplanned": 5, "has_ready_plan": True}, "Confirm the plan for Copper blades",
         "shop:plan"),
        ({"unplanned": 5, "order_by": date(2026, 5, 9)}, "Order metal for Copper blades",
         "shop:buying"),
        ({"standing": 1}, "Cut 1 blank for Copper blades", "shop:cut-list"),
        ({"starts_on": date(2026, 5, 18)}, "Print the sheets for Copper blades",
         "shop:class-detail"),
        ({"ends_on": date(2026, 5, 3)}, "Write down what came of Copper blades",
         "shop:after-class"),
    ],
)  # fmt: skip
def test_each_state_of_a_class_has_its_next_thing(
    changes: dict[str, Any], title: str, page: str
) -> None:
    found = class_todo(state(**changes), today=TODAY)

    assert found is not None
    assert (found.title, found.page) == (title, page)


def test_a_class_that_is_cut_and_far_away_asks_for_nothing() -> None:
    assert class_todo(state(starts_on=date(2026, 5, 19)), today=TODAY) is None


def test_a_ready_plan_that_is_short_is_not_to_be_confirmed() -> None:
    found = class_todo(
        state(unplanned=5, has_ready_plan=True, is_drafted_short=True, order_by=date(2026, 5, 9)),
        today=TODAY,
    )

    assert found is not None
    assert found.title == "Order metal for Copper blades"


def test_an_order_day_that_has_passed_is_late() -> None:
    found = class_todo(state(unplanned=1, order_by=date(2026, 5, 3)), today=TODAY)

    assert found is not None
    assert found.is_late
    assert found.about == "1 blank has no metal, and the rack has not enough."


def test_late_things_come_first_and_those_without_a_day_last() -> None:
    some_day = Todo("some day", "", "", "")
    soon = Todo("soon", "", "", "", due=date(2026, 5, 6))
    late = Todo("late", "", "", "", due=date(2026, 5, 9), is_late=True)

    found = soonest_first([some_day, None, soon, late])

    assert [one.title for one in found] == ["late", "soon", "some day"]
