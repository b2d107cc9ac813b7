"""Payments are kept by the database itself: raw SQL can neither change nor delete one."""

from datetime import date

import pytest
from django.core.management import call_command
from django.db import DatabaseError, connection, transaction

from shop.class_money import writing as class_money
from shop.models import SeatPayment
from stock.ledger import triggers
from tests.kinds import MakeClass, Person

pytestmark = pytest.mark.django_db

FORBIDDEN = [
    "UPDATE shop_seatpayment SET cents = cents + 1",
    "UPDATE shop_seatpayment SET note = 'something else'",
    "DELETE FROM shop_seatpayment",
]


@pytest.fixture
def deposit(make_class: MakeClass, owner: Person) -> SeatPayment:
    """150.00 paid for the first seat."""
    seat = make_class(students=1).seats.get()
    return class_money.record_payment(
        seat=seat, day=date(2026, 4, 1), kind="deposit", cents=15000, note="", by=owner
    )


def run(line: str) -> None:
    """One line of SQL past everything that the program checks."""
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute(line)


@pytest.mark.parametrize("line", FORBIDDEN)
def test_the_database_refuses_to_change_what_was_paid(deposit: SeatPayment, line: str) -> None:
    with pytest.raises(DatabaseError, match=r"never (changed|deleted)"):
        run(line)

    kept = SeatPayment.objects.get()
    assert (kept.pk, kept.cents, kept.note) == (deposit.pk, 15000, "")


def test_a_payment_cannot_be_saved_again_or_deleted_through_the_program(
    deposit: SeatPayment,
) -> None:
    deposit.cents = 5

    with pytest.raises(DatabaseError), transaction.atomic():
        deposit.save()
    with pytest.raises(DatabaseError), transaction.atomic():
        SeatPayment.objects.all().delete()


def test_a_wrong_payment_is_still_undone_by_a_second_row(
    deposit: SeatPayment, owner: Person
) -> None:
    class_money.undo_payment(payment=deposit, by=owner)

    assert SeatPayment.objects.count() == 2
    assert class_money.standing(SeatPayment.objects.all()) == []


def test_a_lost_trigger_of_the_payments_is_missed_by_the_proof(deposit: SeatPayment) -> None:
    on_table = " ON shop_seatpayment" if connection.vendor == "postgresql" else ""
    run(f"DROP TRIGGER shop_seatpayment_stays{on_table}")

    assert triggers.missing() == ["shop_seatpayment_stays"]


@pytest.mark.slow
@pytest.mark.django_db(transaction=True)
def test_migrating_puts_the_payments_triggers_on_again() -> None:
    triggers.drop()
    assert "shop_seatpayment_kept" in triggers.missing()

    call_command("migrate", verbosity=0)

    assert triggers.missing() == []
