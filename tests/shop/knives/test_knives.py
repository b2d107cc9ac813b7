"""Knives: begun, the clock, parts from the rack and bar for blades."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse

from billets.history import writing as history
from shop.knives import cost as knife_cost
from shop.knives import writing as knives
from shop.models import Knife, KnifeTime
from shop.rates import writing as rates
from stock import clock
from stock.house import House
from stock.ledger import jobs
from stock.models import Entry
from tests.conftest import IN
from tests.kinds import Client, MakeLayup, MakePiece, Person, Piece, Saw
from tests.shop.knife_posts import T0, page


def test_a_knife_is_begun_with_care_notes(as_helper: Client) -> None:
    response = as_helper.post(
        reverse("shop:knife-add"), {"pattern": "petty, 5 in", "care": "Dry it.", "length_nm": ""}
    )

    made = Knife.objects.get()
    assert response["Location"] == reverse("shop:knife-detail", args=[made.pk])
    assert (made.pattern, made.care, made.margin_bp) == ("petty, 5 in", "Dry it.", 3000)


def test_a_knife_without_a_pattern_is_refused(as_owner: Client) -> None:
    response = as_owner.post(
        reverse("shop:knife-add"), {"pattern": "", "handle": "walnut", "margin": "99"}
    )

    assert response.status_code == 422
    assert 'value="walnut"' in response.text
    assert "More than 95 is surely a slip" in response.text
    assert not Knife.objects.exists()


def test_a_knife_is_changed(as_owner: Client, knife: Knife) -> None:
    page(as_owner, "change", knife, pattern="petty", handle="horn", margin="40", length_nm="")

    knife.refresh_from_db()
    assert (knife.pattern, knife.handle, knife.margin_bp) == ("petty", "horn", 4000)


def test_the_clock_runs_and_stops(as_helper: Client, helper: Person, knife: Knife) -> None:
    with clock.as_of(T0):
        page(as_helper, "start", knife, step="grind")
    with clock.as_of(T0 + timedelta(minutes=50)):
        shown = as_helper.get(reverse("shop:knife-detail", args=[knife.pk])).text
        page(as_helper, "stop", knife)

    time = KnifeTime.objects.get()
    assert "Stop the clock" in shown
    assert (time.person, knife_cost.seconds_of(time)) == (helper, 3000)


def test_a_person_has_one_clock(owner: Person, helper: Person, knife: Knife) -> None:
    other = knives.make_knife(pattern="petty", by=owner)
    with clock.as_of(T0):
        knives.start_clock(knife=knife, step="grind", person=owner)
        knives.start_clock(knife=knife, step="handle", person=helper)
    with clock.as_of(T0 + timedelta(minutes=10)):
        knives.start_clock(knife=other, step="shape", person=owner)

    assert KnifeTime.objects.filter(stopped_at=None).count() == 2
    assert knife_cost.seconds_of(knife.times.get(person=owner)) == 600
    with pytest.raises(IntegrityError), transaction.atomic():
        KnifeTime.objects.create(knife=knife, step="grind", person=owner, started_at=T0)


def test_a_clock_at_a_sold_knife_is_refused(as_owner: Client, knife: Knife) -> None:
    knives.sell(knife=knife, sold_to="Ada", sold_on=date(2026, 4, 1), price_cents=100)

    response = as_owner.post(
        reverse("shop:knife-start", args=[knife.pk]), {"step": "grind"}, follow=True
    )

    assert "no more hours go into it" in response.text
    assert not KnifeTime.objects.exists()


@pytest.mark.parametrize("minutes", ["0", "-5", "9999", "an hour", "9**9"])
def test_minutes_that_cannot_be_are_refused(as_owner: Client, knife: Knife, minutes: str) -> None:
    response = page(as_owner, "minutes", knife, step="grind", minutes=minutes)

    assert response.status_code == 422
    assert not KnifeTime.objects.exists()


def test_a_struck_line_counts_no_more_and_stays(as_owner: Client, knife: Knife) -> None:
    page(as_owner, "minutes", knife, step="grind", minutes="45")
    time = KnifeTime.objects.get()

    page(as_owner, "time-strike", knife, time.pk)

    assert knife_cost.standing_times(knife) == []
    assert KnifeTime.objects.count() == 1


def test_parts_leave_the_rack_with_the_knife_s_name(
    as_helper: Client, knife: Knife, pins: Piece
) -> None:
    page(as_helper, "part", knife, piece=str(pins.pk), count="2")

    pins.refresh_from_db()
    entry = Entry.objects.get(job=f"knife:{knife.pk}")
    assert (pins.on_hand, entry.amount, entry.value_cents) == (22, -2, -400)
    assert jobs.words_of([knife.job])[knife.job].text == f"Knife {knife.pk}"


@pytest.mark.parametrize(
    ("count", "sentence"), [("25", "24"), ("0", "Take at least 1"), ("x", "whole")]
)
def test_more_parts_than_there_are_is_refused(
    as_helper: Client, knife: Knife, pins: Piece, count: str, sentence: str
) -> None:
    response = page(as_helper, "part", knife, piece=str(pins.pk), count=count)

    pins.refresh_from_db()
    assert response.status_code == 422
    assert sentence in response.text
    assert pins.on_hand == 24


def test_a_part_taken_by_mistake_is_put_back(as_helper: Client, knife: Knife, pins: Piece) -> None:
    page(as_helper, "part", knife, piece=str(pins.pk), count="2")
    act = Entry.objects.get(job=knife.job).act

    page(as_helper, "put-back", knife, act)

    pins.refresh_from_db()
    assert (pins.on_hand, pins.value_cents) == (24, 4800)
    shown = as_helper.get(reverse("shop:knife-detail", args=[knife.pk])).text
    assert "Nothing was taken for it yet." in shown


def test_another_knife_s_part_is_not_put_back(
    as_owner: Client, owner: Person, knife: Knife, pins: Piece
) -> None:
    other = knives.make_knife(pattern="petty", by=owner)
    act = knives.use_parts(knife=other, piece=pins, count=2, by=owner)

    page(as_owner, "put-back", knife, act)

    pins.refresh_from_db()
    assert pins.on_hand == 22


def test_bar_is_cut_for_a_blade(
    as_owner: Client, knife: Knife, make_bar: MakePiece, saw: Saw
) -> None:
    bar = make_bar()

    page(as_owner, "bar", knife, piece=str(bar.pk), length_nm="7 in")

    bar.refresh_from_db()
    assert bar.on_hand == 29 * IN - 1_000_000
    # 7 in and 1 mm of kerf of 36 in for 24.00: 4.67 and 0.03.
    cost = knife_cost.knife_cost(knife, history=rates.history(), house=House())
    assert [(line.key, line.cents) for line in cost.lines] == [("blade", 470)]


def test_a_knife_of_a_billet_needs_no_bar(
    owner: Person, make_layup: MakeLayup, make_bar: MakePiece, saw: Saw
) -> None:
    billet = history.make_billet(layup=make_layup(), by=owner)
    knife = knives.make_knife(pattern="petty", by=owner, billet=billet)

    with pytest.raises(knives.KnifeRefused, match="it needs no bar"):
        knives.cut_blade(knife=knife, piece=make_bar(), length_nm=IN, kerf_nm=0, by=owner)


def test_a_knife_in_an_empty_shop_says_what_is_missing(as_owner: Client, knife: Knife) -> None:
    shown = as_owner.get(reverse("shop:knife-detail", args=[knife.pk])).text

    assert "Nothing that is counted is on the rack" in shown
    assert "No bar is free on the rack" in shown
    assert "No rates are written down yet" in shown
    assert "no price to ask" in shown
    assert "you pay to be rid of it" not in shown


def test_stopping_a_clock_that_stands_says_so(as_helper: Client, knife: Knife) -> None:
    with clock.as_of(T0):
        page(as_helper, "start", knife, step="grind")
    with clock.as_of(T0 + timedelta(minutes=5)):
        url = reverse("shop:knife-stop", args=[knife.pk])
        first = as_helper.post(url, follow=True).text
        second = as_helper.post(url, follow=True).text  # the other phone, or the page of before

    assert "The clock is stopped." in first
    assert "No clock was running." in second
    assert KnifeTime.objects.count() == 1
