"""Back from the class: work days, last order days, and what to do when it is too late."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.calendar.backward import Delivery, Preparation, WorkDay, schedule
from shop.calendar.opening import Opening, OpeningError, delivered_on
from shop.calendar.remedies import earliest_class_day
from shop.calendar.timeline import events, timeline, timetable

# Monday 30 June 2025; four hours from Monday to Thursday
CLASS_DAY = date(2025, 6, 30)
WEEK = Opening((240, 240, 240, 240, 0, 0, 0))
SIX_BILLETS = Preparation(class_day=CLASS_DAY, billets=6, minutes_per_billet=90)  # 540 min
COPPER = Delivery("copper", "Alder Metals", days=7)
TODAY = date(2025, 6, 2)


def test_work_is_laid_on_the_last_open_days_before_the_class() -> None:
    found = schedule(SIX_BILLETS, opening=WEEK, today=TODAY)

    assert found.work_days == (
        WorkDay(date(2025, 6, 24), 60),
        WorkDay(date(2025, 6, 25), 240),
        WorkDay(date(2025, 6, 26), 240),
    )
    assert found.starts_on == date(2025, 6, 24)
    assert found.start_float_days == 22


def test_a_closed_date_pushes_the_work_back() -> None:
    opening = Opening(WEEK.minutes, frozenset({date(2025, 6, 25)}))

    found = schedule(SIX_BILLETS, opening=opening, today=TODAY)

    assert [work.day.day for work in found.work_days] == [23, 24, 26]


def test_clear_days_before_the_class_stay_free() -> None:
    found = schedule(replace(SIX_BILLETS, clear_days=4), opening=WEEK, today=TODAY)

    assert found.work_days[-1].day == date(2025, 6, 25)


def test_metal_must_be_there_the_day_before_work_begins() -> None:
    # work begins on Tue 24; ordered on Mon 16 it comes on Mon 23
    found = schedule(SIX_BILLETS, opening=WEEK, today=TODAY, deliveries=[COPPER])

    order = found.orders[0]
    assert order.last_order_day == date(2025, 6, 16)
    assert order.arrives_on == date(2025, 6, 23)
    assert order.float_days == 14


def test_a_parcel_for_a_closed_day_counts_from_the_next_open_one() -> None:
    # five days from Mon 16 are Sat 21; nobody takes it in before Mon 23
    found = schedule(SIX_BILLETS, opening=WEEK, today=TODAY, deliveries=[replace(COPPER, days=5)])

    assert found.orders[0].last_order_day == date(2025, 6, 18)
    assert found.orders[0].arrives_on == date(2025, 6, 23)


def test_working_days_leave_out_weekends_and_the_suppliers_holidays() -> None:
    # Thu 19 June is a holiday: five working days before Mon 23 begin on Fri 13
    delivery = replace(COPPER, days=5, counts="working", holidays=frozenset({date(2025, 6, 19)}))

    found = schedule(SIX_BILLETS, opening=WEEK, today=TODAY, deliveries=[delivery])

    assert found.orders[0].last_order_day == date(2025, 6, 13)
    assert found.orders[0].arrives_on == date(2025, 6, 23)


def test_what_is_on_order_has_no_order_day_but_a_float() -> None:
    due = replace(COPPER, due_on=date(2025, 6, 20))  # a Friday: taken in on Monday

    order = schedule(SIX_BILLETS, opening=WEEK, today=TODAY, deliveries=[due]).orders[0]

    assert order.last_order_day is None
    assert order.arrives_on == date(2025, 6, 23)
    assert order.float_days == 0
    assert not order.is_late


def test_in_time_the_words_say_what_comes_next() -> None:
    found = timeline(SIX_BILLETS, opening=WEEK, today=TODAY, deliveries=[COPPER])

    assert found.is_possible
    assert found.remedies == ()
    assert found.words == (
        "There is time: order copper by Mon 16 Jun 2025 (14 days left), and begin preparing by "
        "Tue 24 Jun 2025."
    )


def test_too_late_is_said_first_and_by_how_much() -> None:
    found = timeline(SIX_BILLETS, opening=WEEK, today=date(2025, 6, 18), deliveries=[COPPER])

    assert not found.is_possible
    assert found.words == (
        "Too late for Mon 30 Jun 2025: copper had to be ordered by Mon 16 Jun 2025, 2 days ago."
    )


def test_what_would_make_it_possible_after_all() -> None:
    # ordered on Wed 18 it comes on Wed 25; only Thu 26 is left, 240 minutes
    found = timeline(SIX_BILLETS, opening=WEEK, today=date(2025, 6, 18), deliveries=[COPPER])

    assert [remedy.sentence for remedy in found.remedies] == [
        "Find a source that delivers copper within 5 days, by Mon 23 Jun 2025.",
        "Prepare 2 billets instead of 6.",
        "Work 9 h on each open day from Thu 26 Jun 2025 to Sun 29 Jun 2025.",
        "Open on 2 days that are closed now, for 4 h each: Sat 28 Jun 2025 and Sun 29 Jun 2025.",
        "Hold the class on Wed 2 Jul 2025 or later.",
    ]


def test_when_work_had_to_begin_already_faster_metal_is_no_advice() -> None:
    found = timeline(SIX_BILLETS, opening=WEEK, today=date(2025, 6, 26), deliveries=[COPPER])

    assert "preparing had to begin on Tue 24 Jun 2025, 2 days ago" in found.words
    assert [remedy.kind for remedy in found.remedies] == ["later-class"]


def test_metal_on_order_that_comes_too_late_is_named() -> None:
    due = replace(COPPER, due_on=date(2025, 6, 25))

    found = timeline(SIX_BILLETS, opening=WEEK, today=TODAY, deliveries=[due])

    assert "copper is due on Wed 25 Jun 2025, but preparing has to begin on Tue 24" in found.words


def test_nothing_to_prepare_needs_the_metal_only_before_the_class() -> None:
    nothing = Preparation(class_day=CLASS_DAY, billets=0, minutes_per_billet=90)

    found = schedule(nothing, opening=WEEK, today=TODAY, deliveries=[COPPER])

    assert found.work_days == ()
    assert found.starts_on == CLASS_DAY
    assert found.orders[0].arrives_on == date(2025, 6, 26)


def test_calendar_events_come_by_day_and_keep_their_keys() -> None:
    found = schedule(SIX_BILLETS, opening=WEEK, today=TODAY, deliveries=[COPPER])

    listed = events(found, title="Copper blades", class_days=2)

    assert [(event.key, event.first_day.day) for event in listed] == [
        ("order-copper", 16),
        ("arrive-copper", 23),
        ("prepare-1", 24),
        ("prepare-2", 25),
        ("prepare-3", 26),
        ("class", 30),
    ]
    assert listed[-1].last_day == date(2025, 7, 1)
    assert listed[0].title == "Last day to order copper from Alder Metals"
    assert sum(event.minutes for event in listed) == 540


def test_the_timetable_is_drawn_in_whole_days_from_today() -> None:
    found = schedule(SIX_BILLETS, opening=WEEK, today=TODAY, deliveries=[COPPER])

    drawn = timetable(found, title="Copper blades", class_days=2)

    assert (drawn.first_day, drawn.last_day) == (TODAY, date(2025, 7, 1))
    assert drawn.length_days == 30
    assert drawn.today_offset_days == 0
    assert [(bar.offset_days, bar.length_days) for bar in drawn.bars] == [(14, 8), (22, 3), (28, 2)]


def test_a_late_timetable_begins_before_today() -> None:
    found = schedule(SIX_BILLETS, opening=WEEK, today=date(2025, 6, 18), deliveries=[COPPER])

    drawn = timetable(found, title="Copper blades")

    assert drawn.first_day == date(2025, 6, 16)
    assert drawn.today_offset_days == 2
    assert drawn.bars[0].event.is_late


def test_a_plan_that_cannot_be_is_refused() -> None:
    with pytest.raises(OpeningError, match="billets were given as -1"):
        replace(SIX_BILLETS, billets=-1)
    with pytest.raises(OpeningError, match="takes -1 days"):
        delivered_on(TODAY, days=-1, counts="calendar")
    with pytest.raises(OpeningError, match="write calendar or working"):
        delivered_on(TODAY, days=1, counts="lunar")


def test_more_work_than_ten_years_hold_is_refused() -> None:
    with pytest.raises(OpeningError, match="do not fit in the ten years"):
        schedule(replace(SIX_BILLETS, billets=10_000), opening=WEEK, today=TODAY)


def test_a_supplier_who_takes_longer_than_ten_years_is_refused() -> None:
    with pytest.raises(OpeningError, match="real days"):
        schedule(SIX_BILLETS, opening=WEEK, today=TODAY, deliveries=[replace(COPPER, days=4_000)])


OPENINGS = st.builds(
    Opening,
    st.tuples(*[st.integers(0, 600)] * 7).filter(any),
    st.frozensets(st.dates(date(2025, 5, 1), date(2025, 7, 31)), max_size=20),
)
PREPARATIONS = st.builds(
    Preparation,
    class_day=st.just(CLASS_DAY),
    billets=st.integers(0, 12),
    minutes_per_billet=st.integers(0, 120),
    setting_up_minutes=st.integers(0, 60),
    clear_days=st.integers(0, 4),
)
DELIVERIES = st.lists(
    st.builds(
        Delivery,
        material=st.just("copper"),
        supplier=st.just("Alder Metals"),
        days=st.integers(0, 30),
        counts=st.sampled_from(["calendar", "working"]),
    ),
    max_size=3,
)
DAYS = st.dates(date(2025, 5, 1), date(2025, 6, 29))


@pytest.mark.slow
@given(PREPARATIONS, OPENINGS, DELIVERIES)
def test_all_work_is_laid_on_open_days_before_the_class(
    preparation: Preparation, opening: Opening, deliveries: list[Delivery]
) -> None:
    found = schedule(preparation, opening=opening, today=TODAY, deliveries=deliveries)

    assert sum(work.minutes for work in found.work_days) == preparation.minutes
    assert all(work.minutes <= opening.minutes_on(work.day) for work in found.work_days)
    assert all(work.day <= preparation.last_day for work in found.work_days)


@pytest.mark.slow
@given(PREPARATIONS, OPENINGS, DELIVERIES)
def test_the_last_order_day_is_the_last_one(
    preparation: Preparation, opening: Opening, deliveries: list[Delivery]
) -> None:
    found = schedule(preparation, opening=opening, today=TODAY, deliveries=deliveries)

    for order in found.orders:
        day = order.last_order_day
        assert day is not None
        assert order.arrives_on < found.starts_on
        later = order.delivery.arrives(day + timedelta(days=1), opening=opening)
        assert later >= found.starts_on


@pytest.mark.slow
@given(PREPARATIONS, OPENINGS, DELIVERIES, DAYS)
def test_the_earliest_class_day_works_and_the_day_before_does_not(
    preparation: Preparation, opening: Opening, deliveries: list[Delivery], today: date
) -> None:
    late = schedule(preparation, opening=opening, today=today, deliveries=deliveries)

    day = earliest_class_day(late, opening=opening)

    def is_possible(class_day: date) -> bool:
        moved = replace(preparation, class_day=class_day)
        return schedule(moved, opening=opening, today=today, deliveries=deliveries).is_possible

    assert is_possible(day)
    assert not is_possible(day - timedelta(days=1))


@pytest.mark.slow
@given(PREPARATIONS, OPENINGS, DELIVERIES, DAYS)
def test_every_remedy_that_changes_the_work_really_helps(
    preparation: Preparation, opening: Opening, deliveries: list[Delivery], today: date
) -> None:
    found = timeline(preparation, opening=opening, today=today, deliveries=deliveries)

    assert bool(found.remedies) != found.is_possible
    for remedy in found.remedies:
        wish, hours = preparation, opening
        if remedy.kind == "fewer" and remedy.figure:
            wish = replace(preparation, billets=remedy.figure)
        elif remedy.kind == "later-class" and remedy.day:
            wish = replace(preparation, class_day=remedy.day)
        elif remedy.kind == "longer-days" and (figure := remedy.figure):
            hours = Opening(
                tuple(max(usual, figure) if usual else 0 for usual in opening.minutes),
                opening.closed,
            )
        else:
            continue
        again = timeline(wish, opening=hours, today=today, deliveries=deliveries)
        assert again.is_possible
