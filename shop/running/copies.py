"""What a copy of the shop's database must be, and what it never holds, for every database.

BackupError     what was given, and what to do
"""

from __future__ import annotations

from collections.abc import Iterable
from contextlib import AbstractContextManager
from datetime import datetime
from pathlib import Path
from typing import Protocol

from django.db.migrations.loader import MigrationLoader

NEWER = (
    "the database was written by a newer version of this app (it has {}). "
    "Fetch that version and start again; nothing was changed."
)
OURS = ("stock", "billets", "shop")
OUR_TABLES = {"stock_entry", "stock_piece", "billets_billet", "shop_forgeclass"}
# Whoever reads one of these rows is in: they are not copied, and not put back from older copies.
WAYS_IN = ("django_session", "shop_calendarlink")


class BackupError(ValueError):
    """No copy came of it, or it cannot be put back."""


class Scratch(Protocol):
    """A copy beside the shop's database, that can still be thrown away."""

    @property
    def url(self) -> str:
        """As DATABASE_URL."""

    def put_in_place(self, *, now: datetime) -> str:
        """Let it take the place of the shop's database; names the old one, nothing if none."""


class Copies(Protocol):
    """How one kind of database is copied, and a copy of it loaded again."""

    ending: str  # of a copy's file name

    def write(self, target: Path) -> None:
        """A whole, checked copy in a new file, without any way in."""

    def loaded(self, source: str, *, now: datetime) -> AbstractContextManager[Scratch]:
        """A copy in a scratch database, checked to be ours; gone afterwards if not put in place."""


def stranger(applied: Iterable[tuple[str, str]]) -> str:
    """The first of our changes to a database that this version does not know; nothing if none."""
    known = set(MigrationLoader(None).disk_migrations)
    strange = sorted(one for one in applied if one[0] in OURS and one not in known)
    return " ".join(strange[0]) if strange else ""


def refuse_what_is_not_ours(
    name: str, *, tables: set[str], applied: Iterable[tuple[str, str]]
) -> None:
    """Refuse a database of something else, or of a newer version than this one.

    Raises:
        BackupError: it is not one of ours.
    """
    applied = set(applied)
    if not tables >= OUR_TABLES or not applied:
        raise BackupError(f"{name} is a database, but not one of this app's.")
    if newer := stranger(applied):
        raise BackupError(f"{name}: {NEWER.format(newer)}")
