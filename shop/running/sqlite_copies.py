"""Copies of a shop in SQLite, through the database's own online backup."""

from __future__ import annotations

import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from urllib.parse import quote

from django.db import connection, connections

from shop.running.copies import WAYS_IN, BackupError, refuse_what_is_not_ours

WAIT_S = 0.01  # short, or one who writes all the time is never met between two writes
MOST_WAITS = 3_000
BESIDE = ("-wal", "-shm", "-journal")  # files that belong to a database's file


class SqliteCopies:
    """The shop's file, and copies of it."""

    ending = "sqlite3"

    def __init__(self) -> None:
        self.live = Path(connection.settings_dict["NAME"])

    def write(self, target: Path) -> None:
        """A whole, checked copy in a new file, without any way in."""
        copy_sqlite(self.live, target)
        try:
            clear_ways_in(target)
            check_sqlite(target)
        except BaseException:
            target.unlink(missing_ok=True)
            raise

    @contextmanager
    def loaded(self, source: str, *, now: datetime) -> Iterator[SqliteScratch]:
        """A copy in a scratch file beside the shop's, checked to be ours."""
        if not Path(source).is_file():
            raise BackupError(f"There is no file {source}.")
        check_sqlite(Path(source))
        self.live.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(prefix="restoring-", dir=self.live.parent) as folder:
            path = Path(folder) / "restored.sqlite3"
            copy_sqlite(Path(source), path)
            drop_programs(path)
            clear_ways_in(path, page_bytes=page_bytes(self.live))
            yield SqliteScratch(path=path, live=self.live)


@dataclass(frozen=True)
class SqliteScratch:
    """A copy in a file of its own, beside the shop's."""

    path: Path
    live: Path

    @property
    def url(self) -> str:
        """As DATABASE_URL."""
        return f"sqlite:///{quote(str(self.path.resolve()))}"

    def put_in_place(self, *, now: datetime) -> str:
        """Write it over the shop's in one transaction, which a running app lives through."""
        connections.close_all()
        if not self.live.exists():
            pour(self.path, self.live)
            return ""
        kept = self.live.with_name(f"{self.live.stem}-before-restore-{now:%Y%m%d-%H%M%S}.sqlite3")
        if is_readable(self.live):
            pour_and_keep(self.path, self.live, kept=kept)
        else:
            self.take_the_place(kept)
        return str(kept)

    def take_the_place(self, kept: Path) -> None:
        """Move a file that is no database any more aside, and this one where it was."""
        with closing(sqlite3.connect(self.path)) as copy:
            copy.execute("PRAGMA journal_mode=DELETE")
        for end in ("", *BESIDE):
            part = Path(f"{self.live}{end}")
            if part.exists():
                part.replace(f"{kept}{end}")
        self.path.replace(self.live)


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
        raise cannot_write(target, error) from error


def pour_and_keep(source: Path, target: Path, *, kept: Path) -> None:
    """As `pour`, what was there copied away first, while nobody else can write to it.

    The first page that is poured locks the target for writers until all of it is done; the copy
    is made right after that page, so it holds whatever anybody was told is written.

    Raises:
        BackupError: it cannot be read or written; the target is as it was.
    """
    waited = 0

    def keep(status: int, left: int, pages: int) -> None:
        nonlocal waited
        if status in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
            waited += 1
            if waited > MOST_WAITS:
                raise BackupError(
                    f"{target} is being written to all the time. Stop the app, then try again."
                )
        elif not kept.exists():
            copy_sqlite(target, kept)

    try:
        with closing(sqlite3.connect(source)) as full, closing(sqlite3.connect(target)) as other:
            # Only so can it be read while it is locked.
            other.execute("PRAGMA journal_mode=WAL")
            full.backup(other, pages=1, progress=keep, sleep=WAIT_S)
    except (sqlite3.Error, OSError) as error:
        kept.unlink(missing_ok=True)
        raise cannot_write(target, error) from error


def cannot_write(target: Path, error: Exception) -> BackupError:
    """What went wrong with a file, and what to do."""
    return BackupError(
        f"{target} cannot be written: {error}. Make room there, or give another place."
    )


def is_readable(path: Path) -> bool:
    """Whether a file can be read as a database at all."""
    try:
        with closing(sqlite3.connect(path)) as database:
            database.execute("SELECT count(*) FROM sqlite_master").fetchone()
    except sqlite3.DatabaseError:
        return False
    return True


def page_bytes(path: Path) -> int:
    """Size of a database's pages; 0 where there is none to be read."""
    if not path.exists() or not is_readable(path):
        return 0
    with closing(sqlite3.connect(path)) as database:
        return int(database.execute("PRAGMA page_size").fetchone()[0])


def clear_ways_in(path: Path, *, page_bytes: int = 0) -> None:
    """Take every way in out of a copy, and out of the pages that it no longer uses.

    Args:
        path: a copy that is not in use.
        page_bytes: size that its pages must have to be poured over another database [bytes]; 0
            leaves them.
    """
    try:
        with closing(sqlite3.connect(path)) as copy:
            for table in names_of(copy, "table") & {*WAYS_IN}:
                copy.execute(f"DELETE FROM {table}")
            copy.commit()
            if page_bytes:
                copy.execute(f"PRAGMA page_size={page_bytes}")
            copy.execute("VACUUM")
    except sqlite3.Error as error:
        raise cannot_write(path, error) from error


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
    refuse_what_is_not_ours(str(path), tables=tables, applied=applied)


def names_of(database: sqlite3.Connection, kind: str) -> set[str]:
    """Names of the tables, triggers or views in a database."""
    rows = database.execute("SELECT name FROM sqlite_master WHERE type = ?", (kind,))
    return {str(row[0]) for row in rows}


def migrations_in(database: sqlite3.Connection) -> set[tuple[str, str]]:
    """What a database says has been done to bring it up to date."""
    return {
        (app, name) for app, name in database.execute("SELECT app, name FROM django_migrations")
    }


def drop_programs(path: Path) -> None:
    """Take out what a file would run by itself; our own triggers come back with the update."""
    with closing(sqlite3.connect(path)) as database:
        for kind in ("trigger", "view"):
            for name in names_of(database, kind):
                quoted = name.replace('"', '""')
                database.execute(f'DROP {kind.upper()} "{quoted}"')
        database.commit()
