"""Copies of a shop in PostgreSQL, through the server's own tools.

A copy is loaded into a database of its own on the same server and takes the shop's name in one
transaction; the old one keeps another name. For that the shop's user has to own the database and
be allowed to make others. Rights and settings that somebody gave the database itself by hand
(`ALTER DATABASE … SET`) stay with the old one.
"""

from __future__ import annotations

import os
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any
from urllib.parse import quote, urlsplit

import psycopg
from django.db import connection, connections
from psycopg import sql

from shop.running.copies import WAYS_IN, BackupError, refuse_what_is_not_ours

MOST_TRIES = 5  # at a moment without a request, to change the name
LONGEST_BEGINNING = 36  # characters of the shop's database in the names of others; 63 at most
# What is read from a copy. Whatever it would run by itself is left out; our own comes back with
# the update.
READ = {
    "TABLE",
    "TABLE DATA",
    "SEQUENCE",
    "SEQUENCE OWNED BY",
    "SEQUENCE SET",
    "DEFAULT",
    "CONSTRAINT",
    "CHECK CONSTRAINT",
    "FK CONSTRAINT",
    "INDEX",
}


class PostgresCopies:
    """The shop's database on its server, and copies of it."""

    ending = "pgdump"

    def __init__(self) -> None:
        self.live = str(connection.settings_dict["NAME"])

    def write(self, target: Path) -> None:
        """A whole copy in a new file, without any way in, that can be read to its end."""
        left_out = [f"--exclude-table-data={table}" for table in WAYS_IN]
        try:
            run_tool(["pg_dump", "--format=custom", f"--file={target}", *left_out], on=self.live)
            run_tool(["pg_restore", f"--file={os.devnull}", str(target)])
        except BaseException:
            target.unlink(missing_ok=True)
            raise

    @contextmanager
    def loaded(self, source: str, *, now: datetime) -> Iterator[PostgresScratch]:
        """A dump, or a database that was kept, in a scratch database; checked to be ours."""
        name = f"{self.live[:LONGEST_BEGINNING]}_restoring_{now:%Y%m%d_%H%M%S}"
        is_file = Path(source).is_file()
        if not is_file and not is_database(source):
            raise BackupError(f"There is no file {source}, and no database of that name.")
        refuse_without_rights(self.live)
        make_database(name, like=self.live, of="template0" if is_file else source)
        try:
            if is_file:
                load(Path(source), name)
            check(name, called=source)
            clear_ways_in(name)
            yield PostgresScratch(name=name, live=self.live)
        finally:
            with told(), on_server() as server:
                server.execute(
                    sql.SQL("DROP DATABASE IF EXISTS {} WITH (FORCE)").format(sql.Identifier(name))
                )


@dataclass(frozen=True)
class PostgresScratch:
    """A copy in a database of its own, on the shop's server."""

    name: str
    live: str

    @property
    def url(self) -> str:
        """As DATABASE_URL."""
        path = "/" + quote(self.name, safe="")
        return urlsplit(os.environ["DATABASE_URL"])._replace(path=path).geturl()

    def put_in_place(self, *, now: datetime) -> str:
        """Let it have the shop's name, and the old one another, in one transaction."""
        connections.close_all()
        kept = f"{self.live[:LONGEST_BEGINNING]}_before_{now:%Y%m%d_%H%M%S}"
        rename = sql.SQL("ALTER DATABASE {} RENAME TO {}")
        for _ in range(MOST_TRIES):
            with told(), on_server() as server:
                server.execute(
                    "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = %s",
                    [self.live],
                )
                try:
                    with server.transaction():
                        for old, new in ((self.live, kept), (self.name, self.live)):
                            server.execute(rename.format(sql.Identifier(old), sql.Identifier(new)))
                except psycopg.errors.ObjectInUse:
                    continue
                return kept
        raise BackupError(
            f"The database {self.live} is in use all the time, so nothing was changed. Stop the "
            "app, then try again."
        )


@contextmanager
def told() -> Iterator[None]:
    """Tell the server's trouble in our words.

    Raises:
        BackupError: the server refused, or does not answer.
    """
    try:
        yield
    except psycopg.Error as error:
        why = " ".join(str(error).split())[:300]
        raise BackupError(f"The database server refused: {why}") from error


@contextmanager
def on_server(name: str = "") -> Iterator[psycopg.Connection]:
    """A connection to one database of the shop's server; without a name, to none of the shop's."""
    params = {
        key: value
        for key, value in connection.get_connection_params().items()
        if key not in {"context", "cursor_factory", "prepare_threshold"}
    }
    live = params["dbname"]
    names = [name] if name else [one for one in ("postgres", "template1") if one != live]
    for one in names:
        try:
            server = psycopg.connect(**params | {"dbname": one}, autocommit=True)
        except psycopg.OperationalError:
            if one == names[-1]:
                raise
            continue
        try:
            yield server
        finally:
            server.close()
        return


def is_database(name: str) -> bool:
    """Whether the shop's server has a database of that name."""
    with told(), on_server() as server:
        query = "SELECT 1 FROM pg_database WHERE datname = %s"
        return server.execute(query, [name]).fetchone() is not None


def refuse_without_rights(live: str) -> None:
    """Refuse early what would fail at the end.

    Raises:
        BackupError: the shop's user may not make a database, or does not own this one.
    """
    query = """SELECT current_user, r.rolcreatedb OR r.rolsuper, pg_has_role(d.datdba, 'USAGE')
        FROM pg_roles r, pg_database d WHERE r.rolname = current_user AND d.datname = %s"""
    with told(), on_server() as server:
        row = server.execute(query, [live]).fetchone()
    if row is None or (row[1] and row[2]):
        return
    raise BackupError(
        f"The database user {row[0]} has to own {live} and be allowed to make a database beside "
        f'it. As the server\'s administrator: ALTER DATABASE "{live}" OWNER TO "{row[0]}"; '
        f'ALTER ROLE "{row[0]}" CREATEDB;'
    )


def make_database(name: str, *, like: str, of: str) -> None:
    """A database with the alphabet and order of another: an empty one, or a copy."""
    query = """SELECT pg_encoding_to_char(encoding), datcollate, datctype
        FROM pg_database WHERE datname = %s"""
    with told(), on_server() as server:
        row = server.execute(query, [like]).fetchone()
        line = sql.SQL("CREATE DATABASE {} TEMPLATE {}").format(
            sql.Identifier(name), sql.Identifier(of)
        )
        if row is not None and of == "template0":
            words = [sql.Literal(word) for word in row]
            line += sql.SQL(" ENCODING {} LC_COLLATE {} LC_CTYPE {}").format(*words)
        server.execute(line)


def load(source: Path, name: str) -> None:
    """Read a dump into an empty database: its tables and what is in them, nothing that runs."""
    listed = run_tool(["pg_restore", "--list", str(source)]).splitlines()
    with tempfile.NamedTemporaryFile("w", suffix=".list") as wanted:
        wanted.write("".join(f"{line}\n" for line in listed if kind_of(line) in READ))
        wanted.flush()
        how = ["--exit-on-error", "--no-owner", "--no-privileges", f"--use-list={wanted.name}"]
        run_tool(["pg_restore", *how, str(source)], on=name)
    with told(), on_server(name) as server:
        server.execute("ANALYZE")


def kind_of(line: str) -> str:
    """What one line of a dump's list is: the words in capitals after its three numbers.

    >>> kind_of("4041; 0 16402 TABLE DATA public stock_piece shop")
    'TABLE DATA'
    >>> kind_of("; Archive created at 2026-05-09")
    ''
    """
    words = line.split()[3:] if line[:1].isdigit() else []
    ends = next((at for at, word in enumerate(words) if not word.isupper()), len(words))
    return " ".join(words[:ends])


def check(name: str, *, called: str) -> None:
    """Refuse a loaded copy that is not ours, or of a newer version than this one."""
    with told(), on_server(name) as server:
        query = "SELECT tablename FROM pg_tables WHERE schemaname = 'public'"
        tables = {str(row[0]) for row in server.execute(query)}
        applied: list[tuple[Any, ...]] = []
        if "django_migrations" in tables:
            applied = server.execute("SELECT app, name FROM django_migrations").fetchall()
    refuse_what_is_not_ours(called, tables=tables, applied=[(a, n) for a, n in applied])


def clear_ways_in(name: str) -> None:
    """Take every way in out of a copy."""
    with told(), on_server(name) as server:
        for table in WAYS_IN:
            there = server.execute("SELECT to_regclass(%s)", [table]).fetchone()
            if there and there[0]:
                server.execute(sql.SQL("DELETE FROM {}").format(sql.Identifier(table)))


def run_tool(line: list[str], *, on: str = "") -> str:
    """Run one of PostgreSQL's own tools, on a database where one is named; gives what it said.

    Raises:
        BackupError: it is not there, or it failed.
    """
    about = connection.settings_dict
    env = {"PGPASSWORD": str(about.get("PASSWORD") or ""), "PATH": "/usr/bin:/bin:/usr/local/bin"}
    full = [line[0]]
    if on:
        options = {"host": "HOST", "port": "PORT", "username": "USER"}
        full += [f"--{word}={about[key]}" for word, key in options.items() if about.get(key)]
        full += [f"--dbname={on}"]
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
    return str(done.stdout)
