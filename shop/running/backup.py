"""Copies the shop's database while it is in use, and puts a copy back.

SQLite through its own online backup; PostgreSQL through pg_dump and pg_restore. A copy is
checked before it counts: a backup that cannot be read is none.

BackupError     what was given, and what to do
"""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Iterable
from contextlib import closing
from datetime import datetime
from pathlib import Path
from typing import Any
from urllib.parse import quote

from django.conf import settings
from django.db import connection, connections
from django.db.migrations.loader import MigrationLoader

NEWER = (
    "the database was written by a newer version of this app (it has {}). "
    "Fetch that version and start again; nothing was changed."
)
OURS = ("stock", "billets", "shop")


def stranger(applied: Iterable[tuple[str, str]]) -> str:
    """The first of our changes to a database that this version does not know; nothing if none."""
    known = set(MigrationLoader(None).disk_migrations)
    strange = sorted(one for one in applied if one[0] in OURS and one not in known)
    return " ".join(strange[0]) if strange else ""


OUR_TABLES = {"stock_entry", "stock_piece", "billets_billet", "shop_forgeclass"}


class BackupError(ValueError):
    """No copy came of it, or it cannot be put back."""


def usual_name(now: datetime) -> str:
    """A file name that sorts by time."""
    ending = "sqlite3" if connection.vendor == "sqlite" else "pgdump"
    return f"billetwright-{now:%Y%m%d-%H%M%S}.{ending}"


def back_up(target: Path) -> None:
    """Write a whole, checked copy of the database to a new file.

    Raises:
        BackupError: the file is there already, or the copy failed.
    """
    if target.exists():
        raise BackupError(f"{target} is there already. Give another name; nothing was written.")
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise BackupError(
            f"The folder {target.parent} cannot be made ({error.strerror}). Give another file."
        ) from error
    if connection.vendor == "sqlite":
        copy_sqlite(Path(connection.settings_dict["NAME"]), target)
        check_sqlite(target)
    else:
        run_postgres(["pg_dump", "--format=custom", f"--file={target}"], named=True)


def copy_sqlite(source: Path, target: Path) -> None:
    """A consistent copy in a file of its own; a part of one is not left behind.

    Raises:
        BackupError: it cannot be read or written, such as on a disk that is full.
    """
    try:
        pour(source, target)
        with closing(sqlite3.connect(target)) as copy:
            copy.execute("PRAGMA journal_mode=DELETE")
    except BackupError:
        target.unlink(missing_ok=True)
        raise


def pour(source: Path, target: Path) -> None:
    """Everything in a database over everything in another, in one transaction.

    Raises:
        BackupError: it cannot be read or written, such as on a disk that is full.
    """
    try:
        with closing(sqlite3.connect(source)) as full, closing(sqlite3.connect(target)) as other:
            full.backup(other)
    except (sqlite3.Error, OSError) as error:
        raise BackupError(
            f"{target} cannot be written: {error}. Make room there, or give another place."
        ) from error


def check_sqlite(path: Path) -> None:
    """Refuse a file that is damaged, not ours, or of a newer version than this one."""
    try:
        with closing(sqlite3.connect(f"file:{quote(str(path))}?mode=ro", uri=True)) as copy:
            answer = copy.execute("PRAGMA integrity_check").fetchone()[0]
            tables = names_of(copy, "table")
            applied = migrations_in(copy) if "django_migrations" in tables else set()
    except sqlite3.Error as error:
        raise BackupError(f"{path} is not a database: {error}") from error
    if answer != "ok":
        raise BackupError(f"{path} is damaged: {answer}")
    if not tables >= OUR_TABLES or not applied:
        raise BackupError(f"{path} is a database, but not one of this app's.")
    if newer := stranger(applied):
        raise BackupError(f"{path}: {NEWER.format(newer)}")


def names_of(database: sqlite3.Connection, kind: str) -> set[str]:
    """Names of the tables, triggers or views in a database."""
    rows = database.execute("SELECT name FROM sqlite_master WHERE type = ?", (kind,))
    return {str(row[0]) for row in rows}


def migrations_in(database: sqlite3.Connection) -> set[tuple[str, str]]:
    """What a database says has been done to bring it up to date."""
    return {
        (app, name) for app, name in database.execute("SELECT app, name FROM django_migrations")
    }


def restore(source: Path, *, now: datetime) -> Path | None:
    """Put a copy back in place of the database; tells where the old one was kept.

    The copy is brought up to this version beside the database first, so that a file which
    cannot be leaves the database as it is; then it is written over it in one transaction, which
    an app that is still running lives through.

    Raises:
        BackupError: the file is missing, damaged, not one of this app's, or of a newer version.
    """
    if not source.is_file():
        raise BackupError(f"There is no file {source}.")
    if connection.vendor != "sqlite":
        run_postgres(
            ["pg_restore", "--clean", "--if-exists", "--no-owner", str(source)], named=True
        )
        return None
    check_sqlite(source)
    live = Path(connection.settings_dict["NAME"])
    live.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=live.parent) as folder:
        made_ready = Path(folder) / "restored.sqlite3"
        copy_sqlite(source, made_ready)
        drop_programs(made_ready)
        bring_up_to_date(made_ready)
        connections.close_all()
        old = live.with_name(f"{live.stem}-before-restore-{now:%Y%m%d-%H%M%S}.sqlite3")
        if live.exists():
            copy_sqlite(live, old)
        pour(made_ready, live)
    return old if old.exists() else None


def drop_programs(path: Path) -> None:
    """Take out what a file would run by itself; our own triggers come back with the update."""
    with closing(sqlite3.connect(path)) as database:
        for kind in ("trigger", "view"):
            for name in names_of(database, kind):
                quoted = name.replace('"', '""')
                database.execute(f'DROP {kind.upper()} "{quoted}"')
        database.commit()


def bring_up_to_date(path: Path) -> None:
    """Migrate a copy that is not in use.

    Raises:
        BackupError: its tables are not what its version should have.
    """
    line = [sys.executable, str(Path(settings.BASE_DIR) / "manage.py"), "migrate", "--verbosity=0"]
    env = os.environ | {"DATABASE_URL": f"sqlite:///{quote(str(path.resolve()))}"}
    done = subprocess.run(line, env=env, capture_output=True, text=True, check=False)
    if done.returncode != 0:
        why = (done.stderr.strip().splitlines() or ["no reason was given"])[-1]
        raise BackupError(f"The file cannot be brought up to this version: {why[:300]}")


def run_postgres(line: list[str], *, named: bool) -> None:
    """Run one of PostgreSQL's own tools on our database."""
    about: dict[str, Any] = {**settings.DATABASES["default"]}
    env = {"PGPASSWORD": str(about.get("PASSWORD") or ""), "PATH": "/usr/bin:/bin:/usr/local/bin"}
    options = {"host": "HOST", "port": "PORT", "username": "USER"}
    full = [line[0]]
    full += [f"--{word}={about[key]}" for word, key in options.items() if about.get(key)]
    full += [f"--dbname={about['NAME']}"] if named else []
    try:
        done = subprocess.run(
            [*full, *line[1:]], env=env, capture_output=True, text=True, check=False
        )
    except FileNotFoundError as error:
        raise BackupError(
            f"{line[0]} is not installed here. On Debian: apt-get install postgresql-client"
        ) from error
    if done.returncode != 0:
        raise BackupError(f"{line[0]} failed: {done.stderr.strip()[:400]}")
