"""One class, one sum: the money page, its billets, its after-class split and its paper agree."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest
from django.db.models import Sum
from django.urls import reverse

from billets.history import writing as history
from billets.models import StepKind, Work
from shop.billet_cost import reading as billet_cost_reading
from shop.class_money import costs as class_costs
from shop.class_money import writing as class_money
from shop.class_money.figures import class_figures
from shop.class_money.reading import books_of
from shop.class_money.summary import class_summary_html
from shop.class_money.variance import ClassVariance, class_variance
from shop.classes import seat_writing as seating
from shop.costing.lines import cents_of
from shop.rates import writing as rates
from stock import clock
from stock.house import House
from stock.ledger import set_asides
from stock.models import Entry, SetAside
from stock.quantities.money import money_text
from tests.conftest import IN
from tests.kinds import ClassMetal, Client, ForgeClass, MakeClass, Person, sure
from tests.shop.drawn_paper import texts

SHEET = {
    "labour_cents_per_hour": 3133, "overhead_cents_per_hour": 917, "fuel_cents": 128,
    "burn_ug_per_hour": 1_133_980_925, "power_cents": 1741, "shielding_cents": 6200,
    "shielding_per_ml": 3_539_625, "shielding_ml_per_minute": 9439, "filler_cents": 415,
    "billet_consumables_cents": 237, "card_fee_bp": 290, "card_fixed_cents": 30, "tax_bp": 625,
    "cut_s": 470, "clean_s": 900, "weld_s": 905, "heat_s": 361, "arc_s": 300,
    "watts_press": 3700, "machine_s_press": 241, "in_the_fire_together": 3,
}  # fmt: skip
TERMS = {
    "fee_cents": 40000, "deposit_cents": 10000, "place_cents": 30000, "teach_minutes": 611,
    "prepare_minutes": 97, "seat_cents": 2511, "refund_rule": [[30, 10000], [14, 5000]],
}  # fmt: skip
HOUSE = House(is_owner=True, sees_money=True)


def view_of(row: ForgeClass) -> class_costs.ClassMoneyView:
    """The money page's figures."""
    books = books_of(row, house=HOUSE)
    return class_costs.class_money_view(books)


def split_of(row: ForgeClass) -> ClassVariance:
    """The after-class split."""
    books = books_of(row, house=HOUSE)
    return class_variance(books, plans=class_costs.class_plans(books))


@pytest.fixture
def held(planned_class: MakeClass, owner: Person) -> ForgeClass:
    """Two students with metal, under odd rates."""
    rates.set_rates(from_date=date(2020, 1, 1), values=SHEET, by=owner)
    row = planned_class(students=2)
    class_money.set_terms(forge_class=row, changes=TERMS, by=owner)
    row.state = "held"
    row.save()
    return row


@pytest.mark.slow
def test_what_was_planned_is_the_cost_on_the_money_page_to_the_cent(held: ForgeClass) -> None:
    assert split_of(held).planned_cents == view_of(held).costs.cost_cents(2)
    keys = {split.key for split in split_of(held).splits}
    assert {"fuel", "power", "shielding", "consumables", "weld_s", "overhead"} <= keys
    assert "billet-overhead" in keys


@pytest.mark.slow
def test_a_failed_billet_counts_what_it_is_still_worth_planned_and_real(
    planned_class: MakeClass, owner: Person
) -> None:
    rates.set_rates(from_date=date(2020, 1, 1), values=SHEET | {"salvage_cents": 200}, by=owner)
    row = planned_class(students=1, spares=1)
    class_money.set_terms(forge_class=row, changes=TERMS, by=owner)
    for seat in row.seats.all():
        history.record_step(
            billet=sure(seat.billet), kind=StepKind.FAILED, cause="cracked", by=owner
        )
    row.state = "held"
    row.save()

    found = split_of(row)

    worth = next(split for split in found.splits if split.key == "salvage")
    assert (worth.planned_cents, worth.real_cents) == (-200, -400)  # one spare, two failures
    assert worth.failures_cents == worth.difference_cents == -200
    assert found.planned_cents == view_of(row).costs.cost_cents(1)


def account(row: ForgeClass) -> tuple[int, ...]:
    """Fees, what was kept, card fees, cost and profit of the page's account."""
    view = view_of(row)
    return (
        view.fees_cents,
        view.costs.kept_cents,
        view.card_cents,
        view.cost_cents,
        view.priced.profit_cents,
    )


@pytest.mark.slow
def test_the_account_adds_up_to_the_profit(held: ForgeClass) -> None:
    *parts, profit = account(held)

    # 400.00 is 425.00 with tax: 2.9 % is 12.33 (12.325 rounded up) and 0.30 on each of two
    # payments, 12.93 a seat.
    assert parts[:3] == [80000, 0, -2586]
    assert sum(parts) == profit


@pytest.mark.slow
def test_each_billet_s_page_plans_what_the_class_plans(held: ForgeClass) -> None:
    costs = [
        billet_cost_reading.billet_cost(
            sure(seat.billet), history=rates.history(), house=HOUSE
        ).planned.cents
        for seat in held.seats.select_related("billet")
    ]

    assert costs == [view_of(held).billet.cents] * 2


@pytest.mark.slow
def test_the_paper_and_the_page_say_the_same_sums(held: ForgeClass, as_owner: Client) -> None:
    page = as_owner.get(reverse("shop:class-money", args=[held.pk])).text
    figures = class_figures(books_of(held, house=HOUSE))
    paper = texts(class_summary_html(held, figures, house=HOUSE))[0]
    view, split = view_of(held), split_of(held)

    for cents in (
        view.costs.fixed_cents,
        view.costs.seat_cents,
        view.priced.profit_cents,
        split.planned_cents,
        split.real_cents,
        view.priced.price_cents - split.real_cents - 2586,
    ):
        words = money_text(cents, currency="USD", locale="en_US").replace("-", "−")
        assert words in page
        assert words in paper


@pytest.mark.slow
def test_a_change_of_rates_leaves_a_class_that_is_over(held: ForgeClass, owner: Person) -> None:
    before = account(held), split_of(held).planned_cents

    rates.set_rates(  # the class ended on 10 May 2026
        from_date=date(2026, 5, 11), values=SHEET | {"labour_cents_per_hour": 9000}, by=owner
    )

    assert (account(held), split_of(held).planned_cents) == before


@pytest.mark.slow
def test_rates_between_planning_and_the_class_count_and_are_said(
    held: ForgeClass, owner: Person, as_owner: Client
) -> None:
    before = view_of(held).priced.cost_cents

    rates.set_rates(
        from_date=date(2026, 5, 10), values=SHEET | {"labour_cents_per_hour": 9000}, by=owner
    )

    assert view_of(held).priced.cost_cents > before
    words = "Reckoned with the rates that hold from 10 May 2026."
    assert words in as_owner.get(reverse("shop:class-money", args=[held.pk])).text
    mark = sure(held.seats.get(number=1).billet).mark
    assert words in as_owner.get(reverse("shop:billet-cost", args=[mark])).text


def test_rates_that_begin_after_the_class_are_named(
    make_class: MakeClass, owner: Person, as_owner: Client
) -> None:
    row = make_class()
    rates.set_rates(from_date=date(2026, 6, 1), values=SHEET, by=owner)

    page = as_owner.get(reverse("shop:class-money", args=[row.pk])).text

    assert "No rates hold on 10 May 2026, the first ones from 1 Jun 2026" in page


@pytest.mark.slow
def test_a_billet_of_its_own_size_moves_the_cost_of_its_seat(
    class_metal: ClassMetal, make_class: MakeClass, owner: Person, as_owner: Client
) -> None:
    row = make_class(students=2)
    class_money.set_terms(forge_class=row, changes=TERMS, by=owner)
    usual = view_of(row)
    row.seats.filter(number=2).update(blank_length_nm=3 * IN)

    view = view_of(row)

    assert view.costs.seat_cents == usual.costs.seat_cents
    assert view.billets.own_count == 1
    assert view.own_cents < 0
    assert view.priced.cost_cents == usual.priced.cost_cents + view.own_cents
    page = as_owner.get(reverse("shop:class-money", args=[row.pk])).text
    assert "1 seat with a layup or size of its own" in page


@pytest.mark.slow
def test_what_is_kept_of_a_seat_given_up_counts(
    make_class: MakeClass, owner: Person, as_owner: Client
) -> None:
    row = make_class(students=3)
    rates.set_rates(from_date=date(2020, 1, 1), values=SHEET, by=owner)
    class_money.set_terms(forge_class=row, changes=TERMS, by=owner)
    seat, day = row.seats.get(number=1), date(2026, 3, 1)
    class_money.record_payment(seat=seat, kind="deposit", cents=10000, day=day, by=owner)
    before = view_of(row)
    with clock.as_of(datetime(2026, 5, 8, 12, tzinfo=UTC)):  # the day before: nothing goes back
        seating.cancel_seat(seat=seat)

    view = view_of(row)

    # 100.00 with 6.25 % in it is 94.12; the card took 2.90 and 0.30 of it.
    assert (before.costs.kept_cents, view.costs.kept_cents) == (0, 9092)
    *parts, profit = account(row)
    assert sum(parts) == profit
    page = as_owner.get(reverse("shop:class-money", args=[row.pk])).text
    assert "Kept of seats given up" in page
    assert "$90.92" in page


def test_a_deposit_that_goes_back_in_full_leaves_nothing(
    make_class: MakeClass, owner: Person
) -> None:
    row = make_class(students=2)
    class_money.set_terms(forge_class=row, changes=TERMS, by=owner)
    seat, day = row.seats.get(number=1), date(2026, 3, 1)
    class_money.record_payment(seat=seat, kind="deposit", cents=10000, day=day, by=owner)
    with clock.as_of(datetime(2026, 4, 1, 12, tzinfo=UTC)):  # 38 days before
        seating.cancel_seat(seat=seat)

    assert view_of(row).costs.kept_cents == 0


def cut_all(row: ForgeClass, *, by: Person) -> None:
    """Tick every cut of a class."""
    waiting = SetAside.objects.filter(plan=row.plan_key, state="standing")
    for aside in waiting.exclude(amount=0).order_by("-kind", "position"):
        set_asides.tick(set_aside=aside, by=by)
    for aside in waiting.all():
        set_asides.tick(set_aside=aside, by=by)


def left_of_the_plan(row: ForgeClass) -> int:
    """Scrap that the ledger booked to the class itself and to no billet of it."""
    worth = Entry.objects.filter(job=row.plan_key).aggregate(sum=Sum("value_cents"))["sum"]
    return -(worth or 0)


@pytest.mark.slow
def test_what_the_billets_cost_so_far_is_what_the_class_counts_for_them(
    held: ForgeClass, owner: Person
) -> None:
    billets = [sure(seat.billet) for seat in held.seats.select_related("billet").order_by("number")]
    cut_all(held, by=owner)
    for billet in billets:
        history.record_step(billet=billet, kind=StepKind.CUT, by=owner)
    history.record_step(billet=billets[0], kind=StepKind.CLEANED, by=owner)
    history.record_step(billet=billets[0], kind=StepKind.WELDED, by=owner)
    history.log_heat(
        billet=billets[0], by=owner, work=Work.SET, temperature_mdegc=900_000, seconds=30
    )

    so_far = [
        billet_cost_reading.billet_cost(billet, history=rates.history(), house=HOUSE).real
        for billet in billets
    ]

    by_class = {split.key: split.real_cents for split in split_of(held).splits}
    for key in ("fuel", "shielding", "power", "consumables"):
        assert by_class[key] == sum(cents_of(lines, key) for lines in so_far), key
    metals = sum(cents for key, cents in by_class.items() if "-flat-" in key or "-sheet-" in key)
    assert metals == sum(cents_of(lines, "metal") for lines in so_far) + left_of_the_plan(held)
    labour = sum(cents_of(lines, "labour") for lines in so_far)
    assert sum(by_class[key] for key in ("cut_s", "clean_s", "weld_s")) == labour
