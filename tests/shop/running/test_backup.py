"""A backup is a whole, checked copy, sealed if wanted; what keeps it from that is told."""

from __future__ import annotations

import re
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from django.conf import settings
from django.db import connection

from billets.history import writing as history
from billets.hours import writing as hours
from shop.running import asking, backup, sealing
from shop.running.copies import BackupError
from shop.running.sqlite_copies import check_sqlite
from tests.kinds import Client, MakeLayup, Person


def shop_names(path: Path) -> list[str]:
    with closing(sqlite3.connect(path)) as database:
        return [row[0] for row in database.execute("SELECT name FROM shop_shopsettings")]


def test_a_file_that_is_no_database_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "notes.txt"
    path.write_text("no database at all, only words " * 50)

    with pytest.raises(BackupError, match="not a database"):
        check_sqlite(path)


def test_a_database_of_something_else_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "other.sqlite3"
    with closing(sqlite3.connect(path)) as other:
        other.execute("CREATE TABLE recipes (name TEXT)")

    with pytest.raises(BackupError, match="not one of this app's"):
        check_sqlite(path)


def test_a_backup_never_writes_over_a_file(tmp_path: Path) -> None:
    path = tmp_path / "old.sqlite3"
    path.write_text("precious")

    with pytest.raises(BackupError, match="there already"):
        backup.back_up(path)

    assert path.read_text() == "precious"


def test_the_owner_downloads_a_copy_that_can_be_put_back(
    as_owner: Client, tmp_path: Path, transactional_db: None
) -> None:
    if connection.vendor != "sqlite":
        pytest.skip("the copy is read back as SQLite")

    response = as_owner.post("/shop/backup/")

    copy = tmp_path / "copy.sqlite3"
    copy.write_bytes(response.content)
    check_sqlite(copy)
    assert shop_names(copy) == ["Fennel Lane Forge"]
    assert re.search(
        r'filename="billetwright-\d{8}-\d{6}\.sqlite3"', response["Content-Disposition"]
    )
    assert not list(Path(settings.DATA_DIR).glob("tmp*"))


def test_hours_and_the_billets_that_share_them_come_with_a_copy(
    owner: Person, make_layup: MakeLayup, tmp_path: Path, transactional_db: None
) -> None:
    if connection.vendor != "sqlite":
        pytest.skip("the copy is read back as SQLite")
    layup = make_layup()
    billets = [history.make_billet(layup=layup, by=owner) for _ in range(3)]
    hours.add_minutes(billets=billets, step="weld", minutes=50, person=owner)

    backup.back_up(tmp_path / "copy.sqlite3")

    with closing(sqlite3.connect(tmp_path / "copy.sqlite3")) as copy:
        lines = copy.execute("SELECT step, is_typed FROM billets_worktime").fetchall()
        shared = copy.execute("SELECT count(*) FROM billets_worktime_billets").fetchone()
    assert (lines, shared) == ([("weld", 1)], (3,))


def test_a_copy_that_cannot_be_made_is_told(
    as_owner: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(target: Path, *, passphrase: str) -> None:
        raise BackupError("pg_dump is not installed here.")

    monkeypatch.setattr(backup, "back_up", full)

    page = as_owner.post("/shop/backup/", follow=True).text

    assert "No copy was made. pg_dump is not installed here." in page


def test_only_an_owner_takes_a_copy_and_only_by_its_button(
    client: Client, owner: Person, helper: Person
) -> None:
    stranger = client.post("/shop/backup/")
    client.force_login(helper)
    refused = client.post("/shop/backup/")
    client.force_login(owner)
    got = client.get("/shop/backup/")

    assert stranger["Location"].startswith("/sign-in/")
    assert (refused.status_code, got.status_code) == (403, 405)


def test_a_folder_that_cannot_be_made_is_told(tmp_path: Path) -> None:
    in_the_way = tmp_path / "notes"
    in_the_way.write_text("a file where a folder should be")

    with pytest.raises(BackupError, match=r"cannot be made \((Not a directory|File exists)\)"):
        backup.back_up(in_the_way / "deeper" / "copy.sqlite3")


def test_the_owner_downloads_a_copy_that_only_the_passphrase_opens(
    as_owner: Client, tmp_path: Path, transactional_db: None
) -> None:
    if connection.vendor != "sqlite":
        pytest.skip("the copy is read back as SQLite")
    words = "anvil lantern otter quince"

    response = as_owner.post("/shop/backup/", {"passphrase": words, "again": words})

    copy = tmp_path / "copy.sqlite3.sealed.tar"
    copy.write_bytes(response.content)
    assert response["Content-Disposition"].endswith('.sqlite3.sealed.tar"')
    assert b"Fennel Lane" not in response.content
    with sealing.opened(copy, passphrase=words, beside=tmp_path) as plain:
        assert shop_names(plain) == ["Fennel Lane Forge"]
    assert [path.name for path in tmp_path.iterdir()] == ["copy.sqlite3.sealed.tar"]


@pytest.mark.parametrize(
    ("given", "told"),
    [
        (("anvil lantern", "anvil lanterm"), "The two passphrases are not the same."),
        (("too short", "too short"), "That passphrase has 9 characters; it needs 12."),
    ],
)
def test_a_passphrase_that_will_not_do_makes_no_copy(
    as_owner: Client, given: tuple[str, str], told: str
) -> None:
    sent = dict(zip(("passphrase", "again"), given, strict=True))

    page = as_owner.post("/shop/backup/", sent, follow=True).text

    assert "No copy was made." in page
    assert told in page


def test_a_passphrase_file_that_says_nothing_is_told(tmp_path: Path) -> None:
    path = tmp_path / "passphrase.txt"
    path.write_text("\nthe second line")

    with pytest.raises(BackupError, match=r"The first line of .* is empty"):
        asking.passphrase(path, is_new=True)


def test_two_passphrases_typed_in_the_terminal_must_be_the_same(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    typed = iter(["anvil lantern otter", "anvil lantern utter"])
    monkeypatch.setattr("sys.stdin.isatty", lambda: True, raising=False)
    monkeypatch.setattr("getpass.getpass", lambda asked: next(typed))

    with pytest.raises(BackupError, match="are not the same, so nothing was written"):
        asking.passphrase(None, is_new=True)


def test_a_sealed_file_that_was_cut_or_altered_does_not_open(tmp_path: Path) -> None:
    words, path = "anvil lantern otter quince", tmp_path / "copy"
    path.write_bytes(b"every bar and its price " * 10_000)
    sealing.seal(path, passphrase=words)
    whole = path.read_bytes()
    middle = len(whole) // 2

    for damaged in (whole[:middle], whole[:middle] + b"x" + whole[middle + 1 :]):
        path.write_bytes(damaged)
        with (
            pytest.raises(BackupError, match="does not open"),
            sealing.opened(path, passphrase=words, beside=tmp_path),
        ):
            pytest.fail("it opened")
