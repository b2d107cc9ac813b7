"""The cut list offers to stop a clock that still runs at cutting; the class page takes a day."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from billets.hours import writing as hours
from billets.models import WorkTime
from shop.cut_list import writing as cut_list
from shop.models import ForgeClass
from stock import clock
from stock.models import SetAside
from tests.kinds import Client, MakeClass, Person
from tests.shop.work_posts import address, billets_of

OFFER = "Your clock still runs at cutting"


def left(row: ForgeClass) -> list[SetAside]:
    """What is still to be cut, strips first."""
    rows = SetAside.objects.filter(plan=row.plan_key, state="standing")
    return list(rows.order_by("-kind", "position"))


@pytest.fixture
def nearly_cut(planned_class: MakeClass, owner: Person) -> ForgeClass:
    """A class of one with one cut to go."""
    row: ForgeClass = planned_class(students=1)
    while len(rest := left(row)) > 1:
        strips = [one for one in rest if one.kind == SetAside.Kind.STRIP]
        cut_list.tick_cut(set_aside=(strips or rest)[0], by=owner)
    return row


@pytest.mark.slow
def test_ticking_the_last_cut_offers_to_stop_the_clock(
    as_helper: Client, helper: Person, nearly_cut: ForgeClass
) -> None:
    hours.start_clock(billets=billets_of(nearly_cut), step="cut", person=helper)
    page = reverse("shop:cut-list", args=[nearly_cut.pk])
    before = as_helper.get(page).text
    tick = reverse("shop:cut-tick", args=[nearly_cut.pk, left(nearly_cut)[0].pk])

    shown = as_helper.post(tick, headers={"HX-Request": "true"}).text
    as_helper.post(address("-stop", nearly_cut))

    assert OFFER not in before
    assert OFFER in shown
    assert address("-stop", nearly_cut) in shown
    assert WorkTime.objects.get().stopped_at is not None
    assert OFFER not in as_helper.get(page).text


@pytest.mark.parametrize(("step", "hours_ago"), [("clean", 1), ("cut", 13)])
def test_no_other_clock_is_offered_to_be_stopped(
    as_helper: Client, helper: Person, nearly_cut: ForgeClass, step: str, hours_ago: int
) -> None:
    with clock.as_of(clock.now() - timedelta(hours=hours_ago)):
        hours.start_clock(billets=billets_of(nearly_cut), step=step, person=helper)
    cut_list.tick_cut(set_aside=left(nearly_cut)[0], by=helper)

    shown = as_helper.get(reverse("shop:cut-list", args=[nearly_cut.pk])).text

    assert "Everything is cut." in shown
    assert OFFER not in shown


def test_somebody_elses_clock_is_not_offered(
    as_helper: Client, owner: Person, nearly_cut: ForgeClass
) -> None:
    hours.start_clock(billets=billets_of(nearly_cut), step="cut", person=owner)
    cut_list.tick_cut(set_aside=left(nearly_cut)[0], by=owner)

    assert OFFER not in as_helper.get(reverse("shop:cut-list", args=[nearly_cut.pk])).text


def test_minutes_for_the_class_belong_to_their_day(
    as_helper: Client, planned_class: MakeClass
) -> None:
    row = planned_class(students=2)
    day = timezone.localdate()

    with clock.as_of(clock.now() + timedelta(days=3)):
        given = {"typed-step": "clean", "typed-minutes": "40"}
        as_helper.post(address("-minutes", row), given | {"typed-day": day.isoformat()})
        early = as_helper.post(
            address("-minutes", row),
            given | {"typed-day": (day - timedelta(days=2)).isoformat()},
        )

    time = WorkTime.objects.get()
    assert time.stopped_at is not None
    assert timezone.localdate(time.stopped_at) == day
    assert early.status_code == 422
    assert "was planned on" in early.text
