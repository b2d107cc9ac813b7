"""Tells a database that a newer version of the app has changed from one that this version knows."""

from __future__ import annotations

from collections.abc import Iterable

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
