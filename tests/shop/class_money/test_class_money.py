"""The money of a class: terms, break-even, spares, deposits, and planned against real."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime

import pytest
from django.urls import reverse

from shop.class_money import costs as class_costs
from shop.class_money import writing as class_money
from shop.class_money.profit_drawing import profit_plot
from shop.class_money.reading import books_of
from shop.class_money.variance import class_variance
from shop.classes import seat_writing as seating
from shop.costing.rate_values import shop_rates
from shop.models import ClassTerms, SeatPayment
from shop.rates import writing as rates
from stock import clock
from stock.drawings.shapes import DrawingError
from stock.house import House
from tests.kinds import Client, DjangoAssertNumQueries, ForgeClass, MakeClass, Person, Response

SHEET = {"labour_cents_per_hour": 3000, "card_fee_bp": 300, "tax_bp": 1000, "shows_tax": True}
TERMS = {
    "fee_cents": 40000, "deposit_cents": 10000, "place_cents": 30000, "teach_minutes": 600,
    "seat_cents": 2500, "refund_rule": [[30, 10000], [14, 5000]],
}  # fmt: skip


@pytest.fixture
def priced_class(make_class: MakeClass, owner: Person) -> ForgeClass:
    """Two seats at 400.00; 600.00 whoever comes, 25.00 each seat, no metal bought."""
    row = make_class(students=2)
    rates.set_rates(from_date=date(2020, 1, 1), values=SHEET, by=owner)
    class_money.set_terms(forge_class=row, changes=TERMS, by=owner)
    return row


def typed(**changes: str) -> dict[str, str]:
    """The terms as a form."""
    return {
        "fee_cents": "400",
        "deposit_cents": "100",
        "margin": "30",
        "all_back": "30",
        "half_back": "14",
        "place_cents": "300",
        "helper_cents": "",
        "other_cents": "",
        "seat_cents": "25",
        "prepare_hours": "",
        "teach_hours": "10",
        "confidence": "90",
    } | changes


def view_of(row: ForgeClass) -> class_costs.ClassMoneyView:
    """The page's figures."""
    books = books_of(row, house=House())
    return class_costs.class_money_view(books)


def test_terms_are_written_down(as_owner: Client, make_class: MakeClass) -> None:
    row = make_class()

    response = as_owner.post(reverse("shop:class-money-terms", args=[row.pk]), typed())

    assert response["Location"] == reverse("shop:class-money", args=[row.pk])
    terms = ClassTerms.objects.get()
    assert (terms.fee_cents, terms.margin_bp, terms.teach_minutes) == (40000, 3000, 600)
    assert terms.refund_rule == [[30, 10000], [14, 5000]]


@pytest.mark.parametrize(
    ("field", "text", "sentence"),
    [
        ("deposit_cents", "500", "The deposit is more than the fee"),
        ("half_back", "40", "half must end later"),
        ("margin", "99", "More than 95 is surely a slip"),
        ("fee_cents", "much", "much"),
        ("confidence", "99.9", "Nothing is certain"),
        ("confidence", "90.5", "Write a whole number from 50 to 99"),
        ("confidence", "0", "less than a toss of a coin"),
        ("all_back", "-3", "It cannot be fewer than 0 days"),
    ],
)
def test_bad_terms_are_told_and_change_nothing(
    as_owner: Client, make_class: MakeClass, field: str, text: str, sentence: str
) -> None:
    row = make_class()

    response = as_owner.post(
        reverse("shop:class-money-terms", args=[row.pk]), typed(**{field: text})
    )

    assert response.status_code == 422
    assert sentence in response.text
    assert not ClassTerms.objects.exists()


def test_break_even_profit_and_the_next_seat(priced_class: ForgeClass) -> None:
    view = view_of(priced_class)

    # Net of a seat: 400.00 less 3 % of 440.00 = 386.80; fixed 300.00 + 10 h x 30.00 = 600.00.
    assert view.costs.fixed_cents == 60000
    assert view.costs.seat_cents == 2500
    assert view.break_even.seats == 2
    assert [row.profit_cents for row in view.rows] == [-60000, -23820, 12360]
    assert view.next_cents is None
    assert (view.priced.profit_cents, view.priced.full_cost_cents) == (12360, 67640)


def test_margin_and_markup_are_both_on_the_page_and_differ(
    as_owner: Client, priced_class: ForgeClass
) -> None:
    page = as_owner.get(reverse("shop:class-money", args=[priced_class.pk])).text

    # 123.60 over 800.00 and over 676.40.
    assert "margin 15.5 %" in page
    assert "mark-up 18.3 %" in page
    assert "$123.60" in page
    assert "with tax $440.00" in page


def test_a_class_that_cannot_break_even_says_so(
    as_owner: Client, priced_class: ForgeClass, owner: Person
) -> None:
    class_money.set_terms(forge_class=priced_class, changes={"fee_cents": 5000}, by=owner)

    page = as_owner.get(reverse("shop:class-money", args=[priced_class.pk])).text

    assert "It cannot break even." in page
    assert "and 2 are on offer" in page


def test_spares_come_from_the_shop_s_own_record(as_owner: Client, priced_class: ForgeClass) -> None:
    view = view_of(priced_class)
    page = as_owner.get(reverse("shop:class-money", args=[priced_class.pk])).text

    assert view.spares
    assert view.spares.record.made == 0
    assert "No like billet has a recorded outcome yet" in page
    assert "All 2 get a sound one" in page


def test_the_class_form_offers_the_record_s_advice(
    as_owner: Client, priced_class: ForgeClass
) -> None:
    page = as_owner.get(reverse("shop:class-change", args=[priced_class.pk])).text

    assert "No like billet has a recorded outcome yet" in page


def pay(client: Client, row: ForgeClass, **changes: str) -> Response:
    """Write a payment down by the form."""
    return client.post(
        reverse("shop:class-money-pay", args=[row.pk]),
        {
            "seat": str(row.seats.get(number=1).pk),
            "kind": "deposit",
            "cents": "100",
            "day": "2026-04-01",
            "note": "transfer",
        }
        | changes,
    )


def test_a_deposit_leaves_the_balance_owed(as_owner: Client, priced_class: ForgeClass) -> None:
    pay(as_owner, priced_class)

    first, second = view_of(priced_class).seats
    assert (first.money.paid_cents, first.money.owed_cents) == (10000, 34000)
    assert (second.money.paid_cents, second.money.owed_cents) == (0, 44000)
    assert (first.deposit_due, second.deposit_due) == (False, True)


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"cents": "0"}, "Give a sum above nothing."),
        ({"cents": "-5"}, "-5"),
        ({"kind": "refund", "cents": "10"}, "not given back yet. Nothing is held of it."),
        ({"seat": "999999"}, "Choose one of the list"),
        ({"day": "yesterday"}, "is not a day"),
    ],
)
def test_a_payment_that_cannot_be_is_refused(
    as_owner: Client, priced_class: ForgeClass, changes: dict[str, str], sentence: str
) -> None:
    response = pay(as_owner, priced_class, **changes)

    assert response.status_code == 422
    assert sentence in response.text
    assert not SeatPayment.objects.exists()


def test_a_wrong_payment_is_undone_by_a_second_line(
    as_owner: Client, priced_class: ForgeClass
) -> None:
    pay(as_owner, priced_class)
    paid = SeatPayment.objects.get()
    undo = reverse("shop:class-money-undo", args=[priced_class.pk, paid.pk])

    as_owner.post(undo)
    again = as_owner.post(undo, follow=True)

    assert SeatPayment.objects.count() == 2
    assert view_of(priced_class).together.paid_cents == 0
    assert "This was undone already." in again.text


def test_a_payment_with_a_refund_on_it_is_not_undone(
    priced_class: ForgeClass, owner: Person
) -> None:
    seat, day = priced_class.seats.get(number=1), date(2026, 4, 1)
    paid = class_money.record_payment(seat=seat, kind="deposit", cents=10000, day=day, by=owner)
    class_money.record_payment(seat=seat, kind="refund", cents=4000, day=day, by=owner)

    with pytest.raises(class_money.MoneyRefused, match="Undo that refund first"):
        class_money.undo_payment(payment=paid, by=owner)


def test_a_cancelled_seat_gets_back_what_the_rule_says(
    as_owner: Client, priced_class: ForgeClass, owner: Person
) -> None:
    seat, day = priced_class.seats.get(number=1), date(2026, 3, 1)
    class_money.record_payment(seat=seat, kind="deposit", cents=10000, day=day, by=owner)
    with clock.as_of(datetime(2026, 4, 19, 12, tzinfo=UTC)):  # 20 days before 9 May: half
        seating.cancel_seat(seat=seat)

    first = view_of(priced_class).seats[0]
    page = as_owner.get(reverse("shop:class-money", args=[priced_class.pk])).text

    assert first.who == "Student 1"
    assert (first.money.owed_cents, first.money.to_refund_cents) == (0, 5000)
    assert "Student 1, seat given up" in page


@pytest.mark.slow
def test_a_held_class_shows_why_it_differs(
    as_owner: Client, planned_class: MakeClass, owner: Person
) -> None:
    row = planned_class(students=2)
    class_money.set_terms(forge_class=row, changes=TERMS, by=owner)
    class_money.set_real(forge_class=row, real={"teach_minutes": 720}, by=owner)
    row.state = "held"
    row.save()

    books = replace(books_of(row, house=House()), shop=shop_rates(SHEET))
    found = class_variance(books, plans=class_costs.class_plans(books))

    teach = next(split for split in found.splits if split.key == "teach")
    assert (teach.planned_cents, teach.real_cents, teach.amount_cents) == (30000, 36000, 6000)
    for split in found.splits:
        reasons = split.seats_cents + split.failures_cents + split.amount_cents + split.price_cents
        assert reasons == split.difference_cents
    assert "Planned and real" in as_owner.get(reverse("shop:class-money", args=[row.pk])).text


def test_what_it_really_cost_is_written_down(as_owner: Client, priced_class: ForgeClass) -> None:
    as_owner.post(
        reverse("shop:class-money-real", args=[priced_class.pk]),
        {"place_cents": "310", "teach_hours": "12"},
    )

    assert ClassTerms.objects.get().real == {"place_cents": 31000, "teach_minutes": 720}


@pytest.mark.slow
@pytest.mark.parametrize("paper", ["Letter", "A4"])
def test_the_summary_of_a_held_class_is_one_page(
    planned_class: MakeClass, owner: Person, paper: str
) -> None:
    from shop.class_money.figures import class_figures
    from shop.class_money.summary import class_summary_html
    from tests.shop.drawn_paper import texts

    row = planned_class(students=2)
    rates.set_rates(
        from_date=date(2020, 1, 1), values=SHEET | {"cut_s": 600, "heat_s": 300}, by=owner
    )
    costs = {"helper_cents": 9000, "other_cents": 5000, "prepare_minutes": 90}
    class_money.set_terms(forge_class=row, changes=TERMS | costs, by=owner)
    row.state = "held"
    row.save()

    house = House(is_owner=True, sees_money=True, paper=paper)
    figures = class_figures(books_of(row, house=house))
    pages = texts(class_summary_html(row, figures, house=house))

    assert len(pages) == 1
    assert "Breaks even at" in pages[0]
    assert "Planned and real" in pages[0]
    assert "$300.00" in pages[0]


def test_a_profit_is_drawn_over_the_line_and_a_loss_under_it() -> None:
    plot = profit_plot([-100, 0, 100], taken=2)

    assert plot.zero_y == 50
    assert [(bar.y, bar.height, bar.kind) for bar in plot.bars] == [
        (50, 50, "is-less"),
        (50, 0, "is-more"),
        (0, 50, "is-more"),
    ]
    with pytest.raises(DrawingError):
        profit_plot([0, 0], taken=0)


def test_the_money_of_a_class_is_the_owner_s(
    client: Client, helper: Person, priced_class: ForgeClass
) -> None:
    args = [priced_class.pk]
    url = reverse("shop:class-money", args=args)
    assert client.get(url).status_code == 302
    client.force_login(helper)

    assert client.get(url).status_code == 403
    assert client.get(reverse("shop:class-money-pdf", args=args)).status_code == 403
    for name in ("terms", "real", "pay"):
        assert client.post(reverse(f"shop:class-money-{name}", args=args)).status_code == 403
    detail = client.get(reverse("shop:class-detail", args=args)).text
    assert url not in detail
    assert "$" not in detail
    assert "$" not in client.get(reverse("shop:class-change", args=args)).text


def test_forms_of_money_are_not_reached_by_get(as_owner: Client, priced_class: ForgeClass) -> None:
    for name in ("terms", "real", "pay"):
        url = reverse(f"shop:class-money-{name}", args=[priced_class.pk])
        assert as_owner.get(url).status_code == 405


def test_a_class_of_sixty_is_read_in_few_queries(
    as_owner: Client, make_class: MakeClass, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    row = make_class(students=60)

    with django_assert_max_num_queries(18):
        assert as_owner.get(reverse("shop:class-money", args=[row.pk])).status_code == 200
