"""A small shop on either kind of database, driven by commands as its owner would."""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import psycopg

from tests import postgres

ROOT = Path(__file__).resolve().parents[3]
FILL = """
import django
django.setup()
from datetime import date
from django.contrib.sessions.backends.db import SessionStore
from shop.dates import writing
from shop.models import Person, ShopSettings
from stock.ledger import receiving
from stock.models import Material, Supplier
ShopSettings.objects.create(pk=1, name="Fennel Lane Forge", values={})
orla = Person.objects.create_user("orla", password="anvil-and-tongs-9", role="owner")
steel = Material.objects.create(
    form="flat", alloy="1084", thickness_nm=3_175_000, width_nm=31_750_000
)
receiving.buy(
    supplier=Supplier.objects.create(name="Marrow & Daughter Steels", days_to_deliver=5),
    lines=[receiving.Line(material=steel, count=3, price_cents=7200, length_nm=914_400_000)],
    delivery_cents=100, on=date(2026, 3, 2), by=orla,
)
writing.renew(by=orla)
store = SessionStore()
store["who"] = orla.pk
store.create()
"""
# Behind the triggers' back, as somebody does who holds the file.
ALTER = {
    "sqlite3": ("DROP TRIGGER entry_kept", "UPDATE stock_entry SET amount = amount + 1000"),
    "pgdump": (
        "ALTER TABLE stock_entry DISABLE TRIGGER USER",
        "UPDATE stock_entry SET amount = amount + 1000",
        "ALTER TABLE stock_entry ENABLE TRIGGER USER",
    ),
}
TRIGGERS = {
    "sqlite3": "SELECT name FROM sqlite_master WHERE type = 'trigger' ORDER BY name",
    "pgdump": "SELECT tgname FROM pg_trigger WHERE NOT tgisinternal ORDER BY tgname",
}


@dataclass(frozen=True)
class SmallShop:
    """A shop's data folder and database."""

    folder: Path
    url: str
    ending: str

    def run(self, *words: str) -> subprocess.CompletedProcess[str]:
        """Run something of ours on this shop."""
        env = os.environ | {
            "BILLETWRIGHT_DATA": str(self.folder),
            "BILLETWRIGHT_DEMO": "0",
            "DATABASE_URL": self.url,
            "DJANGO_SETTINGS_MODULE": "shop.settings",
        }
        line = [sys.executable, *words]
        return subprocess.run(
            line, cwd=ROOT, env=env, capture_output=True, text=True, check=False, timeout=120
        )

    def manage(self, *words: str) -> subprocess.CompletedProcess[str]:
        """Run a command."""
        return self.run("manage.py", *words)

    def backed_up(self, name: str, *words: str) -> Path:
        """A backup of it, in a file of its own."""
        path = self.folder.parent / f"{name}.{self.ending}"
        done = self.manage("backup", "--out", str(path), *words)
        assert done.returncode == 0, done.stderr
        return path

    def execute(self, *lines: str) -> None:
        """Change it behind the app's back."""
        with connected(self) as database:
            for line in lines:
                database.execute(line)
            database.commit()

    def rows(self, line: str) -> list[Any]:
        """What a question gives."""
        with connected(self) as database:
            return list(database.execute(line).fetchall())

    def all_of_it(self) -> list[Any]:
        """What must not change when a restore is refused."""
        return [
            self.rows("SELECT * FROM stock_entry ORDER BY id"),
            self.rows("SELECT * FROM shop_shopsettings"),
            self.rows("SELECT session_key FROM django_session"),
            self.rows(TRIGGERS[self.ending]),
            self.beside(),
        ]

    def name(self) -> str:
        """What the shop calls itself."""
        return str(self.rows("SELECT name FROM shop_shopsettings")[0][0])

    def beside(self) -> list[str]:
        """Names of what stands beside its database: scratch copies, and those that were kept."""
        if self.ending == "pgdump":
            own = urlsplit(self.url).path[1:]
            found = self.rows("SELECT datname FROM pg_database ORDER BY datname")
            return [name for (name,) in found if name.startswith(f"{own}_")]
        return sorted(
            path.name
            for path in self.folder.iterdir()
            if path.name.startswith(("shop-", "restoring-", "opened-", "tmp"))
        )


@contextmanager
def connected(shop: SmallShop) -> Iterator[Any]:
    """A connection to its database."""
    if shop.ending == "pgdump":
        with psycopg.connect(shop.url) as server:
            yield server
        return
    with closing(sqlite3.connect(shop.url.removeprefix("sqlite:///"))) as database:
        yield database


@contextmanager
def sqlite_shop(folder: Path) -> Iterator[SmallShop]:
    """A filled shop in a file."""
    shop = SmallShop(folder=folder, url=f"sqlite:///{folder}/shop.sqlite3", ending="sqlite3")
    fill(shop)
    yield shop


@contextmanager
def postgres_shop(folder: Path) -> Iterator[SmallShop]:
    """A filled shop on a server of its own."""
    with postgres.cluster() as url:
        server = SmallShop(folder=folder, url=url, ending="pgdump")
        shop = on_same_server(server, "filled", like="template0")
        fill(shop)
        yield shop


def fill(shop: SmallShop) -> None:
    """Three bars on the rack, somebody signed in, a calendar's address."""
    for words in (("manage.py", "migrate", "-v0"), ("-c", FILL)):
        done = shop.run(*words)
        assert done.returncode == 0, done.stderr


def on_same_server(shop: SmallShop, name: str, *, like: str) -> SmallShop:
    """A shop in another database of the same server, made like one that is there."""
    template = shop if like == "template0" else replace(shop, url=with_path(shop.url, "postgres"))
    with psycopg.connect(template.url, autocommit=True) as server:
        server.execute(f'CREATE DATABASE "{name}" TEMPLATE "{like}"')
    return replace(shop, url=with_path(shop.url, name))


def with_path(url: str, name: str) -> str:
    """The address of another database of the same server."""
    return urlsplit(url)._replace(path=f"/{name}").geturl()


def another(shop: SmallShop, folder: Path, name: str) -> SmallShop:
    """A shop of a test's own, with the same in it."""
    if shop.ending == "pgdump":
        return replace(on_same_server(shop, name, like="filled"), folder=folder)
    path = folder / "shop.sqlite3"
    with (
        closing(sqlite3.connect(shop.folder / "shop.sqlite3")) as full,
        closing(sqlite3.connect(path)) as copy,
    ):
        full.backup(copy)
    return replace(shop, folder=folder, url=f"sqlite:///{path}")
