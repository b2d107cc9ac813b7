"""What is to be done next for a class, an order or an empty shop, soonest first. Pure.

It leaves out reading the database (`shop.home.reading`) and how it is shown.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from shop.words.numbers import counted, verb

SHEETS_FROM_DAYS = 14  # worksheets are offered this long before a class; our own choice


@dataclass(frozen=True)
class Todo:
    """One thing to do: what, what for, by when, and the page where it is done.

    `page` is the name of a page, `key` what its address is made of.
    """

    title: str
    about: str
    act: str
    page: str
    key: str = ""
    due: date | None = None
    is_late: bool = False


@dataclass(frozen=True)
class ClassState:
    """Where a class stands: its days, its blanks, and the dates that were worked back from it."""

    pk: int
    title: str
    starts_on: date
    ends_on: date
    seats: int  # with spares; 0 when nobody is seated
    cut: int
    standing: int
    unplanned: int
    has_ready_plan: bool = False
    is_drafted_short: bool = False  # the ready plan wants for metal
    order_by: date | None = None  # the last day to order what is short
    begin_by: date | None = None  # the day that preparing must begin


def class_todo(found: ClassState, *, today: date) -> Todo | None:
    """The next thing to do for a class that is on.

    Args:
        found: where it stands.
        today: the day it is.

    Returns:
        One thing, or nothing when all of it is done and the class is still far.
    """
    key = str(found.pk)
    if found.ends_on < today:
        return Todo(
            f"Write down what came of {found.title}",
            "It is over; sizes and outcomes are missing.",
            "After class",
            "shop:after-class",
            key,
            found.ends_on,
        )
    if not found.seats:
        return Todo(
            f"Seat the students of {found.title}",
            "Nobody is seated yet.",
            "Add students",
            "shop:seat-paste",
            key,
            found.begin_by,
        )
    if found.unplanned:
        return metal_todo(found, today=today)
    if found.standing:
        return Todo(
            f"Cut {counted(found.standing, 'blank')} for {found.title}",
            f"{found.cut} of {found.cut + found.standing} are cut.",
            "Open the cut list",
            "shop:cut-list",
            key,
            found.begin_by,
            is_late=found.begin_by is not None and found.begin_by < today,
        )
    if (found.starts_on - today).days <= SHEETS_FROM_DAYS:
        return Todo(
            f"Print the sheets for {found.title}",
            "Everything is cut.",
            "To the class",
            "shop:class-detail",
            key,
            found.starts_on,
        )
    return None


def metal_todo(found: ClassState, *, today: date) -> Todo:
    """Metal that a class has not got yet: confirm a plan, buy, or make the plan.

    Args:
        found: where the class stands; some of its blanks have no metal.
        today: the day it is.

    Returns:
        One thing.
    """
    key, number = str(found.pk), found.unplanned
    lack = f"{counted(number, 'blank')} {verb(number, 'has', 'have')} no metal"
    if found.has_ready_plan and not found.is_drafted_short:
        return Todo(
            f"Confirm the plan for {found.title}",
            "Nothing is set aside before that.",
            "See the plan",
            "shop:plan",
            key,
            found.begin_by,
        )
    if found.order_by is not None:
        is_late = found.order_by < today
        about = f"{lack}, and the rack has not enough."
        return Todo(
            f"Order metal for {found.title}",
            about,
            "See what to buy",
            "shop:buying",
            "",
            found.order_by,
            is_late=is_late,
        )
    return Todo(
        f"Plan the metal for {found.title}",
        f"{lack} yet.",
        "To the plan",
        "shop:plan",
        key,
        found.begin_by,
    )


def soonest_first(todos: Iterable[Todo | None]) -> list[Todo]:
    """What is late first, then by day; what has no day comes last.

    Args:
        todos: any; nothings are passed over.

    Returns:
        The same things in order.
    """
    found = [one for one in todos if one is not None]
    return sorted(found, key=lambda one: (not one.is_late, one.due is None, one.due or date.max))
