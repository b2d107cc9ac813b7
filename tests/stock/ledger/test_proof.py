"""`check_ledger` proves the books, and names the piece when somebody tampered with them."""

import os
import sqlite3
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from django.db import connection

from stock.ledger import by_hand, set_asides, triggers
from stock.ledger.proof import proved
from stock.ledger.set_asides import Promise
from stock.models import Entry, Piece
from tests.kinds import MakePiece, Person

IN = 25_400_000
MM = 1_000_000
ROOT = Path(__file__).resolve().parents[3]


@pytest.fixture
def busy(make_bar: MakePiece, owner: Person) -> Piece:
    """A bar that was cut, parted, counted, promised and put right."""
    bar: Piece = make_bar(length_nm=1000 * MM, price_cents=1000)
    by_hand.cut_by_hand(piece=bar, length_nm=100 * MM, kerf_nm=MM, job="a hook", by=owner)
    by_hand.part(piece=bar, length_nm=300 * MM, kerf_nm=MM, by=owner)
    wrong = by_hand.scrap(piece=bar, amount=50 * MM, why="bent", by=owner)
    by_hand.undo(act=wrong, by=owner)
    by_hand.count_piece(piece=bar, counted=590 * MM, why="measured", by=owner)
    aside = Promise(
        piece_id=bar.pk,
        kind="blank",
        amount=80 * MM,
        length_nm=79 * MM,
        kerf_nm=MM,
        job="billet:1",
        position=1,
    )
    set_asides.set_aside(plan="class:1", promises=[aside], by=owner)
    return bar


def tamper(line: str, *values: Any) -> None:
    """Change the books behind the database's back."""
    triggers.drop()
    with connection.cursor() as cursor:
        cursor.execute(line, values)
    triggers.install()


@pytest.mark.django_db
def test_a_busy_history_is_proved(busy: Piece) -> None:
    proof = proved()

    assert proof.faults == ()
    # 100 mm of 1000 for 10.00 is 100; the kerf of it 1; then 300 of 899 worth 899, kerf 1;
    # 598 worth 598 counted as 590 loses 8.
    assert (proof.bought_cents, proof.in_work_cents, proof.corrected_cents) == (1000, 102, 8)
    assert (proof.scrap_cents, proof.on_rack_cents) == (0, 890)
    assert (proof.pieces, proof.entries) == (2, 9)


@pytest.mark.django_db
@pytest.mark.parametrize("column", ["on_hand", "value_cents", "set_aside"])
def test_a_changed_total_is_named(busy: Piece, column: str) -> None:
    tamper(f"UPDATE stock_piece SET {column} = {column} + 1 WHERE id = %s", busy.pk)

    faults = proved().faults

    assert any(f"piece {busy.mark}: " in fault for fault in faults)


@pytest.mark.django_db
def test_a_changed_entry_is_named(busy: Piece) -> None:
    tamper("UPDATE stock_entry SET amount = amount - 1 WHERE piece_id = %s", busy.pk)

    assert any(fault.startswith(f"piece {busy.mark}: its entries") for fault in proved().faults)


@pytest.mark.django_db
def test_a_parting_that_gains_metal_is_named_with_both_marks(busy: Piece) -> None:
    end = busy.offcuts.get()
    tamper("UPDATE stock_entry SET amount = amount + 5 WHERE piece_id = %s", end.pk)

    faults = proved().faults

    both = ", ".join(sorted([busy.mark, end.mark]))
    assert f"parting of {both}: metal +5, value +0" in faults


@pytest.mark.django_db
def test_a_correction_that_is_no_opposite_is_named(busy: Piece) -> None:
    row = Entry.objects.exclude(corrects=None).get()
    tamper("UPDATE stock_entry SET value_cents = value_cents + 1 WHERE id = %s", row.pk)

    assert (
        f"piece {busy.mark}: entry {row.pk} does not undo entry {row.corrects_id}"
        in proved().faults
    )


@pytest.mark.django_db
def test_a_purchase_that_was_booked_short_is_named(busy: Piece) -> None:
    tamper("UPDATE stock_purchaseline SET price_cents = price_cents + 7")

    assert any("1007 paid, 1000 booked" in fault for fault in proved().faults)


@pytest.mark.django_db
def test_a_lost_trigger_is_named(busy: Piece) -> None:
    triggers.drop()

    assert "the database has lost its trigger entry_stays" in proved().faults


def checked(copy: Path) -> subprocess.CompletedProcess[str]:
    """`check_ledger` over a database of its own."""
    return subprocess.run(
        [sys.executable, "manage.py", "check_ledger"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        env={**os.environ, "DATABASE_URL": f"sqlite:///{copy}"},
        check=False,
        timeout=60,
    )


@pytest.mark.slow
@pytest.mark.django_db(transaction=True)
def test_the_command_names_the_piece_in_a_copy_that_was_tampered_with(
    busy: Piece, tmp_path: Path
) -> None:
    if connection.vendor != "sqlite":
        pytest.skip("copies a file")
    copy = tmp_path / "copy.sqlite3"
    source = sqlite3.connect(connection.settings_dict["NAME"])
    books = sqlite3.connect(copy)
    source.backup(books)
    honest = checked(copy)

    books.execute("UPDATE stock_piece SET on_hand = on_hand + 1 WHERE mark = ?", [busy.mark])
    books.commit()
    books.close()
    source.close()
    caught = checked(copy)

    assert (honest.returncode, honest.stderr) == (0, "")
    assert "Metal and money are conserved." in honest.stdout
    assert caught.returncode == 1
    assert f"piece {busy.mark}: its entries add up to 590000000" in caught.stderr
