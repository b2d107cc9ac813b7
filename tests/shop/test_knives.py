"""Knives: begun, the clock, parts from the rack, outside work, price, sale, and the card."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse

from billets import workshop
from shop import knife_cost, knives, rates
from shop.models import Knife, KnifeService, KnifeTime
from stock import clock, jobs
from stock.house import House
from stock.models import Entry
from tests.conftest import IN

T0 = datetime(2026, 4, 1, 9, tzinfo=UTC)
SHEET = {"labour_cents_per_hour": 3000, "overhead_cents_per_hour": 600, "card_fee_bp": 300}


@pytest.fixture
def knife(owner: Any) -> Knife:
    """A knife of bar, begun."""
    return knives.make_knife(pattern="paring, 3-1/2 in", by=owner)


@pytest.fixture
def pins(make_piece: Callable[..., Any], make_material: Callable[..., Any]) -> Any:
    """A box of 24 pins for 48.00."""
    material = make_material(form="counted", alloy="", name="brass pin", thickness_nm=0, width_nm=0)
    return make_piece(material=material, count=24, price_cents=4800)


def page(client: Any, form: str, knife: Knife, /, *more: Any, **data: str) -> Any:
    """Post a form of the knife's page."""
    return client.post(reverse(f"shop:knife-{form}", args=[knife.pk, *more]), data)


def test_a_knife_is_begun_with_care_notes(as_helper: Any) -> None:
    response = as_helper.post(
        reverse("shop:knife-add"), {"pattern": "petty, 5 in", "care": "Dry it.", "length_nm": ""}
    )

    made = Knife.objects.get()
    assert response.url == reverse("shop:knife-detail", args=[made.pk])
    assert (made.pattern, made.care, made.margin_bp) == ("petty, 5 in", "Dry it.", 3000)


def test_a_knife_without_a_pattern_is_refused(as_owner: Any) -> None:
    response = as_owner.post(
        reverse("shop:knife-add"), {"pattern": "", "handle": "walnut", "margin": "99"}
    )

    assert response.status_code == 422
    assert 'value="walnut"' in response.text
    assert "More than 95 is surely a slip" in response.text
    assert not Knife.objects.exists()


def test_a_knife_is_changed(as_owner: Any, knife: Knife) -> None:
    page(as_owner, "change", knife, pattern="petty", handle="horn", margin="40", length_nm="")

    knife.refresh_from_db()
    assert (knife.pattern, knife.handle, knife.margin_bp) == ("petty", "horn", 4000)


def test_the_clock_runs_and_stops(as_helper: Any, helper: Any, knife: Knife) -> None:
    with clock.as_of(T0):
        page(as_helper, "start", knife, step="grind")
    with clock.as_of(T0 + timedelta(minutes=50)):
        shown = as_helper.get(reverse("shop:knife-detail", args=[knife.pk])).text
        page(as_helper, "stop", knife)

    time = KnifeTime.objects.get()
    assert "Stop the clock" in shown
    assert (time.person, knife_cost.seconds_of(time)) == (helper, 3000)


def test_a_person_has_one_clock(owner: Any, helper: Any, knife: Knife) -> None:
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


def test_a_clock_at_a_sold_knife_is_refused(as_owner: Any, knife: Knife) -> None:
    knives.sell(knife=knife, sold_to="Ada", sold_on=date(2026, 4, 1), price_cents=100)

    response = as_owner.post(
        reverse("shop:knife-start", args=[knife.pk]), {"step": "grind"}, follow=True
    )

    assert "no more hours go into it" in response.text
    assert not KnifeTime.objects.exists()


@pytest.mark.parametrize("minutes", ["0", "-5", "9999", "an hour", "9**9"])
def test_minutes_that_cannot_be_are_refused(as_owner: Any, knife: Knife, minutes: str) -> None:
    response = page(as_owner, "minutes", knife, step="grind", minutes=minutes)

    assert response.status_code == 422
    assert not KnifeTime.objects.exists()


def test_a_struck_line_counts_no_more_and_stays(as_owner: Any, knife: Knife) -> None:
    page(as_owner, "minutes", knife, step="grind", minutes="45")
    time = KnifeTime.objects.get()

    page(as_owner, "time-strike", knife, time.pk)

    assert knife_cost.standing_times(knife) == []
    assert KnifeTime.objects.count() == 1


def test_parts_leave_the_rack_with_the_knife_s_name(
    as_helper: Any, knife: Knife, pins: Any
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
    as_helper: Any, knife: Knife, pins: Any, count: str, sentence: str
) -> None:
    response = page(as_helper, "part", knife, piece=str(pins.pk), count=count)

    pins.refresh_from_db()
    assert response.status_code == 422
    assert sentence in response.text
    assert pins.on_hand == 24


def test_a_part_taken_by_mistake_is_put_back(as_helper: Any, knife: Knife, pins: Any) -> None:
    page(as_helper, "part", knife, piece=str(pins.pk), count="2")
    act = Entry.objects.get(job=knife.job).act

    page(as_helper, "put-back", knife, act)

    pins.refresh_from_db()
    assert (pins.on_hand, pins.value_cents) == (24, 4800)
    shown = as_helper.get(reverse("shop:knife-detail", args=[knife.pk])).text
    assert "Nothing was taken for it yet." in shown


def test_another_knife_s_part_is_not_put_back(
    as_owner: Any, owner: Any, knife: Knife, pins: Any
) -> None:
    other = knives.make_knife(pattern="petty", by=owner)
    act = knives.use_parts(knife=other, piece=pins, count=2, by=owner)

    page(as_owner, "put-back", knife, act)

    pins.refresh_from_db()
    assert pins.on_hand == 22


def test_bar_is_cut_for_a_blade(as_owner: Any, knife: Knife, make_bar: Any, saw: Any) -> None:
    bar = make_bar()

    page(as_owner, "bar", knife, piece=str(bar.pk), length_nm="7 in")

    bar.refresh_from_db()
    assert bar.on_hand == 29 * IN - 1_000_000
    # 7 in and 1 mm of kerf of 36 in for 24.00: 4.67 and 0.03.
    cost = knife_cost.knife_cost(knife, history=rates.history(), house=House())
    assert [(line.key, line.cents) for line in cost.lines] == [("blade", 470)]


def test_a_knife_of_a_billet_needs_no_bar(
    owner: Any, make_layup: Any, make_bar: Any, saw: Any
) -> None:
    billet = workshop.make_billet(layup=make_layup(), by=owner)
    knife = knives.make_knife(pattern="petty", by=owner, billet=billet)

    with pytest.raises(knives.KnifeRefused, match="it needs no bar"):
        knives.cut_blade(knife=knife, piece=make_bar(), length_nm=IN, kerf_nm=0, by=owner)


def test_two_blades_share_their_billet_to_the_cent(
    owner: Any, make_layup: Any, make_bar: Any, saw: Any
) -> None:
    from stock import ledger

    billet = workshop.make_billet(layup=make_layup(), by=owner)
    ledger.cut_by_hand(
        piece=make_bar(price_cents=3601), length_nm=36 * IN, kerf_nm=0, job=billet.job, by=owner
    )
    first = knives.make_knife(pattern="petty", by=owner, billet=billet, length_nm=2 * IN)
    second = knives.make_knife(pattern="paring", by=owner, billet=billet, length_nm=IN)

    shares = [
        knife_cost.blade_cents(one, history=rates.history(), house=House())
        for one in (first, second)
    ]

    assert shares == [2401, 1200]


def test_cost_price_floor_and_real_margin(owner: Any, knife: Knife, pins: Any) -> None:
    rates.set_rates(from_date=date(2020, 1, 1), values=SHEET, by=owner)
    knives.use_parts(knife=knife, piece=pins, count=2, by=owner)
    knives.add_minutes(knife=knife, step="grind", minutes=120, person=owner)
    knives.add_service(knife=knife, name="engraving", cents=2000, by=owner)

    cost = knife_cost.knife_cost(knife, history=rates.history(), house=House())

    # Pins 4.00, engraving 20.00, 2 h at 30.00 and 2 h at 6.00.
    assert cost.cents == 9600
    assert cost.asked is not None
    assert cost.floor is not None
    assert cost.asked.price_cents == 14329  # 96.00 / (1 - 0.30 - 0.03), rounded up
    assert cost.floor.without_loss_cents == 9897  # 96.00 / 0.97
    assert cost.floor.out_of_pocket_cents == 2475  # 24.00 / 0.97, rounded up
    sold = knives.sell(knife=knife, sold_to="Ada", sold_on=date(2026, 4, 1), price_cents=16000)
    after = knife_cost.knife_cost(sold, history=rates.history(), house=House())
    assert after.brought is not None
    assert after.brought.profit_cents == 5920  # 160.00 - 4.80 - 96.00
    assert after.earned_cents_per_hour == 5960  # (160.00 - 4.80 - 36.00) / 2 h


def test_the_owner_sells_a_knife_and_takes_it_back(as_owner: Any, knife: Knife) -> None:
    page(as_owner, "sell", knife, sold_to="Ada Quince", sold_on="2026-04-01", price_cents="160")
    sold_page = as_owner.get(reverse("shop:knife-detail", args=[knife.pk])).text
    page(as_owner, "unsell", knife)

    knife.refresh_from_db()
    assert "it brought" in sold_page
    assert "$160.00" in sold_page
    assert (knife.sold_to, knife.sold_on, knife.price_cents) == ("", None, None)


@pytest.mark.parametrize(
    "changes", [{"price_cents": "-1"}, {"sold_to": ""}, {"sold_on": "soon"}, {"price_cents": "x"}]
)
def test_a_sale_that_cannot_be_is_refused(
    as_owner: Any, knife: Knife, changes: dict[str, str]
) -> None:
    given = {"sold_to": "Ada", "sold_on": "2026-04-01", "price_cents": "160"} | changes

    response = page(as_owner, "sell", knife, **given)

    knife.refresh_from_db()
    assert response.status_code == 422
    assert knife.sold_on is None


def test_outside_work_is_written_down_and_struck(as_owner: Any, knife: Knife) -> None:
    page(as_owner, "service", knife, name="engraving", cents="20")
    service = KnifeService.objects.get()
    assert service.cents == 2000

    page(as_owner, "service-strike", knife, service.pk)

    cost = knife_cost.knife_cost(knife, history=rates.history(), house=House())
    assert cost.lines == ()


def test_a_helper_works_at_a_knife_and_sees_no_money(
    as_helper: Any, owner: Any, knife: Knife, pins: Any
) -> None:
    knives.use_parts(knife=knife, piece=pins, count=2, by=owner)
    knives.sell(knife=knife, sold_to="Ada", sold_on=date(2026, 4, 1), price_cents=16000)

    for url in (
        reverse("shop:knife-list") + "?which=all",
        reverse("shop:knife-detail", args=[knife.pk]),
        reverse("shop:knife-change", args=[knife.pk]),
        reverse("shop:knife-add"),
    ):
        text = as_helper.get(url).text
        for money in ("$", "160", "4.00", "Margin", "Price", "cost"):
            assert money not in text, (url, money)
    for name in ("sell", "unsell", "service"):
        assert page(as_helper, name, knife).status_code == 403


def test_a_stranger_is_turned_away(client: Any, knife: Knife) -> None:
    for name in ("detail", "change", "card"):
        response = client.get(reverse(f"shop:knife-{name}", args=[knife.pk]))
        assert response.url.startswith(reverse("shop:sign-in"))
    assert page(client, "start", knife, step="grind").status_code == 302
    assert not KnifeTime.objects.exists()


def test_what_writes_is_not_reached_by_get(as_owner: Any, knife: Knife) -> None:
    for name in ("start", "stop", "minutes", "part", "bar", "sell", "unsell", "service"):
        assert as_owner.get(reverse(f"shop:knife-{name}", args=[knife.pk])).status_code == 405


def test_the_card_tells_metal_treatment_and_care_and_no_money(
    owner: Any, knife: Knife, make_bar: Any, saw: Any
) -> None:
    from shop.money_paper import knife_card_html
    from tests.shop.drawn_paper import texts

    knives.cut_blade(
        knife=knife, piece=make_bar(heat_lot="H4471"), length_nm=7 * IN, kerf_nm=0, by=owner
    )
    knives.change_knife(knife=knife, changes={"heat_treatment": "Tempered twice at 205 °C."})
    knives.sell(knife=knife, sold_to="Ada", sold_on=date(2026, 4, 1), price_cents=16000)
    knife.refresh_from_db()

    pages = texts(knife_card_html(knife, house=House(sees_money=True, is_owner=True)))

    assert len(pages) == 1
    assert "H4471" in pages[0]
    assert "Tempered twice at 205 °C." in pages[0]
    assert "Oil the blade" in pages[0]
    assert "$" not in pages[0]
    assert "160" not in pages[0]


def test_the_card_of_a_billet_s_knife_lists_its_layers_from_the_top(
    owner: Any, make_layup: Any
) -> None:
    from shop.money_paper import knife_card_html
    from tests.shop.drawn_paper import texts

    billet = workshop.make_billet(layup=make_layup(), by=owner)
    knife = knives.make_knife(pattern="petty", by=owner, billet=billet)

    text = texts(knife_card_html(knife, house=House()))[0]

    assert f"Billet {billet.mark}, 5 layers" in text
    assert text.count("cladding") == 2
    assert "1/8 in" in text


def test_a_long_list_is_read_in_few_queries(
    as_owner: Any, owner: Any, django_assert_max_num_queries: Any
) -> None:
    for number in range(60):
        made = knives.make_knife(pattern=f"knife {number}", by=owner)
        knives.add_minutes(knife=made, step="grind", minutes=10, person=owner)

    with django_assert_max_num_queries(10):
        assert as_owner.get(reverse("shop:knife-list")).status_code == 200
