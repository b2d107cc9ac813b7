"""Months and days of the reports read as they do on every other page."""

from __future__ import annotations

import pytest

from shop.reports.reading import class_words
from shop.templatetags.shares import month_words
from tests.kinds import MakeClass


@pytest.mark.parametrize(
    ("name", "words"),
    [("2026-07", "Jul 2026"), ("2026-12", "Dec 2026"), ("1084", "1084"), ("Rowan", "Rowan")],
)
def test_a_month_is_said_and_another_name_stays(name: str, words: str) -> None:
    assert month_words(name) == words


@pytest.mark.django_db
def test_a_class_is_told_from_another_of_its_title_by_its_day(make_class: MakeClass) -> None:
    row = make_class()
    row.title, row.starts_on = "Copper weekend", row.starts_on.replace(2026, 12, 13)

    assert class_words(row) == "Copper weekend, 13 Dec 2026"
