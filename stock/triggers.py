"""What the database itself does for the books: keep the totals, refuse to change the past.

The triggers are dropped before and made again after every migration, since SQLite rebuilds a
table to change it and would lose them, or stop at the one that names the table in question.
"""

from typing import Any

from django.db import connections

NAMES = ("entry_adds", "entry_kept", "entry_stays", "aside_adds", "aside_moves", "aside_stays")
TABLES = ("stock_entry", "stock_setaside")

SQLITE = (
    """CREATE TRIGGER entry_adds AFTER INSERT ON stock_entry BEGIN
         UPDATE stock_piece SET on_hand = on_hand + NEW.amount,
           value_cents = value_cents + NEW.value_cents WHERE id = NEW.piece_id; END""",
    """CREATE TRIGGER entry_kept BEFORE UPDATE ON stock_entry BEGIN
         SELECT RAISE(ABORT, 'ledger entries are never changed'); END""",
    """CREATE TRIGGER entry_stays BEFORE DELETE ON stock_entry BEGIN
         SELECT RAISE(ABORT, 'ledger entries are never deleted'); END""",
    """CREATE TRIGGER aside_adds AFTER INSERT ON stock_setaside WHEN NEW.state = 'standing' BEGIN
         UPDATE stock_piece SET set_aside = set_aside + NEW.amount WHERE id = NEW.piece_id; END""",
    """CREATE TRIGGER aside_moves AFTER UPDATE ON stock_setaside BEGIN
         UPDATE stock_piece SET set_aside = set_aside - OLD.amount
           WHERE id = OLD.piece_id AND OLD.state = 'standing';
         UPDATE stock_piece SET set_aside = set_aside + NEW.amount
           WHERE id = NEW.piece_id AND NEW.state = 'standing'; END""",
    """CREATE TRIGGER aside_stays BEFORE DELETE ON stock_setaside BEGIN
         SELECT RAISE(ABORT, 'set-asides are freed, never deleted'); END""",
)

POSTGRES_FUNCTIONS = (
    """CREATE OR REPLACE FUNCTION billetwright_entry_adds() RETURNS trigger AS $$ BEGIN
         UPDATE stock_piece SET on_hand = on_hand + NEW.amount,
           value_cents = value_cents + NEW.value_cents WHERE id = NEW.piece_id;
         RETURN NULL; END $$ LANGUAGE plpgsql""",
    """CREATE OR REPLACE FUNCTION billetwright_refuse() RETURNS trigger AS $$ BEGIN
         RAISE EXCEPTION 'rows of % are never changed or deleted', TG_TABLE_NAME
           USING ERRCODE = 'integrity_constraint_violation'; END $$ LANGUAGE plpgsql""",
    """CREATE OR REPLACE FUNCTION billetwright_aside_adds() RETURNS trigger AS $$ BEGIN
         IF NEW.state = 'standing' THEN
           UPDATE stock_piece SET set_aside = set_aside + NEW.amount WHERE id = NEW.piece_id;
         END IF; RETURN NULL; END $$ LANGUAGE plpgsql""",
    """CREATE OR REPLACE FUNCTION billetwright_aside_moves() RETURNS trigger AS $$ BEGIN
         IF OLD.state = 'standing' THEN
           UPDATE stock_piece SET set_aside = set_aside - OLD.amount WHERE id = OLD.piece_id;
         END IF;
         IF NEW.state = 'standing' THEN
           UPDATE stock_piece SET set_aside = set_aside + NEW.amount WHERE id = NEW.piece_id;
         END IF; RETURN NULL; END $$ LANGUAGE plpgsql""",
)
POSTGRES = (
    """CREATE TRIGGER entry_adds AFTER INSERT ON stock_entry
         FOR EACH ROW EXECUTE FUNCTION billetwright_entry_adds()""",
    """CREATE TRIGGER entry_kept BEFORE UPDATE ON stock_entry
         FOR EACH ROW EXECUTE FUNCTION billetwright_refuse()""",
    """CREATE TRIGGER entry_stays BEFORE DELETE ON stock_entry
         FOR EACH ROW EXECUTE FUNCTION billetwright_refuse()""",
    """CREATE TRIGGER aside_adds AFTER INSERT ON stock_setaside
         FOR EACH ROW EXECUTE FUNCTION billetwright_aside_adds()""",
    """CREATE TRIGGER aside_moves AFTER UPDATE ON stock_setaside
         FOR EACH ROW EXECUTE FUNCTION billetwright_aside_moves()""",
    """CREATE TRIGGER aside_stays BEFORE DELETE ON stock_setaside
         FOR EACH ROW EXECUTE FUNCTION billetwright_refuse()""",
)


def tables_exist(using: str) -> bool:
    """Whether the books are there at all yet."""
    return set(TABLES) <= set(connections[using].introspection.table_names())


def drop(*, using: str = "default") -> None:
    """Take the triggers off."""
    if not tables_exist(using):
        return
    connection = connections[using]
    with connection.cursor() as cursor:
        for name in NAMES:
            table = TABLES[0] if name.startswith("entry") else TABLES[1]
            on_table = f" ON {table}" if connection.vendor == "postgresql" else ""
            cursor.execute(f"DROP TRIGGER IF EXISTS {name}{on_table}")


def install(*, using: str = "default") -> None:
    """Put the triggers on, afresh."""
    if not tables_exist(using):
        return
    drop(using=using)
    connection = connections[using]
    lines = SQLITE if connection.vendor == "sqlite" else POSTGRES_FUNCTIONS + POSTGRES
    with connection.cursor() as cursor:
        for line in lines:
            cursor.execute(line)


def missing(*, using: str = "default") -> list[str]:
    """Names of the triggers that are not there."""
    connection = connections[using]
    query = (
        "SELECT name FROM sqlite_master WHERE type = 'trigger'"
        if connection.vendor == "sqlite"
        else "SELECT tgname FROM pg_trigger WHERE NOT tgisinternal"
    )
    with connection.cursor() as cursor:
        cursor.execute(query)
        there = {row[0] for row in cursor.fetchall()}
    return [name for name in NAMES if name not in there]


def on_pre_migrate(*, using: str, **_: Any) -> None:
    """Signal: before a migration."""
    drop(using=using)


def on_post_migrate(*, using: str, **_: Any) -> None:
    """Signal: after a migration."""
    install(using=using)
