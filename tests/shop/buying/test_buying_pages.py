"""The buying page: what is short, the ways to buy it, orders; who may see and do what."""

from __future__ import annotations

import time
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest
from django.urls import reverse
from django.utils import timezone

from shop.buying import writing as buying
from shop.demo import make
from shop.demo.classes import solvers
from shop.models import BuyingRun, ForgeClass, Person, ShopSettings
from shop.planning import writing as planning
from stock import clock
from stock.ledger import receiving
from stock.ledger.proof import proved
from stock.models import Material, Offer, Piece, Purchase, PurchaseLine, Supplier
from tests.kinds import ClassMetal, Client, DjangoAssertNumQueries, MakeClass, MakePiece, Response

IN = 25_400_000
HTMX = {"HX-Request": "true"}
BUYING, ORDER = "/buying/", "/buying/order/"


@pytest.fixture
def short_class(
    class_metal: ClassMetal, make_class: MakeClass, weighed_here: None, supplier: Supplier
) -> ForgeClass:
    """Three students: six cladding blanks, of which the one bar of 36 in gives five."""
    bar = Material.objects.get(alloy="1084")
    Offer.objects.create(supplier=supplier, material=bar, price_cents=900, length_nm=12 * IN)
    slow = Supplier.objects.create(name="Quarry Lane Metals", days_to_deliver=9)
    Offer.objects.create(supplier=slow, material=bar, price_cents=1000, length_nm=36 * IN)
    day = clock.today() + timedelta(days=30)
    row: ForgeClass = make_class(students=3, starts_on=day, ends_on=day)
    return row


def look(client: Client) -> BuyingRun:
    client.post(BUYING)
    return BuyingRun.objects.latest("id")


def order(
    client: Client, run: BuyingRun, supplier: str, *, way: str = "best", **how: Any
) -> Response:
    return client.post(ORDER, {"run": run.pk, "way": way, "supplier": supplier}, **how)


@pytest.mark.slow
def test_the_page_says_what_is_short_for_whom_by_when_and_the_cheapest_way(
    as_owner: Client, short_class: ForgeClass
) -> None:
    # A Saturday: Friday stays free, Thursday is for preparing, the parcel comes on Wednesday.
    ForgeClass.objects.update(starts_on=date(2026, 6, 27), ends_on=date(2026, 6, 27))

    with clock.as_of(datetime(2026, 6, 1, 12, tzinfo=UTC)):
        page = as_owner.post(BUYING, follow=True).text

    assert "<b>1 blank</b> of 1084 1/8 × 1-1/4 in: 1-1/4 × 6 in" in page
    assert reverse("shop:class-detail", args=[short_class.pk]) in page
    assert "1 of its 6" in page
    assert "wanted by <b>Wed 24 Jun</b>" in page
    assert "order by <b>Fri 19 Jun</b>" in page
    assert "<dd>$9.00</dd>" in page
    assert "Nothing cheaper on your offers covers it in time" in page
    assert "All from Quarry Lane Metals it costs 11 % more and arrives 4 days later." in page
    assert "How the bars are cut" in page


@pytest.mark.slow
def test_what_is_left_for_the_next_class_is_told(as_owner: Client, short_class: ForgeClass) -> None:
    page = as_owner.post(BUYING, follow=True).text

    # Bought: 304.8 - 153.4 = 151.4 mm. The rack's own: 914.4 - 5 x 153.4 = 147.4 mm.
    assert "Left for the next class" in page
    assert "5.961 in, 5.803 in" in page


@pytest.mark.slow
def test_one_click_orders_and_one_more_puts_it_on_the_rack_with_marks(
    as_owner: Client, short_class: ForgeClass, supplier: Supplier
) -> None:
    run = look(as_owner)

    ordered = order(as_owner, run, supplier.name)

    purchase = Purchase.objects.get(state="ordered")
    assert ordered["Location"] == reverse("stock:purchase-detail", args=[purchase.pk])
    assert purchase.due_on == clock.today() + timedelta(days=5)
    line = purchase.lines.get()
    assert (line.count, line.length_nm, line.price_cents) == (1, 12 * IN, 900)

    received = as_owner.post(
        reverse("stock:purchase-receive", args=[purchase.pk]),
        {f"lot-{line.pk}": "H-77", f"place-{line.pk}": "rack 4"},
        follow=True,
    )
    piece = Piece.objects.get(line=line)
    assert piece.mark in received.text
    assert (piece.heat_lot, piece.place, piece.value_cents) == ("H-77", "rack 4", 900)


@pytest.mark.slow
def test_after_it_is_received_nothing_is_short_and_the_class_is_ready_to_plan(
    as_owner: Client, short_class: ForgeClass, supplier: Supplier, owner: Person
) -> None:
    order(as_owner, look(as_owner), supplier.name)
    receiving.receive(purchase=Purchase.objects.get(state="ordered"), on=clock.today(), by=owner)

    page = as_owner.post(BUYING, follow=True).text

    assert "Nothing is short" in page
    assert "Ready to be planned" in page
    assert short_class.title in page


@pytest.mark.slow
def test_pressed_twice_it_is_one_order(
    as_owner: Client, short_class: ForgeClass, supplier: Supplier
) -> None:
    run = look(as_owner)
    order(as_owner, run, supplier.name)

    again = order(as_owner, run, supplier.name, follow=True)

    assert "was placed already" in again.text
    assert Purchase.objects.filter(state="ordered").count() == 1


@pytest.mark.slow
def test_what_is_on_order_is_not_short_any_more(
    as_owner: Client, short_class: ForgeClass, supplier: Supplier
) -> None:
    order(as_owner, look(as_owner), supplier.name)

    page = as_owner.post(BUYING, follow=True).text

    assert "Nothing is short" in page
    assert "On order" in page


@pytest.mark.slow
def test_another_way_cannot_be_ordered_once_one_is_begun(
    as_owner: Client, short_class: ForgeClass, supplier: Supplier
) -> None:
    run = look(as_owner)
    order(as_owner, run, supplier.name)

    refused = order(as_owner, run, "Quarry Lane Metals", way="one-supplier")

    assert refused.status_code == 422
    assert "would buy some of it twice" in refused.text
    assert Purchase.objects.filter(state="ordered").count() == 1


@pytest.mark.slow
def test_a_list_that_the_rack_has_outrun_orders_nothing(
    as_owner: Client, short_class: ForgeClass, supplier: Supplier, make_bar: MakePiece
) -> None:
    run = look(as_owner)
    make_bar(alloy="1084")

    refused = order(as_owner, run, supplier.name)

    assert refused.status_code == 422
    assert "Nothing was ordered" in refused.text
    assert "Look again before you order" in refused.text
    assert not Purchase.objects.filter(state="ordered").exists()


@pytest.mark.slow
def test_an_older_list_orders_nothing_once_there_is_a_newer_one(
    as_owner: Client, short_class: ForgeClass, supplier: Supplier
) -> None:
    old = look(as_owner)
    look(as_owner)

    assert order(as_owner, old, supplier.name).status_code == 422
    assert not Purchase.objects.filter(state="ordered").exists()


@pytest.mark.slow
@pytest.mark.parametrize(
    ("way", "whose", "run"),
    [("best", "Nobody", None), ("cheapest", "Marrow & Daughter Steels", None), ("best", "", "x")],
)
def test_an_order_that_the_list_does_not_hold_is_refused(
    as_owner: Client, short_class: ForgeClass, way: str, whose: str, run: str | None
) -> None:
    made = look(as_owner)

    given = {"run": run or made.pk, "way": way, "supplier": whose}
    assert as_owner.post(ORDER, given).status_code in (404, 422)
    assert not Purchase.objects.filter(state="ordered").exists()


@pytest.mark.slow
def test_a_helper_sees_what_is_short_and_no_money(
    as_owner: Client, client: Client, helper: Person, short_class: ForgeClass
) -> None:
    run = look(as_owner)
    client.force_login(helper)

    page = client.get(BUYING).text

    assert "<b>1 blank</b> of 1084" in page
    for word in ("$", "cheapest", "Other choices", "Roll against", "Order from", "% more"):
        assert word not in page
    assert order(client, run, "Marrow & Daughter Steels").status_code == 403
    assert not Purchase.objects.filter(state="ordered").exists()


def test_a_stranger_is_sent_to_sign_in(client: Client, shop_row: ShopSettings) -> None:
    for url in (BUYING, reverse("stock:offer-list")):
        assert client.get(url)["Location"].startswith("/sign-in/")
    assert client.post(ORDER)["Location"].startswith("/sign-in/")


def test_reading_the_page_writes_nothing_and_ordering_by_get_is_refused(
    as_owner: Client, short_class: ForgeClass
) -> None:
    page = as_owner.get(BUYING)

    assert "Nobody has looked yet" in page.text
    assert not BuyingRun.objects.exists()
    assert as_owner.get(ORDER).status_code == 405
    assert as_owner.get(reverse("shop:buying-stop")).status_code == 405


def test_htmx_gets_the_changing_part_only(as_owner: Client, short_class: ForgeClass) -> None:
    look(as_owner)

    part = as_owner.get(BUYING, headers=HTMX).text

    assert part.lstrip().startswith('<div id="buying"')
    assert "<html" not in part


def test_a_look_that_goes_on_shows_the_best_so_far_and_can_be_stopped(
    as_owner: Client, owner: Person
) -> None:
    run = BuyingRun.objects.create(
        by=owner, progress={"doing": "offers", "lacks": 2, "cents": 8610, "at_least_cents": 8000}
    )

    page = as_owner.get(BUYING).text
    as_owner.post(reverse("shop:buying-stop"))

    assert "<dd>$86.10</dd>" in page
    assert "<dd>$80.00</dd>" in page
    assert 'http-equiv="refresh"' in page
    run.refresh_from_db()
    assert run.stop_asked
    assert "Taking the best found so far" in as_owner.get(BUYING).text


def test_a_look_that_is_going_on_is_joined_and_a_lost_one_replaced(
    as_owner: Client, owner: Person, weighed_here: None
) -> None:
    running = BuyingRun.objects.create(by=owner)
    as_owner.post(BUYING)
    assert BuyingRun.objects.count() == 1

    long_ago = timezone.now() - timedelta(hours=1)
    BuyingRun.objects.filter(pk=running.pk).update(started_at=long_ago)
    assert "cut off before it ended" in as_owner.get(BUYING).text
    assert "Nothing is short" in as_owner.post(BUYING, follow=True).text
    running.refresh_from_db()
    assert running.state == "failed"


def test_a_look_that_breaks_says_so_and_orders_nothing(
    as_owner: Client, short_class: ForgeClass, monkeypatch: pytest.MonkeyPatch
) -> None:
    from stock.buying import worker

    def breaks(*args: Any, **how: Any) -> None:
        raise worker.NothingInTime(20.0)

    monkeypatch.setattr(worker, "answered", breaks)

    page = as_owner.post(BUYING, follow=True).text

    assert "No way to buy was found within 20 s" in page
    assert "Look again" in page


def test_a_long_list_takes_no_more_queries(
    as_owner: Client, short_class: ForgeClass, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    look(as_owner)

    with django_assert_max_num_queries(40):
        as_owner.get(BUYING)


@pytest.mark.slow
def test_the_demos_wanting_class_is_bought_for_exactly_and_then_plans(
    client: Client, weighed_here: None, db: None
) -> None:
    make.make(today=clock.today())
    owner = Person.objects.get(username="tamsin")
    client.force_login(owner)
    wanting = ForgeClass.objects.get(title="Two lines a side, advanced")

    run = look(client)
    best = next(way for way in run.result["ways"] if way["key"] == "best")
    assert {(why["class_id"]) for lack in run.result["lacks"] for why in lack["why"]} == {
        wanting.pk
    }
    assert all(not lack["uncovered"] for lack in run.result["lacks"])
    for part in best["orders"]:
        assert order(client, run, part["supplier"]).status_code == 302
    wanted = sum(one["cents"] for part in best["orders"] for one in part["lines"])
    lines = PurchaseLine.objects.filter(purchase__state="ordered")
    assert sum(line.price_cents for line in lines) == wanted
    for purchase in Purchase.objects.filter(state="ordered"):
        receiving.receive(purchase=purchase, on=clock.today(), by=owner)

    plan = planning.computed(
        forge_class=wanting, house=ShopSettings.objects.get().house(), solvers=solvers()
    )
    assert plan.is_whole
    assert "Nothing is short" in client.post(BUYING, follow=True).text
    assert proved().faults == ()


@pytest.mark.slow
@pytest.mark.django_db(transaction=True)
def test_a_look_runs_in_a_thread_and_a_process_while_the_page_waits(
    class_metal: ClassMetal, make_class: MakeClass, supplier: Supplier, as_owner: Client
) -> None:
    bar = Material.objects.get(alloy="1084")
    Offer.objects.create(supplier=supplier, material=bar, price_cents=900, length_nm=12 * IN)
    day = clock.today() + timedelta(days=30)
    make_class(students=3, starts_on=day, ends_on=day)

    as_owner.post(BUYING)
    deadline = time.monotonic() + 60
    while BuyingRun.objects.get().state == "running" and time.monotonic() < deadline:
        assert "Take the best now" in as_owner.get(BUYING).text
        time.sleep(buying.WAIT_S / 10)

    assert BuyingRun.objects.get().state == "ready"
    assert "<dd>$9.00</dd>" in as_owner.get(BUYING).text


@pytest.mark.slow
def test_the_class_says_when_metal_has_come_since_a_plan_that_was_short(
    as_owner: Client, short_class: ForgeClass, make_bar: MakePiece
) -> None:
    url = reverse("shop:class-detail", args=[short_class.pk])
    as_owner.post(reverse("shop:plan", args=[short_class.pk]))
    assert "Metal has come" not in as_owner.get(url).text

    make_bar(alloy="1084")

    assert "Metal has come since the last plan" in as_owner.get(url).text
