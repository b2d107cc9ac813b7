"""Knives: cost, price, sale, outside work, who sees what, and the card."""

from __future__ import annotations

from datetime import date

import pytest
from django.db.models import Sum
from django.urls import reverse

from billets.history import writing as history
from shop.knives import cost as knife_cost
from shop.knives import writing as knives
from shop.models import Knife, KnifeService, KnifeTime
from shop.rates import writing as rates
from stock.house import House
from stock.ledger import by_hand, proof
from stock.models import Entry
from tests.conftest import IN
from tests.kinds import Client, DjangoAssertNumQueries, MakeLayup, MakePiece, Person, Piece, Saw
from tests.shop.knife_posts import SHEET, page


def test_two_blades_share_their_billet_to_the_cent(
    owner: Person, make_layup: MakeLayup, make_bar: MakePiece, saw: Saw
) -> None:
    billet = history.make_billet(layup=make_layup(), by=owner)
    by_hand.cut_by_hand(
        piece=make_bar(price_cents=3601), length_nm=36 * IN, kerf_nm=0, job=billet.job, by=owner
    )
    first = knives.make_knife(pattern="petty", by=owner, billet=billet, length_nm=2 * IN)
    second = knives.make_knife(pattern="paring", by=owner, billet=billet, length_nm=IN)

    shares = [
        knife_cost.blade_cents(one, history=rates.history(), house=House())
        for one in (first, second)
    ]

    assert shares == [2401, 1200]


def test_cost_price_floor_and_real_margin(owner: Person, knife: Knife, pins: Piece) -> None:
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


def test_the_owner_sells_a_knife_and_takes_it_back(as_owner: Client, knife: Knife) -> None:
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
    as_owner: Client, knife: Knife, changes: dict[str, str]
) -> None:
    given = {"sold_to": "Ada", "sold_on": "2026-04-01", "price_cents": "160"} | changes

    response = page(as_owner, "sell", knife, **given)

    knife.refresh_from_db()
    assert response.status_code == 422
    assert knife.sold_on is None


def test_outside_work_is_written_down_and_struck(as_owner: Client, knife: Knife) -> None:
    page(as_owner, "service", knife, name="engraving", cents="20")
    service = KnifeService.objects.get()
    assert service.cents == 2000

    page(as_owner, "service-strike", knife, service.pk)

    cost = knife_cost.knife_cost(knife, history=rates.history(), house=House())
    assert cost.lines == ()


@pytest.mark.slow
def test_a_helper_works_at_a_knife_and_sees_no_money(
    as_helper: Client, owner: Person, knife: Knife, pins: Piece
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


def test_a_stranger_is_turned_away(client: Client, knife: Knife) -> None:
    for name in ("detail", "change", "card"):
        response = client.get(reverse(f"shop:knife-{name}", args=[knife.pk]))
        assert response["Location"].startswith(reverse("shop:sign-in"))
    assert page(client, "start", knife, step="grind").status_code == 302
    assert not KnifeTime.objects.exists()


def test_what_writes_is_not_reached_by_get(as_owner: Client, knife: Knife) -> None:
    for name in ("start", "stop", "minutes", "part", "bar", "sell", "unsell", "service"):
        assert as_owner.get(reverse(f"shop:knife-{name}", args=[knife.pk])).status_code == 405


@pytest.mark.slow
def test_the_card_tells_metal_treatment_and_care_and_no_money(
    owner: Person, knife: Knife, make_bar: MakePiece, saw: Saw
) -> None:
    from shop.knives.card import knife_card_html
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


@pytest.mark.slow
def test_the_card_of_a_billet_s_knife_lists_its_layers_from_the_top(
    owner: Person, make_layup: MakeLayup
) -> None:
    from shop.knives.card import knife_card_html
    from tests.shop.drawn_paper import texts

    billet = history.make_billet(layup=make_layup(), by=owner)
    knife = knives.make_knife(pattern="petty", by=owner, billet=billet)

    text = texts(knife_card_html(knife, house=House()))[0]

    assert f"Billet {billet.mark}, 5 layers" in text
    assert text.count("Cladding 1084") == 2
    assert "1/8 in" in text


def test_a_long_list_is_read_in_few_queries(
    as_owner: Client, owner: Person, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    for number in range(60):
        made = knives.make_knife(pattern=f"knife {number}", by=owner)
        knives.add_minutes(knife=made, step="grind", minutes=10, person=owner)

    with django_assert_max_num_queries(10):
        assert as_owner.get(reverse("shop:knife-list")).status_code == 200


def test_the_metal_of_a_billet_s_knives_is_what_the_ledger_booked(
    owner: Person, make_layup: MakeLayup, make_bar: MakePiece, pins: Piece, saw: Saw
) -> None:
    billet = history.make_billet(layup=make_layup(), by=owner)
    by_hand.cut_by_hand(
        piece=make_bar(price_cents=3607),
        length_nm=11 * IN,
        kerf_nm=1_100_000,
        job=billet.job,
        by=owner,
    )
    three = [knives.make_knife(pattern="petty", by=owner, billet=billet) for _ in range(3)]
    for one, count in zip(three, (1, 2, 3), strict=True):
        knives.use_parts(knife=one, piece=pins, count=count, by=owner)
    act = knives.use_parts(knife=three[0], piece=pins, count=5, by=owner)
    knives.put_back(knife=three[0], act=act, by=owner)

    costs = [knife_cost.knife_cost(one, history=rates.history(), house=House()) for one in three]

    jobs = [billet.job, *(one.job for one in three)]
    booked = Entry.objects.filter(job__in=jobs).aggregate(worth=Sum("value_cents"))["worth"]
    assert sum(cost.cents for cost in costs) == -booked
    assert max(cost.cents for cost in costs) - min(cost.cents for cost in costs) in (399, 400, 401)
    assert proof.proved().faults == ()
