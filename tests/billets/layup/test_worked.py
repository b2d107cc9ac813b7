"""Time at billets: its shares, its words, and what stands for how it was written down."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from billets.layup.work_time import (
    Spell,
    Worked,
    equal_shares,
    hours_text,
    is_forgotten,
    together,
    whole_seconds,
)

T0 = datetime(2026, 4, 1, 9, tzinfo=UTC)


@pytest.mark.parametrize(
    ("seconds", "count", "shares"),
    [
        (3600, 12, (300,) * 12),
        (100, 3, (34, 33, 33)),
        (2, 5, (1, 1, 0, 0, 0)),
        (0, 2, (0, 0)),
        (59, 1, (59,)),
    ],
)
def test_a_time_is_shared_in_whole_seconds(
    seconds: int, count: int, shares: tuple[int, ...]
) -> None:
    assert equal_shares(seconds, count=count) == shares


@given(st.integers(0, 10**7), st.integers(1, 400))
def test_the_shares_add_up_to_the_whole_and_differ_by_a_second_at_most(
    seconds: int, count: int
) -> None:
    shares = equal_shares(seconds, count=count)

    assert sum(shares) == seconds
    assert len(shares) == count
    assert max(shares) - min(shares) <= 1
    assert list(shares) == sorted(shares, reverse=True)


@pytest.mark.parametrize(("seconds", "count"), [(-1, 3), (60, 0)])
def test_no_time_below_nothing_and_no_share_of_no_billet(seconds: int, count: int) -> None:
    with pytest.raises(ValueError, match="give a time and a billet"):
        equal_shares(seconds, count=count)


@pytest.mark.parametrize(
    ("seconds", "words"), [(0, "0 min"), (2680, "45 min"), (3600, "1 h 00"), (11_100, "3 h 05")]
)
def test_a_time_is_told_in_hours_and_minutes(seconds: int, words: str) -> None:
    assert hours_text(seconds) == words


def test_a_clock_that_went_backwards_ran_for_nothing() -> None:
    assert whole_seconds(T0, ended=T0 - timedelta(seconds=5)) == 0
    assert whole_seconds(T0, ended=T0 + timedelta(seconds=90.4)) == 90


def test_a_clock_over_twelve_hours_was_left_on() -> None:
    assert not is_forgotten(43_200)
    assert is_forgotten(43_201)


def test_each_person_s_time_at_a_step_is_theirs() -> None:
    worked = Worked((Spell(600, 1, 600, 7), Spell(900, 3, 300, 3), Spell(60, 1, 60, 7)))

    assert worked.seconds == 960
    assert dict(worked.by_person) == {7: 660, 3: 300}


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ((False, False), "by the clock"),
        ((True,), "written by hand"),
        ((True, False), "by the clock and by hand"),
    ],
)
def test_it_says_whether_a_clock_ran(typed: tuple[bool, ...], words: str) -> None:
    assert Worked(tuple(Spell(60, 1, 60, 1, one) for one in typed)).how == words


def test_steps_are_added_up() -> None:
    parts = [Worked((Spell(60, 1, 60, 1),)), Worked(), Worked((Spell(90, 2, 45, 1),))]

    assert together(parts).seconds == 105
