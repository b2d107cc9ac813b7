"""What a billet costs: planned at average prices, real by the ledger, sound by the shop's yield."""

from __future__ import annotations

from datetime import date

import pytest
from django.urls import reverse

from billets.history import writing as history
from billets.layup.case import Case, case_of
from billets.layup.design import Design
from billets.models import Billet, StepKind
from shop.billet_cost import reading as billet_cost_reading
from shop.costing.billet import Reached, compared, machine_seconds, planned_work, real_work
from shop.costing.lines import Line
from shop.costing.rate_values import shop_rates
from shop.rates import writing as rates
from shop.yields import like_billets
from stock.house import House
from stock.ledger import set_asides
from stock.models import Offer, SetAside, alloy_book
from tests.conftest import IN
from tests.kinds import ClassMetal, Client, MakeClass, MakeLayup, MakeMaterial, Person, Supplier

SHEET = {
    "labour_cents_per_hour": 3000, "overhead_cents_per_hour": 1200, "cut_s": 600, "weld_s": 900,
    "finish_s": 1200, "heat_s": 360, "fuel_cents": 400, "fuel_per_ug": 1_000_000_000,
    "burn_ug_per_hour": 1_000_000_000, "watts_press": 3600, "machine_s_press": 1000,
    "power_cents": 3000,
}  # fmt: skip


def cased(design: Design) -> Case:
    """A layup in a shop that has set nothing."""
    return case_of(design, alloys=alloy_book(), house=House())


@pytest.fixture
def cut_billet(planned_class: MakeClass, owner: Person) -> Billet:
    """A billet of a class of one, all of its blanks cut."""
    row = planned_class(students=1)
    asides = SetAside.objects.filter(plan=row.plan_key, state="standing").exclude(amount=0)
    for aside in asides.order_by("-kind", "position"):
        set_asides.tick(set_aside=aside, by=owner)
    for aside in SetAside.objects.filter(plan=row.plan_key, state="standing"):
        set_asides.tick(set_aside=aside, by=owner)
    billet = Billet.objects.get()
    history.record_step(billet=billet, kind=StepKind.CUT, by=owner)
    return billet


def test_metal_is_planned_at_the_average_price_that_was_paid(
    class_metal: ClassMetal, make_layup: MakeLayup
) -> None:
    design = make_layup().design()

    planned = billet_cost_reading.planned_cost(
        cased(design), shop=shop_rates({}), is_for_class=True
    )

    # Cladding 2 x 153.4/914.4 x 24.00, core 153.4/914.4 x 30.00 (1 mm kerf each),
    # copper 2 x (6 x 1-1/4)/(6 x 60) x 90.00: 8.05 + 5.03 + 3.75.
    assert planned.cents == 1684
    assert planned.unpriced == ()


def test_metal_that_was_never_bought_is_named(make_layup: MakeLayup) -> None:
    planned = billet_cost_reading.planned_cost(
        cased(make_layup().design()), shop=shop_rates({}), is_for_class=True
    )

    assert planned.cents == 0
    assert len(planned.unpriced) == 3


@pytest.mark.slow
def test_real_metal_is_the_ledger_s_to_the_cent(cut_billet: Billet) -> None:
    metal, wire = billet_cost_reading.booked(cut_billet)

    entries = cut_billet.blanks.values_list("set_aside__entries__value_cents", flat=True)
    assert metal == -sum(cents for cents in entries if cents)
    assert wire == 0
    assert metal > 0


def test_planned_work_of_a_billet_of_one_s_own_counts_the_forging() -> None:
    shop = shop_rates(SHEET)

    own = planned_work(shop, metal_cents=1000, filler_ug=0, heats=7, is_for_class=False)
    for_class = planned_work(shop, metal_cents=1000, filler_ug=0, heats=7, is_for_class=True)

    assert [step.seconds for step in own.steps] == [600, 900, 2520, 1200]
    assert [step.seconds for step in for_class.steps] == [600, 900]
    assert own.fire_seconds == for_class.fire_seconds == 2520


def test_real_work_counts_what_was_reached_and_each_person_s_own_rate() -> None:
    shop = shop_rates(SHEET | {"people": {"7": 2000}})
    reached = Reached(steps={"cut_s": 7, "weld_s": 3}, heats=5, forged_by=7)

    work = real_work(shop, reached, metal_cents=900, planned_heats=7, is_for_class=False)

    assert [(step.seconds, step.cents_per_hour) for step in work.steps] == [
        (600, 2000),
        (900, None),
        (1800, 2000),
    ]
    assert work.fire_seconds == 1800


def test_the_press_runs_as_long_as_there_were_heats() -> None:
    shop = shop_rates(SHEET)

    assert machine_seconds(shop, Reached(heats=5), planned_heats=10)["press"] == 500
    assert machine_seconds(shop, Reached(heats=5), planned_heats=0)["press"] == 1000
    assert "press" not in machine_seconds(shop, Reached(), planned_heats=10)


def test_planned_and_real_add_up_to_their_totals() -> None:
    planned = [Line("metal", "Metal", 1000), Line("labour", "Cut", 50), Line("labour", "Weld", 70)]
    real = [Line("metal", "Metal", 900), Line("filler", "Filler", 30), Line("labour", "Cut", 55)]

    rows = compared(planned, real)

    assert [(row.word, row.planned_cents, row.real_cents) for row in rows] == [
        ("Metal", 1000, 900),
        ("Filler", 0, 30),
        ("Labour", 120, 55),
    ]


def test_like_billets_are_those_joined_the_same_way_with_as_many_layers(
    make_layup: MakeLayup, owner: Person
) -> None:
    five = make_layup()
    steel = make_layup(
        name="Steel", layers=[("1084", IN // 8, "core"), ("15n20", IN // 16, "core")]
    )
    for number, layup in enumerate([five, five, five, steel]):
        billet = history.make_billet(layup=layup, by=owner)
        if number == 1:
            history.record_step(billet=billet, kind=StepKind.FAILED, cause="no-bond", by=owner)
        elif number != 2:
            for kind in history.ORDER[1:]:
                history.record_step(billet=billet, kind=kind, by=owner)

    record = like_billets.record_of(five.design(), alloys=alloy_book())

    assert (record.sound, record.made) == (1, 2)


@pytest.mark.slow
def test_the_page_shows_planned_real_and_what_a_sound_one_costs(
    as_owner: Client, owner: Person, cut_billet: Billet
) -> None:
    rates.set_rates(from_date=date(2020, 1, 1), values=SHEET, by=owner)

    page = as_owner.get(reverse("shop:billet-cost", args=[cut_billet.mark])).text

    assert "$16.84" in page  # planned metal
    assert "No like billet has a recorded outcome yet" in page
    assert 'class="waterfall"' in page
    assert "for a class, where students forge" in page


@pytest.mark.slow
def test_without_rates_the_page_says_so(as_owner: Client, cut_billet: Billet) -> None:
    page = as_owner.get(reverse("shop:billet-cost", args=[cut_billet.mark])).text

    assert "No rates are written down yet" in page
    assert "Metal" in page


@pytest.mark.slow
def test_the_cost_is_for_the_owner(client: Client, helper: Person, cut_billet: Billet) -> None:
    url = reverse("shop:billet-cost", args=[cut_billet.mark])
    stranger = client.get(url)
    client.force_login(helper)

    assert stranger.status_code == 302
    assert client.get(url).status_code == 403
    assert url not in client.get(reverse("billets:billet-detail", args=[cut_billet.mark])).text


def test_the_cost_page_only_reads(as_owner: Client, cut_billet: Billet) -> None:
    assert as_owner.post(reverse("shop:billet-cost", args=[cut_billet.mark])).status_code == 405
    assert as_owner.get(reverse("shop:billet-cost", args=["ZZZ99"])).status_code == 404


def test_a_sound_one_without_a_sound_one_on_record_has_no_upper_end(
    as_owner: Client, cut_billet: Billet
) -> None:
    page = as_owner.get(reverse("shop:billet-cost", args=[cut_billet.mark])).text

    # Metal of one billet, 16.84 (see above): the least; and no made-up million.
    assert "at least $16.84" in page
    assert "no record yet" in page
    assert "between" not in page


def test_metal_that_is_only_offered_is_planned_at_the_cheapest_offer(
    make_layup: MakeLayup,
    make_material: MakeMaterial,
    supplier: Supplier,
    as_owner: Client,
    make_class: MakeClass,
) -> None:
    core = make_material(alloy="1095", thickness_nm=IN * 3 // 16)
    strip = make_material(form="roll", alloy="c10200", thickness_nm=IN // 50, width_nm=6 * IN)
    for material, length_nm, price in (
        (core, 36 * IN, 3600),
        (core, 72 * IN, 5400),
        (strip, 60 * IN, 9000),
    ):
        Offer.objects.create(
            supplier=supplier, material=material, length_nm=length_nm, price_cents=price
        )
    layup = make_layup()

    planned = billet_cost_reading.planned_cost(
        cased(layup.design()), shop=shop_rates({}), is_for_class=True
    )

    # Core 6/72 x 54.00 = 4.50 (no saw, no kerf), copper 2 x (6 x 1-1/4)/(6 x 60) x 90.00 = 3.75.
    assert planned.cents == 825
    assert planned.unpriced == ("1084",)
    assert planned.listed == ("C10200 oxygen-free copper", "1095")
    page = as_owner.get(reverse("shop:class-money", args=[make_class(layup=layup).pk])).text
    assert "No C10200 oxygen-free copper, 1095 was bought in that thickness yet" in page


def test_what_was_paid_goes_before_what_is_offered(
    class_metal: ClassMetal, make_layup: MakeLayup, supplier: Supplier
) -> None:
    Offer.objects.create(
        supplier=supplier, material=class_metal["core"].material, length_nm=36 * IN, price_cents=1
    )

    planned = billet_cost_reading.planned_cost(
        cased(make_layup().design()), shop=shop_rates({}), is_for_class=True
    )

    assert (planned.cents, planned.listed) == (1684, ())
