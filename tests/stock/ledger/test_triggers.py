"""The database's own part of the books: it refuses to change the past, and keeps the totals."""

import pytest
from django.core.management import call_command
from django.db import DatabaseError, IntegrityError, connection, transaction
from django.utils import timezone

from stock.ledger import by_hand, entries, set_asides, triggers
from stock.ledger.set_asides import Promise
from stock.models import Entry, Piece, SetAside
from tests.kinds import MakePiece, Person

MM = 1_000_000
pytestmark = pytest.mark.django_db

FORBIDDEN = [
    "UPDATE stock_entry SET amount = amount + 1",
    "UPDATE stock_entry SET why = 'something else'",
    "DELETE FROM stock_entry",
    "DELETE FROM stock_setaside",
]


def run(line: str) -> None:
    """One line of SQL past everything that the program checks."""
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute(line)


@pytest.fixture
def bar(make_bar: MakePiece, owner: Person) -> Piece:
    """1000 mm for 10.00, with 300 mm of it set aside."""
    made: Piece = make_bar(length_nm=1000 * MM, price_cents=1000)
    aside = Promise(
        piece_id=made.pk,
        kind="blank",
        amount=300 * MM,
        length_nm=300 * MM,
        job="billet:1",
        position=1,
    )
    set_asides.set_aside(plan="class:1", promises=[aside], by=owner)
    return made


@pytest.mark.parametrize("line", FORBIDDEN)
def test_the_database_refuses_to_change_the_past(bar: Piece, line: str) -> None:
    with pytest.raises(DatabaseError, match=r"never (changed|deleted)"):
        run(line)

    assert Entry.objects.get().amount == 1_000_000_000
    assert SetAside.objects.count() == 1


def test_an_entry_cannot_be_saved_again_or_deleted_through_the_program(bar: Piece) -> None:
    entry = Entry.objects.get()
    entry.amount = 5

    with pytest.raises(DatabaseError), transaction.atomic():
        entry.save()
    with pytest.raises(DatabaseError), transaction.atomic():
        Entry.objects.all().delete()


@pytest.mark.parametrize(
    ("column", "value"),
    [("on_hand", -1), ("set_aside", -1), ("value_cents", -1), ("set_aside", 1000 * MM + 1)],
)
def test_the_database_refuses_a_total_that_cannot_be(bar: Piece, column: str, value: int) -> None:
    with pytest.raises(IntegrityError):
        run(f"UPDATE stock_piece SET {column} = {value}")


def test_an_entry_that_would_overdraw_is_refused_by_the_database(bar: Piece, owner: Person) -> None:
    about = {"act": entries.new_act(), "by": owner, "at": timezone.now(), "kind": "scrap"}

    with pytest.raises(IntegrityError), transaction.atomic():
        Entry.objects.create(piece=bar, amount=-701 * MM, value_cents=0, **about)


def test_metal_that_is_gone_can_keep_no_value(make_bar: MakePiece, owner: Person) -> None:
    bar = make_bar(length_nm=1000 * MM, price_cents=1000)
    about = {"act": entries.new_act(), "by": owner, "at": timezone.now(), "kind": "scrap"}

    with pytest.raises(IntegrityError), transaction.atomic():
        Entry.objects.create(piece=bar, amount=-1000 * MM, value_cents=-999, **about)


def test_totals_are_what_the_entries_and_promises_add_up_to(bar: Piece, owner: Person) -> None:
    by_hand.scrap(piece=bar, amount=100 * MM, why="bent", by=owner)
    end = by_hand.part(piece=bar, length_nm=200 * MM, kerf_nm=MM, by=owner)

    for piece in (Piece.objects.get(pk=bar.pk), Piece.objects.get(pk=end.pk)):
        entries = list(piece.entries.all())
        asides = list(piece.set_asides.filter(state="standing"))
        assert piece.on_hand == sum(row.amount for row in entries)
        assert piece.value_cents == sum(row.value_cents for row in entries)
        assert piece.set_aside == sum(row.amount for row in asides)


def test_a_set_aside_that_moves_takes_its_amount_along(bar: Piece, make_bar: MakePiece) -> None:
    other = make_bar(length_nm=500 * MM)
    row = SetAside.objects.get()

    row.piece, row.amount = other, 200 * MM
    row.save()

    bar.refresh_from_db()
    other.refresh_from_db()
    assert (bar.set_aside, other.set_aside) == (0, 200 * MM)


def test_dropped_triggers_are_missed_and_put_back() -> None:
    triggers.drop()
    gone = triggers.missing()

    triggers.install()

    assert sorted(gone) == sorted(triggers.names())
    assert triggers.missing() == []


@pytest.mark.slow
@pytest.mark.django_db(transaction=True)
def test_migrating_puts_the_triggers_on_again() -> None:
    triggers.drop()

    call_command("migrate", verbosity=0)

    assert triggers.missing() == []
