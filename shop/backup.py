"""Copies the shop's database while it is in use, and puts a copy back.

SQLite through its own online backup; PostgreSQL through pg_dump and pg_restore. A copy is
checked before it counts: a backup that cannot be read is none.

BackupError     what was given, and what to do
"""

from __future__ import annotations

import shutil
import sqlite3
import subprocess
from contextlib import closing
from datetime import datetime
from pathlib import Path
from typing import Any

from django.conf import settings
from django.db import connection, connections

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
    """A consistent copy through SQLite's online backup."""
    with closing(sqlite3.connect(source)) as live, closing(sqlite3.connect(target)) as copy:
        live.backup(copy)
        copy.execute("PRAGMA journal_mode=DELETE")


def check_sqlite(path: Path) -> None:
    """Refuse a file that is damaged or not ours."""
    try:
        with closing(sqlite3.connect(f"file:{path}?mode=ro", uri=True)) as copy:
            answer = copy.execute("PRAGMA integrity_check").fetchone()[0]
            rows = copy.execute("SELECT name FROM sqlite_master WHERE type = 'table'")
            tables = {row[0] for row in rows}
    except sqlite3.DatabaseError as error:
        raise BackupError(f"{path} is not a database: {error}") from error
    if answer != "ok":
        raise BackupError(f"{path} is damaged: {answer}")
    if not tables >= OUR_TABLES:
        raise BackupError(f"{path} is a database, but not one of this app's.")


def restore(source: Path, *, now: datetime) -> Path | None:
    """Put a copy back in place of the database; tells where the old one was kept.

    Raises:
        BackupError: the file is missing, damaged, or not one of this app's.
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
    connections.close_all()
    kept = live.with_name(f"{live.stem}-before-restore-{now:%Y%m%d-%H%M%S}.sqlite3")
    live.parent.mkdir(parents=True, exist_ok=True)
    if live.exists():
        copy_sqlite(live, kept)
    for leftover in (live, live.with_name(live.name + "-wal"), live.with_name(live.name + "-shm")):
        leftover.unlink(missing_ok=True)
    shutil.copyfile(source, live)
    return kept if kept.exists() else None


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
