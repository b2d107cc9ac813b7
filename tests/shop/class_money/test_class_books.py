"""The books of a class: read in few queries, and every figure answered from them alone."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from django.urls import reverse

from billets.history import writing as history
from billets.layup.design import Design, Layer
from billets.models import Work
from shop.billet_cost.planned import Market, MetalPrices, PaidFor
from shop.class_money import writing as class_money
from shop.class_money.books import ClassBooks, MetalBooks, Paid, SeatBooks, Terms
from shop.class_money.costs import ClassMoneyView, class_money_view
from shop.class_money.figures import class_figures
from shop.class_money.reading import books_of
from shop.costing.deposits import RefundStep
from shop.costing.pricing import Charges
from shop.costing.rate_values import ShopRates
from shop.cut_list import reading as cut_list_reading
from shop.cut_list import writing as cut_list_writing
from shop.rates import writing as rates
from shop.yields.record import Record
from stock.house import House

MM = 1_000_000
DESIGN = Design(
    layers=(Layer("1075", thickness_nm=3 * MM, role="core"),),
    blank_length_nm=100 * MM,
    blank_width_nm=40 * MM,
    finish_thickness_nm=2 * MM,
)
METAL = PaidFor("1075", thickness_nm=3 * MM, area_nm2=8000 * MM * MM, cents=1600)


def seat(**changes: Any) -> SeatBooks:
    """A student's seat."""
    plain = SeatBooks(
        words="seat 1",
        student="Ada",
        is_spare=False,
        is_cancelled=False,
        cancelled_on=None,
        design=DESIGN,
    )
    return replace(plain, **changes)


def paid(cents: int) -> Paid:
    """A deposit."""
    return Paid(
        date(2026, 4, 1),
        cents,
        "deposit",
        pk=1,
        kind_words="deposit",
        who="Ada",
        note="",
        by="Ines",
    )


def books(**changes: Any) -> ClassBooks:
    """Three seats at 100.00, one spare; a billet of 8.00, 50.00 whoever comes."""
    plain = ClassBooks(
        starts_on=date(2026, 5, 9),
        is_held=False,
        is_called_off=False,
        seat_count=3,
        spares=1,
        design=DESIGN,
        terms=Terms(fee_cents=10_000, deposit_cents=4000, place_cents=5000),
        seats=(seat(), seat(student=""), seat(words="spare", student="", is_spare=True)),
        shop=ShopRates(),
        has_rates=True,
        rates_words="",
        market=Market(MetalPrices((METAL,)), kerf_nm=0, alloys={}),
        house=House(),
        record=Record(),
        kind_words="forge-welded, 1 layers",
    )
    return replace(plain, **changes)


def view_of(found: ClassBooks) -> ClassMoneyView:
    """The page's figures."""
    return class_money_view(found)


def test_a_named_seat_is_taken_and_a_class_has_no_more_than_its_seats() -> None:
    empty, spare, gone = seat(student=""), seat(is_spare=True), seat(is_cancelled=True)

    assert books(seats=(seat(), empty, spare, gone)).taken == 1
    assert books(seats=(seat(), seat(), seat()), seat_count=2).taken == 2


def test_cost_and_profit_come_from_the_books_alone() -> None:
    view = view_of(books())

    # 16.00 for 8000 mm2: a blank of 100 mm by 40 mm is 8.00. Place and the spare: 58.00.
    assert (view.billet.cents, view.costs.fixed_cents, view.costs.seat_cents) == (800, 5800, 800)
    assert [row.profit_cents for row in view.rows] == [-5800, 3400, 12_600, 21_800]
    assert (view.taken, view.break_even.seats, view.next_cents) == (1, 1, 9200)


def test_a_deposit_is_due_until_it_is_paid() -> None:
    (due,), (not_due,) = (
        view_of(books(seats=(seat(payments=payments),))).seats for payments in ((), (paid(4000),))
    )

    assert (due.deposit_due, due.money.owed_cents) == (True, 10_000)
    assert (not_due.deposit_due, not_due.money.owed_cents) == (False, 6000)


def test_a_seat_given_up_keeps_the_name_of_who_paid_and_what_the_rule_leaves() -> None:
    gone = seat(
        student="", is_cancelled=True, cancelled_on=date(2026, 5, 1), payments=(paid(4000),)
    )
    terms = replace(books().terms, refund_rule=(RefundStep(7, 5000),))

    view = view_of(books(seats=(gone,), terms=terms))

    assert [one.who for one in view.seats] == ["Ada"]
    assert (view.together.to_refund_cents, view.costs.kept_cents) == (2000, 2000)


def test_a_class_that_was_called_off_owes_back_what_was_paid() -> None:
    found = view_of(books(seats=(seat(payments=(paid(4000),)),), is_called_off=True))

    assert (found.together.owed_cents, found.together.to_refund_cents) == (0, 4000)


def test_two_payments_a_seat_pay_the_fixed_card_fee_twice() -> None:
    shop = ShopRates(charges=Charges(card_fixed_cents=30))

    assert view_of(books(shop=shop)).net_cents == 9940
    assert view_of(books(shop=shop, terms=Terms(fee_cents=10_000))).net_cents == 9970


def test_what_came_out_stands_in_for_what_was_planned_line_by_line() -> None:
    terms = Terms(place_cents=5000, teach_minutes=60, real={"place_cents": 5500})

    assert (terms.real_of("place_cents"), terms.real_of("teach_minutes")) == (5500, 60)
    assert terms.planned_of("place_cents") == 5000


def test_a_held_class_is_split_and_another_is_not() -> None:
    assert class_figures(books())["variance"] is None

    terms = replace(books().terms, real={"place_cents": 5500})
    found = class_figures(books(is_held=True, terms=terms, metal=MetalBooks()))

    assert found["variance"] is not None
    assert found["variance"].difference_cents == 500
    assert found["came_out"] is not None
    assert found["came_out"].profit_cents == 10_000 - 5500


@pytest.fixture
def held(planned_class: Any, owner: Any) -> Any:
    """A student with metal, a heat and a deposit, and a spare; the class is over."""
    rates.set_rates(from_date=date(2020, 1, 1), values={"cut_s": 600}, by=owner)
    row = planned_class(students=1, spares=1)
    class_money.set_terms(forge_class=row, changes={"fee_cents": 40_000}, by=owner)
    first = row.seats.get(number=1)
    class_money.record_payment(
        seat=first, kind="deposit", cents=10_000, day=date(2026, 4, 1), by=owner
    )
    while following := cut_list_reading.cut_list(row, house=House())["next"]:
        cut_list_writing.tick_cut(set_aside=following.row, by=owner)
    history.record_step(billet=first.billet, kind="cleaned", by=owner)
    history.record_step(billet=first.billet, kind="welded", by=owner)
    history.log_heat(
        billet=first.billet, by=owner, work=Work.SET, temperature_mdegc=900_000, seconds=30
    )
    row.state = "held"
    row.save()
    return row


def test_the_books_have_what_was_paid_and_done(held: Any, owner: Any) -> None:
    found = books_of(held, house=House())

    first, spare = found.seats
    assert [(one.cents, one.kind_words, one.by) for one in first.payments] == [
        (10_000, "deposit", str(owner))
    ]
    assert first.done is not None
    assert (first.done.is_begun, first.done.has_failed) == (True, False)
    assert first.done.reached.heats == 1
    assert spare.done is not None
    assert (spare.is_spare, set(spare.done.reached.steps)) == (True, {"cut_s"})
    assert (found.taken, len(found.made)) == (1, 2)
    assert found.metal.planned
    assert found.terms.fee_cents == 40_000


def test_a_class_that_is_not_held_reads_nothing_of_what_was_done(planned_class: Any) -> None:
    found = books_of(planned_class(students=2), house=House())

    assert not found.is_held
    assert [one.done for one in found.seats] == [None, None]
    assert found.metal == MetalBooks()
    assert not found.terms.is_written


def test_every_figure_is_answered_without_another_query(
    held: Any, django_assert_num_queries: Any
) -> None:
    found = books_of(held, house=House())

    with django_assert_num_queries(0):
        assert class_figures(found)["variance"] is not None


def test_a_held_class_is_read_in_few_queries(
    as_owner: Any, held: Any, django_assert_max_num_queries: Any
) -> None:
    with django_assert_max_num_queries(24):
        assert as_owner.get(reverse("shop:class-money", args=[held.pk])).status_code == 200
