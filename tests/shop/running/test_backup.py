"""A backup is a whole, checked copy; a restore keeps what was there."""

from __future__ import annotations

import os
import re
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest
from django.conf import settings
from django.db import connection

from billets.history import writing as history
from billets.hours import writing as hours
from shop.running import backup
from tests.kinds import Client, MakeLayup, Person


def manage(folder: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """Run a command of ours on a database of its own."""
    env = os.environ | {"BILLETWRIGHT_DATA": str(folder), "BILLETWRIGHT_DEMO": "0"}
    env.pop("DATABASE_URL", None)
    line = [sys.executable, str(settings.BASE_DIR / "manage.py"), *words]
    return subprocess.run(line, env=env, capture_output=True, text=True, check=False)


def shop_names(path: Path) -> list[str]:
    with closing(sqlite3.connect(path)) as database:
        return [row[0] for row in database.execute("SELECT name FROM shop_shopsettings")]


def rename_shop(path: Path, name: str) -> None:
    with closing(sqlite3.connect(path)) as database:
        database.execute(
            'INSERT OR REPLACE INTO shop_shopsettings (id, name, "values", set_up_at)'
            " VALUES (1, ?, '{}', '2026-01-01')",
            (name,),
        )
        database.commit()


@pytest.mark.slow
def test_a_restored_backup_is_what_was_backed_up_and_the_old_one_is_kept(tmp_path: Path) -> None:
    live, copy = tmp_path / "shop.sqlite3", tmp_path / "copy.sqlite3"
    manage(tmp_path, "migrate", "-v0")
    rename_shop(live, "before")
    assert manage(tmp_path, "backup", "--out", str(copy)).returncode == 0
    rename_shop(live, "after")

    done = manage(tmp_path, "restore", str(copy))

    assert done.returncode == 0, done.stderr
    assert shop_names(live) == ["before"]
    kept = list(tmp_path.glob("shop-before-restore-*.sqlite3"))
    assert [shop_names(path) for path in kept] == [["after"]]
    assert "Metal and money are conserved." in done.stdout


def test_a_file_that_is_no_database_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "notes.txt"
    path.write_text("no database at all, only words " * 50)

    with pytest.raises(backup.BackupError, match="not a database"):
        backup.check_sqlite(path)


def test_a_database_of_something_else_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "other.sqlite3"
    with closing(sqlite3.connect(path)) as other:
        other.execute("CREATE TABLE recipes (name TEXT)")

    with pytest.raises(backup.BackupError, match="not one of this app's"):
        backup.check_sqlite(path)


def test_a_backup_never_writes_over_a_file(tmp_path: Path) -> None:
    path = tmp_path / "old.sqlite3"
    path.write_text("precious")

    with pytest.raises(backup.BackupError, match="there already"):
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
    backup.check_sqlite(copy)
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
    def full(target: Path) -> None:
        raise backup.BackupError("pg_dump is not installed here.")

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

    with pytest.raises(backup.BackupError, match="cannot be made"):
        backup.back_up(in_the_way / "deeper" / "copy.sqlite3")
