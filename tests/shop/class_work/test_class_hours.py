"""Hours at a class's billets, planned beside real: by step, in money, and never counted twice."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from bs4 import BeautifulSoup
from django.urls import reverse

from billets.history import writing as history
from billets.hours import writing as hours
from billets.models import Billet
from shop.class_money.costs import class_plans
from shop.class_money.reading import books_of
from shop.class_money.variance import ClassVariance, class_variance
from shop.class_work import reading as class_work_reading
from shop.class_work.hours import StepSum
from shop.costing.rate_values import shop_rates
from shop.costing.seats import Variance
from shop.models import ForgeClass
from shop.rates import writing as rates
from stock.house import House
from tests.kinds import Client, MakeClass, Person

SHEET: dict[str, Any] = {
    "labour_cents_per_hour": 3000, "overhead_cents_per_hour": 600,
    "cut_s": 600, "clean_s": 300, "weld_s": 900,
}  # fmt: skip


@pytest.fixture
def held(make_class: MakeClass, owner: Person) -> ForgeClass:
    """A held class of two: one billet welded shut, one only cut."""
    rates.set_rates(from_date=date(2020, 1, 1), values=SHEET, by=owner)
    row: ForgeClass = make_class(students=2)
    for seat, kinds in zip(row.seats.all(), (("cut", "cleaned", "welded"), ("cut",)), strict=True):
        seat.billet = history.make_billet(layup=row.layup, by=owner)
        seat.save()
        for kind in kinds:
            history.record_step(billet=seat.billet, kind=kind, by=owner)
    row.state = "held"
    row.save()
    return row


def billets_of(row: ForgeClass) -> list[Billet]:
    """Its billets by seat."""
    return [seat.billet for seat in row.seats.order_by("number") if seat.billet]


def real_of(row: ForgeClass, **sheet: Any) -> ClassVariance:
    """The class, planned and real."""
    books = replace(books_of(row, house=House()), shop=shop_rates(SHEET | sheet))
    return class_variance(books, plans=class_plans(books))


def line(found: ClassVariance, key: str) -> Variance:
    """One line of it."""
    return next(split for split in found.splits if split.key == key)


def sums(row: ForgeClass) -> dict[str, StepSum]:
    """Hours by step."""
    return {one.name: one for one in class_work_reading.sums_of(row, billets_of(row))}


def test_without_written_hours_each_step_that_was_reached_counts_as_usual(held: ForgeClass) -> None:
    found = sums(held)

    assert (found["cut_s"].planned_s, found["cut_s"].real_s) == (1200, 1200)
    assert (found["weld_s"].planned_s, found["weld_s"].real_s) == (1800, 900)
    assert found["weld_s"].rests_on == "1 at the usual minutes"


def test_written_hours_take_the_place_of_the_usual_ones_billet_by_billet(
    held: ForgeClass, owner: Person
) -> None:
    hours.add_minutes(billets=billets_of(held)[:1], step="cut", minutes=17, person=owner)

    cut = sums(held)["cut_s"]

    assert (cut.written_s, cut.assumed_s, cut.real_s) == (1020, 600, 1620)
    assert cut.rests_on == "1 written down, 1 at the usual minutes"
    assert (cut.difference_words, cut.each_words) == ("7 min more", "17 min")


def test_hours_at_an_unreached_step_count_too(held: ForgeClass, owner: Person) -> None:
    hours.add_minutes(billets=billets_of(held)[1:], step="weld", minutes=4, person=owner)

    weld = sums(held)["weld_s"]

    assert (weld.written_s, weld.assumed_s, weld.difference_words) == (240, 900, "11 min less")


def test_longer_welding_is_why_the_class_was_dearer(
    held: ForgeClass, owner: Person, helper: Person
) -> None:
    hours.add_minutes(billets=billets_of(held), step="weld", minutes=60, person=owner)

    weld = line(real_of(held), "weld_s")

    # 2 x 15 min were planned and 60 were worked, at 30.00 an hour.
    assert (weld.planned_cents, weld.real_cents, weld.amount_cents) == (1500, 3000, 1500)
    assert (weld.seats_cents, weld.failures_cents, weld.price_cents) == (0, 0, 0)
    assert weld.label == "Welding the billets shut"


def test_cheaper_hands_are_a_matter_of_price(
    held: ForgeClass, owner: Person, helper: Person
) -> None:
    hours.add_minutes(billets=billets_of(held), step="weld", minutes=30, person=helper)

    weld = line(real_of(held, people={str(helper.pk): 2000}), "weld_s")

    assert (weld.planned_cents, weld.real_cents) == (1500, 1000)
    assert (weld.amount_cents, weld.price_cents) == (0, -500)


def test_a_usual_step_is_at_the_rate_of_who_did_it(held: ForgeClass, owner: Person) -> None:
    cut = line(real_of(held, people={str(owner.pk): 2400}), "cut_s")

    # Twice 10 min at 24.00 an hour instead of 30.00, as on the billets' own pages.
    assert (cut.planned_cents, cut.real_cents) == (1000, 800)


def test_overhead_goes_with_all_hours_at_the_billets(held: ForgeClass, owner: Person) -> None:
    hours.add_minutes(billets=billets_of(held), step="weld", minutes=60, person=owner)

    overhead = line(real_of(held), "billet-overhead")

    # Planned 2 x 30 min at 6.00. Real: cut 20, clean 5, weld 60 min.
    assert (overhead.planned_cents, overhead.real_cents) == (600, 850)


def test_the_arc_s_gas_goes_with_the_welding(held: ForgeClass, owner: Person) -> None:
    gas = {"shielding_cents": 600, "shielding_per_ml": 1000, "shielding_ml_per_minute": 100}
    hours.add_minutes(billets=billets_of(held), step="weld", minutes=60, person=owner)

    shielding = line(real_of(held, arc_s=300, **gas), "shielding")

    # 5 min of 100 ml at 0.60 are 3.00 a billet; 60 min of welding instead of 30 are twice that.
    assert (shielding.planned_cents, shielding.real_cents, shielding.amount_cents) == (
        600,
        1200,
        600,
    )


def test_forging_at_a_class_s_billets_is_not_counted_beside_the_teaching(
    held: ForgeClass, owner: Person
) -> None:
    before = real_of(held).real_cents

    hours.add_minutes(billets=billets_of(held), step="forge", minutes=300, person=owner)

    assert real_of(held).real_cents == before
    assert sums(held)["forge_s"].written_s == 18_000


@pytest.mark.slow
def test_typed_preparing_hours_are_those_beside_the_billets(
    as_owner: Client, held: ForgeClass, owner: Person
) -> None:
    hours.add_minutes(billets=billets_of(held), step="weld", minutes=390, person=owner)

    page = as_owner.get(reverse("shop:class-money", args=[held.pk])).text

    assert "6 h 30 at the billets stand written down and are counted above" in page
    assert "Hours of preparing, beside the billets" in page


def test_where_none_stand_written_down_the_page_says_so(as_owner: Client, held: ForgeClass) -> None:
    page = as_owner.get(reverse("shop:class-money", args=[held.pk])).text

    assert "No hours at the billets stand written down" in page


def test_after_class_shows_hours_planned_and_real_without_money(
    as_helper: Client, held: ForgeClass, helper: Person
) -> None:
    hours.add_minutes(billets=billets_of(held), step="weld", minutes=60, person=helper)

    page = BeautifulSoup(
        as_helper.get(reverse("shop:after-class", args=[held.pk])).text, "html.parser"
    )

    text = " ".join(page.get_text(" ").split())
    assert "Hours, planned and real" in text
    assert "Weld shut 2 written down 30 min 1 h 00 30 min more 30 min" in text
    assert "$" not in text


def test_reasons_still_add_up_to_the_difference(
    held: ForgeClass, owner: Person, helper: Person
) -> None:
    for minutes, person in ((7, owner), (13, helper)):
        hours.add_minutes(billets=billets_of(held), step="cut", minutes=minutes, person=person)

    found = real_of(held, people={str(helper.pk): 2130})

    for split in found.splits:
        reasons = split.seats_cents + split.failures_cents + split.amount_cents + split.price_cents
        assert reasons == split.difference_cents
    assert found.difference_cents == sum(split.difference_cents for split in found.splits)
