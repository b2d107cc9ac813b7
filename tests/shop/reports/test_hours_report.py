"""Where the hours went: by month, step and person; each sees what is theirs to see."""

from __future__ import annotations

import csv
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from bs4 import BeautifulSoup
from django.urls import reverse

from billets.history import writing as history
from billets.hours import writing as hours
from shop.knives import writing as knives
from shop.models import Knife
from shop.reports import hours as hours_report
from shop.reports.span import asked_span
from stock import clock
from tests.kinds import Client, DjangoAssertNumQueries, MakeLayup, Person


def spell(what: Any, *, step: str, person: Person, at: datetime, minutes: int) -> None:
    """One run of the clock at billets or at a knife."""
    with clock.as_of(at):
        if isinstance(what, Knife):
            knives.start_clock(knife=what, step=step, person=person)
        else:
            hours.start_clock(billets=what, step=step, person=person)
    with clock.as_of(at + timedelta(minutes=minutes)):
        hours.stop_clock(person=person)
        knives.stop_clock(person=person)


@pytest.fixture
def worked(make_layup: MakeLayup, owner: Person, helper: Person, knife: Knife) -> list[Any]:
    """Two billets and a knife, worked at in March and April by two people."""
    layup = make_layup()
    billets = [history.make_billet(layup=layup, by=owner) for _ in range(2)]
    march, april = datetime(2026, 3, 9, 9, tzinfo=UTC), datetime(2026, 4, 2, 9, tzinfo=UTC)
    spell(billets, step="cut", person=owner, at=march, minutes=30)
    spell(billets[:1], step="weld", person=helper, at=march, minutes=20)
    spell(billets, step="cut", person=owner, at=april, minutes=12)
    spell(knife, step="grind", person=helper, at=april, minutes=45)
    return billets


def test_hours_are_added_up_by_month_step_and_person(worked: Any) -> None:
    cells = hours_report.hour_cells()

    assert [(one.month, one.at, one.step, one.who, one.seconds) for one in cells] == [
        ("2026-04", "Billets", "cut", "Orla", 720),
        ("2026-04", "Knives", "grind", "Hugo", 2700),
        ("2026-03", "Billets", "cut", "Orla", 1800),
        ("2026-03", "Billets", "weld", "Hugo", 1200),
    ]


def test_struck_and_running_lines_are_left_out(worked: Any, owner: Person) -> None:
    hours.start_clock(billets=worked, step="clean", person=owner)
    hours.strike(time=worked[0].times.get(step="weld"), by=owner)

    steps = {one.step for one in hours_report.hour_cells()}

    assert steps == {"cut", "grind"}


def test_an_hour_counts_for_the_day_on_which_it_ended(worked: Any, owner: Person) -> None:
    spell(
        worked,
        step="finish",
        person=owner,
        at=datetime(2025, 12, 31, 23, 50, tzinfo=UTC),
        minutes=20,
    )

    assert hours_report.hour_cells(span=asked_span({"year": "2025"})) == ()
    assert {one.month for one in hours_report.hour_cells(span=asked_span({"year": "2026"}))} == {
        "2026-01",
        "2026-03",
        "2026-04",
    }


def test_a_line_for_two_billets_is_counted_once(worked: Any) -> None:
    rows = hours_report.rows_by(hours_report.hour_cells(), lambda one: one.step)

    assert {row.name: row.seconds for row in rows} == {"cut": 2520, "grind": 2700, "weld": 1200}


def test_the_owner_sees_everybody_s_hours(as_owner: Client, worked: Any) -> None:
    page = BeautifulSoup(as_owner.get(reverse("shop:reports")).text, "html.parser")

    part = page.select_one("#hours")
    assert part is not None
    text = " ".join(part.get_text(" ").split())
    assert "Where the hours went 1 h 47 CSV (hours) · with decimal commas (hours)" in text
    assert "Billets: cut 42 min" in text
    assert "Knives: grind 45 min" in text
    assert "Hugo 1 h 05" in text


def test_a_helper_sees_their_own_hours_and_no_money(as_helper: Client, worked: Any) -> None:
    page = BeautifulSoup(as_helper.get(reverse("shop:reports")).text, "html.parser")

    part = page.select_one("#hours")
    assert part is not None
    text = " ".join(part.get_text(" ").split())
    assert "Where the hours went 1 h 05 CSV (hours) · with decimal commas (hours)" in text
    assert "Billets: cut" not in text
    assert "Orla" not in text
    assert "$" not in text


def test_hours_are_a_file(as_owner: Client, worked: Any) -> None:
    response = as_owner.get(reverse("shop:report-csv", args=["hours"]) + "?year=2026")

    rows = list(csv.reader(response.content.decode("utf-8-sig").splitlines()))
    assert rows[0] == ["Month", "At", "Step", "Who", "Time (h)"]
    assert rows[1] == ["2026-04", "Billets", "cut", "Orla", "0.200"]
    assert len(rows) == 5


def test_a_helper_s_file_has_their_own_hours(as_helper: Client, worked: Any) -> None:
    text = as_helper.get(reverse("shop:report-csv", args=["hours"])).text

    assert "Orla" not in text
    assert text.count("Hugo") == 2


def test_a_shop_without_hours_says_so(as_owner: Client) -> None:
    assert "No hours stand written down yet" in as_owner.get(reverse("shop:reports")).text


def test_the_hours_of_a_report_take_few_queries(
    worked: Any, owner: Person, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    for minutes in range(1, 15):
        hours.add_minutes(billets=worked, step="cut", minutes=minutes, person=owner)

    with django_assert_max_num_queries(3):
        hours_report.hours_context()
