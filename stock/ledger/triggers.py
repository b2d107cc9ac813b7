"""What the database itself does for the books: keep the totals, refuse to change the past.

The triggers are dropped before and made again after every migration, since SQLite rebuilds a
table to change it and would lose them, or stop at the one that names the table in question.
Tables of a higher floor whose rows are only ever added are named to `keep` by that floor.
"""

from typing import Any

from django.db import connections

TOTALS = ("entry_adds", "entry_kept", "entry_stays", "aside_adds", "aside_moves", "aside_stays")
TABLES = ("stock_entry", "stock_setaside")
KEPT = {"stock_sentback": "returns"}  # table: what its rows are, in the database's refusal

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


def keep(table: str, *, rows: str) -> None:
    """Let rows of a table be added only; a higher floor says so once, when it starts.

    Args:
        table: its name in the database.
        rows: what they are, for the sentence of the refusal.
    """
    KEPT[table] = rows


def names() -> dict[str, str]:
    """Every trigger that there must be, and its table."""
    totals = {name: TABLES[0 if name.startswith("entry") else 1] for name in TOTALS}
    kept = {f"{table}_{end}": table for table in KEPT for end in ("kept", "stays")}
    return totals | kept


def kept_lines(table: str, *, is_sqlite: bool) -> tuple[str, str]:
    """What refuses to change a row of a table, and to delete one."""
    parts = (("kept", "UPDATE", "changed"), ("stays", "DELETE", "deleted"))
    if is_sqlite:
        changed, deleted = (
            f"CREATE TRIGGER {table}_{end} BEFORE {act} ON {table} BEGIN "
            f"SELECT RAISE(ABORT, '{KEPT[table]} are never {done}'); END"
            for end, act, done in parts
        )
    else:
        changed, deleted = (
            f"CREATE TRIGGER {table}_{end} BEFORE {act} ON {table} "
            "FOR EACH ROW EXECUTE FUNCTION billetwright_refuse()"
            for end, act, _ in parts
        )
    return changed, deleted


def tables_there(using: str) -> set[str]:
    """Names of the tables that there are yet."""
    return set(connections[using].introspection.table_names())


def drop(*, using: str = "default") -> None:
    """Take the triggers off."""
    there = tables_there(using)
    connection = connections[using]
    with connection.cursor() as cursor:
        for name, table in names().items():
            if table not in there:
                continue
            on_table = f" ON {table}" if connection.vendor == "postgresql" else ""
            cursor.execute(f"DROP TRIGGER IF EXISTS {name}{on_table}")


def install(*, using: str = "default") -> None:
    """Put the triggers on, afresh."""
    there = tables_there(using)
    if not set(TABLES) <= there:
        return
    drop(using=using)
    connection = connections[using]
    is_sqlite = connection.vendor == "sqlite"
    lines = list(SQLITE if is_sqlite else POSTGRES_FUNCTIONS + POSTGRES)
    for table in there & KEPT.keys():
        lines += kept_lines(table, is_sqlite=is_sqlite)
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
    return [name for name in names() if name not in there]


def on_pre_migrate(*, using: str, **_: Any) -> None:
    """Signal: before a migration."""
    drop(using=using)


def on_post_migrate(*, using: str, **_: Any) -> None:
    """Signal: after a migration."""
    install(using=using)
