"""Puts a backup in the place of the shop's database; one way for every kind of database.

It is loaded beside the shop's, checked, brought up to this version and its books proved there.
Only then does it take the place, at one stroke; the old one is kept. Up to that stroke the shop
is as it was, whatever goes wrong.
"""

from __future__ import annotations

import os
import shlex
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from django.conf import settings

from shop.running import sealing
from shop.running.copies import BackupError
from shop.running.databases import copies

SHOWN_FAULTS = 20


@dataclass(frozen=True)
class Books:
    """What the proof of a copy's books said."""

    summary: str
    faults: tuple[str, ...]


@dataclass(frozen=True)
class Restored:
    """What is in place now, and how it is undone."""

    books: Books
    kept: str  # the old one's file or name; nothing where there was none
    undo: str  # the command that puts it back


def restore(
    source: str, *, now: datetime, passphrase: str = "", with_faults: bool = False
) -> Restored:
    """Put a copy in place of the shop's database.

    Args:
        source: a backup's file, or what a restore before this one kept.
        now: the time, for the kept one's name.
        passphrase: what the file was sealed with, if it was.
        with_faults: put it in place even if its books do not add up.

    Raises:
        BackupError: it is missing, damaged, sealed, not one of this app's, of a newer version, or
            its books do not add up. The shop is as it was.
    """
    with readable(source, passphrase) as plain, copies().loaded(plain, now=now) as scratch:
        bring_up_to_date(scratch.url)
        books = proved_books(scratch.url)
        if books.faults and not with_faults:
            raise BackupError(words_of(books))
        kept = scratch.put_in_place(now=now)
    undo = f"python3 manage.py restore {shlex.quote(kept)}" if kept else ""
    return Restored(books=books, kept=kept, undo=undo)


@contextmanager
def readable(source: str, passphrase: str) -> Iterator[str]:
    """The file as it is to be read; anything else as it is."""
    if not Path(source).is_file():
        yield source
        return
    beside = Path(settings.DATA_DIR)
    with sealing.opened(Path(source), passphrase=passphrase, beside=beside) as plain:
        yield str(plain)


def words_of(books: Books) -> str:
    """Why it was refused."""
    more = len(books.faults) - SHOWN_FAULTS
    lines = [*books.faults[:SHOWN_FAULTS], *([f"… and {more} more"] if more > 0 else [])]
    return (
        "The books in that file do not add up, so it was not put in place; the shop is as it "
        "was.\n  " + "\n  ".join(lines) + "\nTake an older backup, or put this one in place all "
        "the same with --with-faults."
    )


def on_copy(url: str, *words: str) -> subprocess.CompletedProcess[str]:
    """Run a command of ours on a copy that is not in use."""
    line = [sys.executable, str(Path(settings.BASE_DIR) / "manage.py"), *words]
    env = os.environ | {"DATABASE_URL": url}
    return subprocess.run(line, env=env, capture_output=True, text=True, check=False)


def bring_up_to_date(url: str) -> None:
    """Migrate a copy.

    Raises:
        BackupError: its tables are not what its version should have.
    """
    done = on_copy(url, "migrate", "--verbosity=0")
    if done.returncode != 0:
        raise BackupError(f"The file cannot be brought up to this version: {last_line(done)}")


def proved_books(url: str) -> Books:
    """Prove the books of a copy.

    Raises:
        BackupError: they cannot be read.
    """
    done = on_copy(url, "check_ledger")
    said = done.stderr.strip().splitlines()
    if done.returncode == 0:
        return Books(summary=done.stdout.strip(), faults=())
    if not said or "The books do not add up" not in said[-1]:
        raise BackupError(f"The books in that file cannot be read: {last_line(done)}")
    return Books(summary=done.stdout.strip(), faults=tuple(said[:-1]))


def last_line(done: subprocess.CompletedProcess[str]) -> str:
    """What a command said last of its trouble."""
    return (done.stderr.strip().splitlines() or ["no reason was given"])[-1][:300]
