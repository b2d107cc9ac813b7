"""A person has one clock over billets and knives, also when two taps come at once."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from threading import Barrier

import pytest
from django.db import connection
from django.urls import reverse

from billets.history import writing as history
from billets.hours import writing as hours
from billets.models import Billet, WorkTime
from shop.knives import clock as one_clock
from shop.knives import writing as knives
from shop.models import Knife, KnifeTime
from stock import clock
from tests.kinds import Client, MakeClass, MakeLayup, Person
from tests.shop.knife_posts import T0, page


@pytest.fixture
def billet(make_layup: MakeLayup, owner: Person) -> Billet:
    """A billet to work at."""
    return history.make_billet(layup=make_layup(), by=owner)


def running() -> int:
    """Clocks that run, of whatever kind."""
    return (
        WorkTime.objects.filter(stopped_at=None).count()
        + KnifeTime.objects.filter(stopped_at=None).count()
    )


def test_a_clock_at_a_billet_stops_the_one_at_a_knife(
    owner: Person, knife: Knife, billet: Billet
) -> None:
    with clock.as_of(T0):
        knives.start_clock(knife=knife, step="grind", person=owner)
    with clock.as_of(T0 + timedelta(minutes=20)):
        hours.start_clock(billets=[billet], step="cut", person=owner)

    assert KnifeTime.objects.get().stopped_at == T0 + timedelta(minutes=20)
    assert running() == 1


def test_a_clock_at_a_knife_stops_the_one_at_a_billet(
    owner: Person, knife: Knife, billet: Billet
) -> None:
    with clock.as_of(T0):
        hours.start_clock(billets=[billet], step="cut", person=owner)
    with clock.as_of(T0 + timedelta(minutes=20)):
        knives.start_clock(knife=knife, step="grind", person=owner)

    assert WorkTime.objects.get().stopped_at == T0 + timedelta(minutes=20)
    assert running() == 1


def test_another_person_s_clock_runs_on(
    owner: Person, helper: Person, knife: Knife, billet: Billet
) -> None:
    knives.start_clock(knife=knife, step="grind", person=helper)

    hours.start_clock(billets=[billet], step="cut", person=owner)

    assert running() == 2


@pytest.mark.slow
def test_each_page_names_the_clock_at_the_other(
    as_owner: Client, owner: Person, knife: Knife, billet: Billet
) -> None:
    knives.start_clock(knife=knife, step="grind", person=owner)
    at_billet = as_owner.get(reverse("billets:billet-detail", args=[billet.mark])).text
    hours.start_clock(billets=[billet], step="cut", person=owner)
    at_knife = as_owner.get(reverse("shop:knife-detail", args=[knife.pk])).text

    assert f">Knife {knife.pk}, grind</a>. Starting it here stops it there." in at_billet
    assert f"{billet.mark}, cut</a>. Starting it here stops it there." in at_knife


def test_a_clock_left_on_at_a_knife_is_asked_about_first(
    as_owner: Client, owner: Person, knife: Knife, billet: Billet
) -> None:
    with clock.as_of(T0):
        knives.start_clock(knife=knife, step="grind", person=owner)
    with clock.as_of(T0 + timedelta(hours=14)):
        with pytest.raises(hours.ClockForgotten, match="grind, has run for 14 h 00"):
            hours.start_clock(billets=[billet], step="cut", person=owner)
        asked = as_owner.get(reverse("shop:knife-detail", args=[knife.pk])).text
        page(as_owner, "stop", knife, minutes="45")

    assert "Left on?" in asked
    assert KnifeTime.objects.get().stopped_at == T0 + timedelta(minutes=45)
    assert not WorkTime.objects.exists()


def test_a_clock_left_on_at_a_billet_keeps_a_knife_s_from_starting(
    as_owner: Client, owner: Person, knife: Knife, billet: Billet
) -> None:
    with clock.as_of(T0):
        hours.start_clock(billets=[billet], step="weld", person=owner)
    with clock.as_of(T0 + timedelta(hours=14)):
        response = as_owner.post(
            reverse("shop:knife-start", args=[knife.pk]), {"step": "grind"}, follow=True
        )

    assert f"Your clock at {billet.mark}, weld shut, has run for 14 h 00." in response.text
    assert not KnifeTime.objects.exists()


def test_more_minutes_than_a_knife_s_clock_ran_are_refused(
    as_owner: Client, owner: Person, knife: Knife
) -> None:
    with clock.as_of(T0):
        knives.start_clock(knife=knife, step="grind", person=owner)
    with clock.as_of(T0 + timedelta(minutes=10)):
        response = as_owner.post(
            reverse("shop:knife-stop", args=[knife.pk]), {"minutes": "11"}, follow=True
        )

    assert "11 minutes were given, and the clock has run for 10 min." in response.text
    assert KnifeTime.objects.get().stopped_at is None


@pytest.mark.slow
def test_the_first_page_says_that_a_clock_runs_and_leads_there(
    as_owner: Client, owner: Person, knife: Knife, billet: Billet
) -> None:
    hours.start_clock(billets=[billet], step="weld", person=owner)
    at_billet = as_owner.get(reverse("shop:home")).text
    knives.start_clock(knife=knife, step="grind", person=owner)
    at_knife = as_owner.get(reverse("shop:home")).text
    knives.stop_clock(person=owner)

    assert f"{billet.mark}, weld shut," in at_billet
    assert reverse("billets:billet-detail", args=[billet.mark]) in at_billet
    assert f'href="{reverse("shop:knife-detail", args=[knife.pk])}">Go there to stop' in at_knife
    assert "Your clock runs" not in as_owner.get(reverse("shop:home")).text


def test_the_clock_of_a_class_is_stopped_on_its_work_page(
    owner: Person, billet: Billet, make_class: MakeClass
) -> None:
    row = make_class(layup=billet.layup)
    second = history.make_billet(layup=row.layup, by=owner)
    for seat, one in zip(row.seats.all(), (billet, second), strict=True):
        seat.billet = one
        seat.save()
    hours.start_clock(billets=[billet, second], step="cut", person=owner)

    now = one_clock.now_at(owner)

    assert now is not None
    assert (now.words, now.url) == ("2 billets, cut", reverse("shop:class-work", args=[row.pk]))


def test_the_first_page_asks_about_a_clock_that_was_left_on(
    as_owner: Client, owner: Person, billet: Billet
) -> None:
    with clock.as_of(T0):
        hours.start_clock(billets=[billet], step="weld", person=owner)
    with clock.as_of(T0 + timedelta(hours=13)):
        page = as_owner.get(reverse("shop:home")).text

    assert "Left on?" in page
    assert "for 13 h 00" in page


@pytest.mark.django_db(transaction=True)
def test_of_taps_at_once_one_clock_runs(owner: Person, knife: Knife, billet: Billet) -> None:
    acts: list[Callable[[], object]] = [
        lambda: hours.start_clock(billets=[billet], step="cut", person=owner),
        lambda: knives.start_clock(knife=knife, step="grind", person=owner),
        lambda: hours.start_clock(billets=[billet], step="weld", person=owner),
        lambda: knives.start_clock(knife=knife, step="shape", person=owner),
    ]
    start = Barrier(len(acts))

    def run(act: Callable[[], object]) -> None:
        try:
            start.wait()
            act()
        finally:
            connection.close()

    with ThreadPoolExecutor(len(acts)) as pool:
        list(pool.map(run, acts))

    assert running() == 1
    assert WorkTime.objects.count() + KnifeTime.objects.count() == 4
