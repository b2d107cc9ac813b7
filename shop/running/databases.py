"""How the database that the shop is in is copied."""

from __future__ import annotations

from django.db import connection

from shop.running.copies import Copies
from shop.running.postgres_copies import PostgresCopies
from shop.running.sqlite_copies import SqliteCopies


def copies() -> Copies:
    """The way of the shop's own kind of database."""
    return SqliteCopies() if connection.vendor == "sqlite" else PostgresCopies()
