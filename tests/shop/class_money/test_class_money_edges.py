"""The money page where a class, a shop or a currency is unusual: it says so and stays right."""

from __future__ import annotations

from datetime import date

import pytest
from django.urls import reverse

from billets.history import writing as history
from billets.models import Billet, Cause, StepKind
from shop.class_money import writing as class_money
from shop.classes import writing as classes
from shop.models import ClassTerms, SeatPayment
from shop.rates import writing as rates
from tests.kinds import Client, ForgeClass, MakeClass, Person, ShopSettings

SHEET = {"labour_cents_per_hour": 3000, "card_fee_bp": 300, "card_fixed_cents": 50}


def page_of(client: Client, row: ForgeClass) -> str:
    """The money page, as text."""
    text: str = client.get(reverse("shop:class-money", args=[row.pk])).text
    return text


def test_a_new_shop_is_told_what_is_missing(as_owner: Client, make_class: MakeClass) -> None:
    page = page_of(as_owner, make_class())

    assert "No rates are written down yet: hours, fuel and power count as nothing." in page
    assert reverse("shop:rates") in page
    assert "No fee yet." in page
    assert "Nothing was ever paid for" in page
    assert "No like billet has a recorded outcome yet" in page


def test_a_class_of_one_seat_reads_well(
    as_owner: Client, make_class: MakeClass, owner: Person
) -> None:
    row = make_class(students=1)
    class_money.set_terms(forge_class=row, changes={"fee_cents": 10000}, by=owner)

    page = page_of(as_owner, row)

    assert "1 of 1 seats taken" in page
    assert "The one gets a sound one" in page
    assert "0 seats" in page  # nothing costs anything: it breaks even at once


def test_a_fee_below_a_seat_s_cost_says_what_it_brings_and_costs(
    as_owner: Client, make_class: MakeClass, owner: Person
) -> None:
    row = make_class(students=2)
    rates.set_rates(from_date=date(2020, 1, 1), values=SHEET, by=owner)
    terms = {"fee_cents": 2000, "seat_cents": 2500, "place_cents": 100}
    class_money.set_terms(forge_class=row, changes=terms, by=owner)

    page = page_of(as_owner, row)

    # 20.00 less 3 % and 0.50 brings 18.90.
    assert "A seat brings $18.90 after the card fee and costs $25.00." in page
    assert "never" in page


@pytest.mark.slow
def test_a_record_of_failures_alone_gives_no_number(
    as_owner: Client, planned_class: MakeClass, owner: Person
) -> None:
    row = planned_class(students=2)
    for billet in Billet.objects.all():
        history.record_step(billet=billet, kind=StepKind.FAILED, cause=Cause.values[0], by=owner)

    page = page_of(as_owner, row)

    assert "0 sound of 2 made" in page
    assert "Only 2 are on record (0 sound), which says little" in page
    assert "which is no plan" in page or "No number within reason" in page


@pytest.mark.slow
@pytest.mark.parametrize(
    ("currency", "locale", "typed", "minor", "shown"),
    [
        ("JPY", "ja_JP", "48,500", 48_500, "￥48,500"),
        ("KWD", "en_US", "150.125", 150_125, "KWD150.125"),
        ("EUR", "de_DE", "1.250,50", 125_050, "1.250,50\u00a0€"),
        ("NOK", "nb_NO", "4\u00a0850,00 kr", 485_000, "4\u00a0850,00\u00a0kr"),
    ],
)
def test_money_is_typed_and_shown_as_the_shop_writes_it(
    as_owner: Client,
    make_class: MakeClass,
    shop_row: ShopSettings,
    currency: str,
    locale: str,
    typed: str,
    minor: int,
    shown: str,
) -> None:
    shop_row.values |= {"currency": currency, "locale": locale}
    shop_row.save()
    row = make_class(students=2)
    form = {"fee_cents": typed, "margin": "30", "confidence": "90"}

    as_owner.post(reverse("shop:class-money-terms", args=[row.pk]), form)
    as_owner.post(
        reverse("shop:class-money-pay", args=[row.pk]),
        {
            "seat": str(row.seats.get(number=1).pk),
            "kind": "deposit",
            "cents": typed,
            "day": "2026-04-01",
        },
    )

    assert ClassTerms.objects.get().fee_cents == minor
    assert SeatPayment.objects.get().cents == minor
    page = page_of(as_owner, row)
    assert shown in page
    assert "$" not in page


def test_a_deposit_and_a_balance_are_two_card_payments(
    as_owner: Client, make_class: MakeClass, owner: Person
) -> None:
    row = make_class(students=2)
    rates.set_rates(from_date=date(2020, 1, 1), values=SHEET, by=owner)
    class_money.set_terms(
        forge_class=row, changes={"fee_cents": 40000, "deposit_cents": 10000}, by=owner
    )

    page = page_of(as_owner, row)

    # 3 % of 400.00 is 12.00, and 0.50 twice: 13.00 a seat.
    assert "Card fees, 2 payments a seat" in page
    assert "−$26.00" in page


@pytest.mark.slow
def test_tax_is_said_where_students_pay_it(
    as_owner: Client, make_class: MakeClass, owner: Person
) -> None:
    row = make_class(students=1)
    rates.set_rates(from_date=date(2020, 1, 1), values={"tax_bp": 1000}, by=owner)
    class_money.set_terms(forge_class=row, changes={"fee_cents": 40000}, by=owner)

    hidden = page_of(as_owner, row)
    rates.set_rates(
        from_date=date(2020, 1, 1), values={"tax_bp": 1000, "shows_tax": True}, by=owner
    )
    shown = page_of(as_owner, row)

    assert "with tax $440.00" not in hidden
    assert "What students pay, with tax." in hidden
    assert "with tax $440.00" in shown


@pytest.mark.slow
def test_a_refund_above_what_is_held_is_refused_with_the_sum(
    as_owner: Client, make_class: MakeClass, owner: Person
) -> None:
    row = make_class(students=1)
    seat, day = row.seats.get(number=1), date(2026, 4, 1)
    class_money.record_payment(seat=seat, kind="deposit", cents=10_000, day=day, by=owner)
    class_money.record_payment(seat=seat, kind="refund", cents=4_000, day=day, by=owner)

    response = as_owner.post(
        reverse("shop:class-money-pay", args=[row.pk]),
        {"seat": str(seat.pk), "kind": "refund", "cents": "60.01", "day": "2026-04-02"},
    )

    assert response.status_code == 422
    assert "Give back $60.00 or less." in response.text
    assert SeatPayment.objects.count() == 2


@pytest.mark.slow
def test_a_class_that_the_shop_cancels_owes_all_that_was_paid(
    as_owner: Client, make_class: MakeClass, owner: Person
) -> None:
    row = make_class(students=2)
    terms = {"fee_cents": 40_000, "deposit_cents": 10_000, "refund_rule": [[30, 10_000]]}
    class_money.set_terms(forge_class=row, changes=terms, by=owner)
    seat = row.seats.get(number=1)
    class_money.record_payment(
        seat=seat, kind="deposit", cents=10_000, day=date(2026, 4, 1), by=owner
    )
    classes.cancel_class(forge_class=row)

    page = page_of(as_owner, row)

    assert "This class is cancelled." in page
    assert "$100.00 paid · $0.00 owed · <strong>$100.00 to give back</strong>" in page
    assert "deposit due" not in page
