"""A file that cannot be restored leaves the database as it is; one that can replaces it whole."""

from __future__ import annotations

import itertools
import os
import resource
import sqlite3
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from django.conf import settings

from shop.running import sqlite_copies
from shop.running.copies import OUR_TABLES, BackupError
from shop.running.sqlite_copies import copy_sqlite, pour_and_keep

ADD_STRANGER = (
    "INSERT INTO django_migrations (app, name, applied)"
    " VALUES ('shop', '0999_of_tomorrow', '2031-01-01')"
)
WIPE = "CREATE TRIGGER wipe AFTER INSERT ON stock_saw BEGIN DELETE FROM shop_person; END"
NAME_SHOP = (
    'INSERT OR REPLACE INTO shop_shopsettings (id, name, "values", set_up_at)'
    " VALUES (1, '{}', '{{}}', '2026-01-01')"
)


def manage(folder: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """Run a command of ours on a database of its own."""
    env = os.environ | {"BILLETWRIGHT_DATA": str(folder), "BILLETWRIGHT_DEMO": "0"}
    env.pop("DATABASE_URL", None)
    line = [sys.executable, str(settings.BASE_DIR / "manage.py"), *words]
    return subprocess.run(line, env=env, capture_output=True, text=True, check=False)


def execute(path: Path, *lines: str) -> None:
    """Change a database behind the app's back."""
    with closing(sqlite3.connect(path)) as database:
        for line in lines:
            database.execute(line)
        database.commit()


def rows(path: Path, line: str) -> list[object]:
    """The first column of what a question gives."""
    with closing(sqlite3.connect(path)) as database:
        return [row[0] for row in database.execute(line)]


@pytest.fixture(scope="module")
def empty_shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A database of ours that has not been used."""
    folder = tmp_path_factory.mktemp("shop")
    assert manage(folder, "migrate", "-v0").returncode == 0
    path = folder / "empty.sqlite3"
    copy_sqlite(folder / "shop.sqlite3", path)
    return path


@pytest.fixture
def live(tmp_path: Path, empty_shop: Path) -> Path:
    """The database of a shop at work, in a folder whose name means something in an address."""
    folder = tmp_path / "data 100% + #1"
    folder.mkdir()
    copy_sqlite(empty_shop, folder / "shop.sqlite3")
    execute(folder / "shop.sqlite3", NAME_SHOP.format("at work"))
    return folder / "shop.sqlite3"


@pytest.fixture
def copy(tmp_path: Path, empty_shop: Path) -> Path:
    """A backup of another day."""
    path = tmp_path / "copy ?of #2.sqlite3"
    copy_sqlite(empty_shop, path)
    execute(path, NAME_SHOP.format("of old"))
    return path


def shop_names(path: Path) -> list[object]:
    return rows(path, "SELECT name FROM shop_shopsettings")


@pytest.mark.slow
def test_a_newer_database_does_not_start(live: Path) -> None:
    execute(live, ADD_STRANGER)

    done = manage(live.parent, "start", "--port", "8399")

    assert done.returncode == 1
    assert "It cannot start: the database was written by a newer version" in done.stderr


@pytest.mark.slow
def test_tables_that_only_have_our_names_are_refused(live: Path, tmp_path: Path) -> None:
    alike = tmp_path / "alike.sqlite3"
    execute(alike, *(f"CREATE TABLE {name} (a)" for name in OUR_TABLES))

    done = manage(live.parent, "restore", str(alike))

    assert done.returncode == 1
    assert "is a database, but not one of this app's." in done.stderr
    assert shop_names(live) == ["at work"]


@pytest.mark.slow
def test_a_copy_that_cannot_be_brought_up_to_date_is_refused(live: Path, copy: Path) -> None:
    execute(copy, "DELETE FROM django_migrations WHERE app = 'billets'")

    done = manage(live.parent, "restore", str(copy))

    assert done.returncode == 1
    assert "The file cannot be brought up to this version" in done.stderr
    assert "Traceback" not in done.stderr
    assert shop_names(live) == ["at work"]


@pytest.mark.slow
def test_what_a_file_would_run_by_itself_is_left_out(live: Path, copy: Path) -> None:
    execute(copy, WIPE, "CREATE VIEW peek AS SELECT * FROM shop_person")

    done = manage(live.parent, "restore", str(copy))

    assert done.returncode == 0, done.stderr
    names = rows(live, "SELECT name FROM sqlite_master WHERE type IN ('trigger', 'view')")
    assert "entry_kept" in names
    assert not {"wipe", "peek"} & set(names)


@pytest.mark.slow
def test_the_database_itself_can_be_given_and_stays(live: Path) -> None:
    done = manage(live.parent, "restore", str(live))

    assert done.returncode == 0, done.stderr
    assert shop_names(live) == ["at work"]


@pytest.mark.slow
def test_an_app_that_is_running_goes_on_with_what_was_restored(live: Path, copy: Path) -> None:
    execute(live, "PRAGMA journal_mode=WAL")
    with closing(sqlite3.connect(live)) as running:
        before = running.execute("SELECT name FROM shop_shopsettings").fetchone()

        done = manage(live.parent, "restore", str(copy))

        after = running.execute("SELECT name FROM shop_shopsettings").fetchone()
    assert done.returncode == 0, done.stderr
    assert (before, after) == (("at work",), ("of old",))


@pytest.mark.slow
def test_a_database_that_is_none_any_more_is_kept_and_replaced(live: Path, copy: Path) -> None:
    live.write_bytes(b"overwritten by something else " * 400)

    done = manage(live.parent, "restore", str(copy))

    assert done.returncode == 0, done.stderr
    assert shop_names(live) == ["of old"]
    (kept,) = live.parent.glob("shop-before-restore-*.sqlite3")
    assert kept.read_bytes().startswith(b"overwritten by something else")


@pytest.mark.slow
def test_pages_of_another_size_are_put_in_place_too(live: Path, copy: Path) -> None:
    execute(live, "PRAGMA journal_mode=WAL")
    with closing(sqlite3.connect(copy)) as database:
        database.execute("PRAGMA page_size=8192")
        database.execute("VACUUM")

    done = manage(live.parent, "restore", str(copy))

    assert done.returncode == 0, done.stderr
    assert shop_names(live) == ["of old"]


@pytest.mark.slow
def test_what_is_written_while_a_copy_takes_the_place_is_in_the_kept_one(
    live: Path, copy: Path, tmp_path: Path
) -> None:
    """Whoever was told that a line is written finds it again."""
    execute(live, "PRAGMA journal_mode=WAL", "CREATE TABLE told (number INTEGER)")
    kept, numbers, stop = tmp_path / "kept.sqlite3", [], threading.Event()

    def write() -> None:
        with closing(sqlite3.connect(live, timeout=20)) as database:
            for number in itertools.count():
                try:
                    database.execute("INSERT INTO told VALUES (?)", (number,))
                    database.commit()
                except sqlite3.OperationalError:  # the table is gone: the copy is in place
                    break
                numbers.append(number)
                if stop.wait(0.001):
                    break

    writer = threading.Thread(target=write)
    writer.start()
    try:
        time.sleep(0.5)
        pour_and_keep(copy, live, kept=kept)
    finally:
        stop.set()
        writer.join()

    assert len(numbers) > 5
    assert rows(kept, "SELECT number FROM told") == numbers
    assert shop_names(live) == ["of old"]


@pytest.mark.slow
def test_a_database_that_is_held_by_a_writer_is_left_and_told(
    live: Path, copy: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sqlite_copies, "MOST_WAITS", 0)
    execute(live, "PRAGMA journal_mode=WAL")
    with closing(sqlite3.connect(live)) as writer:
        writer.execute("BEGIN IMMEDIATE")

        with pytest.raises(BackupError, match="being written to all the time"):
            pour_and_keep(copy, live, kept=tmp_path / "kept.sqlite3")

    assert shop_names(live) == ["at work"]
    assert not (tmp_path / "kept.sqlite3").exists()


@pytest.fixture
def full_disk() -> Iterator[None]:
    """No file can grow past 64 kB."""
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (65_536, hard))
    yield
    resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


@pytest.mark.slow
def test_a_copy_that_finds_no_room_is_told_and_leaves_no_part(
    live: Path, tmp_path: Path, full_disk: None
) -> None:
    with pytest.raises(BackupError, match=r"cannot be written: .*Make room there"):
        copy_sqlite(live, tmp_path / "part.sqlite3")

    assert not list(tmp_path.glob("part*"))
