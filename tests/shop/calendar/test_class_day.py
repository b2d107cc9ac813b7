"""The timetable: everything in order, lunch in it, nothing lost, and what has no room said."""

from __future__ import annotations

from datetime import date

import pytest

from shop.calendar.class_day import LUNCH, Block, Pace, class_blocks, heat_round_min, timetable

FIRST, LAST = date(2026, 5, 9), date(2026, 5, 10)
PACE = Pace()


@pytest.mark.parametrize(
    ("billets", "minutes"),
    [
        (1, 10),  # one billet's own heat: 8 + 1.5 min, rounded up to 5
        (6, 20),  # the fire: 6 x 8 / 3 = 16
        (12, 35),  # 32
    ],
)
def test_a_round_of_heats_takes_what_the_slower_of_fire_and_press_takes(
    billets: int, minutes: int
) -> None:
    assert heat_round_min(billets, pace=PACE) == minutes


def test_with_a_large_fire_the_press_is_what_all_wait_for() -> None:
    pace = Pace(in_the_fire=20, press_min=3)

    assert heat_round_min(12, pace=pace) == 40  # 36 min


def test_a_class_is_built_welded_heated_and_measured_in_that_order() -> None:
    blocks = class_blocks(billets=12, heats=["set", "draw"], pace=PACE)

    names = [block.name for block in blocks]
    assert names[3] == "Weld every seam and the handles, 12 billets"
    assert blocks[3].minutes == 180
    assert names[5:7] == ["Heat 1: set", "Heat 2: draw"]
    assert names[-1].startswith("Fires out")


def test_days_begin_when_the_shop_opens_and_break_for_lunch() -> None:
    blocks = [Block("one", 60), Block("two", 60), Block("three", 60), Block("four", 60)]

    day = timetable(blocks, first=FIRST, last=FIRST, pace=PACE).days[0]

    assert [(slot.name, slot.time) for slot in day.slots] == [
        ("one", "9:00 – 10:00"),
        ("two", "10:00 – 11:00"),
        ("three", "11:00 – 12:00"),
        (LUNCH, "12:00 – 12:45"),
        ("four", "12:45 – 13:45"),
    ]


def test_only_a_long_block_is_parted_by_lunch() -> None:
    day = timetable([Block("weld", 300)], first=FIRST, last=FIRST, pace=PACE).days[0]

    # 9:00 to 12:30 is 210 min; 90 are left for the afternoon.
    assert [slot.time for slot in day.slots] == ["9:00 – 12:30", "12:30 – 13:15", "13:15 – 14:45"]


def test_what_does_not_fit_one_day_goes_on_the_next_morning() -> None:
    blocks = [Block(f"heat {number}", 60) for number in range(1, 10)]

    days = timetable(blocks, first=FIRST, last=LAST, pace=PACE).days

    # Three before lunch, then 12:45 to 17:00 holds four.
    assert [slot.name for slot in days[0].slots if slot.name != LUNCH] == [
        f"heat {number}" for number in range(1, 8)
    ]
    assert [(slot.name, slot.time) for slot in days[1].slots] == [
        ("heat 8", "9:00 – 10:00"),
        ("heat 9", "10:00 – 11:00"),
    ]
    assert [day.date for day in days] == [FIRST, LAST]


def test_what_has_no_room_is_told_with_what_to_do() -> None:
    blocks = [Block(f"heat {number}", 60) for number in range(1, 10)]

    table = timetable(blocks, first=FIRST, last=FIRST, pace=PACE)

    assert table.over_min == 120
    assert table.over.startswith("2 h 0 min of this has no room in the class's days.")
    assert "second fire" in table.over


@pytest.mark.parametrize("billets", [1, 2, 7, 12, 30])
@pytest.mark.parametrize("heats", [0, 5, 40])
def test_no_minute_is_lost_whatever_the_class(billets: int, heats: int) -> None:
    blocks = class_blocks(billets=billets, heats=["draw"] * heats, pace=PACE)

    table = timetable(blocks, first=FIRST, last=LAST, pace=PACE)

    slots = [slot for day in table.days for slot in day.slots if slot.name != LUNCH]
    laid = sum(slot.to_min - slot.from_min for slot in slots)
    assert laid + table.over_min == sum(block.minutes for block in blocks)
    assert all(9 * 60 <= slot.from_min < slot.to_min <= 17 * 60 for slot in slots)


def test_a_class_whose_days_are_the_wrong_way_round_has_its_first_day() -> None:
    table = timetable([Block("one", 60)], first=LAST, last=FIRST, pace=PACE)

    assert [day.date for day in table.days] == [LAST]
