"""Copies of a shop on PostgreSQL: by the server's own tools, whose trouble is told in words."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from shop.running import backup
from tests import postgres

ROOT = Path(__file__).resolve().parents[3]
SERVER = {
    "ENGINE": "django.db.backends.postgresql",
    "NAME": "forge",
    "USER": "orla",
    "PASSWORD": "anvil-and-tongs-9",
    "HOST": "books.example",
    "PORT": "",
}
FILL = """
import django
django.setup()
from stock.models import Supplier
Supplier.objects.create(name="Marrow & Daughter Steels", days_to_deliver=5)
"""
CHANGE = """
import django
django.setup()
from stock.models import Supplier
Supplier.objects.update(name="somebody else")
"""
READ = """
import django
django.setup()
from stock.models import Supplier
print([*Supplier.objects.values_list("name", "days_to_deliver")])
"""


class Tool:
    """Stands for pg_dump: keeps how it was called, and ends as told."""

    def __init__(self, *, status: int = 0, says: str = "") -> None:
        self.status = status
        self.says = says
        self.line: list[str] = []
        self.env: dict[str, str] = {}

    def __call__(
        self, line: list[str], *, env: dict[str, str], **how: Any
    ) -> subprocess.CompletedProcess[str]:
        self.line, self.env = line, env
        return subprocess.CompletedProcess(line, self.status, "", self.says)


@pytest.fixture
def on_a_server(monkeypatch: pytest.MonkeyPatch) -> None:
    """The settings of a shop whose books are kept on a server."""
    monkeypatch.setattr(backup, "settings", SimpleNamespace(DATABASES={"default": SERVER}))


def test_the_password_goes_to_the_tool_and_not_onto_its_command_line(
    on_a_server: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    tool = Tool()
    monkeypatch.setattr("shop.running.backup.subprocess.run", tool)

    backup.run_postgres(["pg_dump", "--format=custom"], named=True)

    assert tool.line == [
        "pg_dump",
        "--host=books.example",
        "--username=orla",
        "--dbname=forge",
        "--format=custom",
    ]
    assert tool.env["PGPASSWORD"] == "anvil-and-tongs-9"


def test_a_tool_that_fails_is_quoted(on_a_server: None, monkeypatch: pytest.MonkeyPatch) -> None:
    tool = Tool(status=1, says="connection to server failed: no route to host\n")
    monkeypatch.setattr("shop.running.backup.subprocess.run", tool)

    with pytest.raises(backup.BackupError) as told:
        backup.run_postgres(["pg_dump"], named=True)

    assert str(told.value) == "pg_dump failed: connection to server failed: no route to host"


@pytest.mark.slow
def test_a_tool_that_is_not_there_is_told_with_the_line_that_brings_it(on_a_server: None) -> None:
    with pytest.raises(backup.BackupError, match="apt-get install postgresql-client"):
        backup.run_postgres(["pg_dump_that_nobody_has"], named=True)


@pytest.mark.postgres
def test_a_shop_on_postgresql_is_backed_up_and_put_back(tmp_path: Path) -> None:
    with postgres.cluster() as url:
        env = os.environ | {
            "BILLETWRIGHT_DATA": str(tmp_path / "data"),
            "BILLETWRIGHT_DEMO": "0",
            "DATABASE_URL": url,
            "DJANGO_SETTINGS_MODULE": "shop.settings",
        }

        def done(*words: str) -> str:
            ran = subprocess.run(
                [sys.executable, *words],
                cwd=ROOT,
                env=env,
                capture_output=True,
                text=True,
                check=False,
            )
            assert ran.returncode == 0, ran.stderr
            return ran.stdout

        done("manage.py", "migrate", "--verbosity", "0")
        done("-c", FILL)
        done("manage.py", "backup", "--out", str(tmp_path / "shop.dump"))
        done("-c", CHANGE)
        changed = done("-c", READ)
        done("manage.py", "restore", str(tmp_path / "shop.dump"))
        restored = done("-c", READ)

    assert changed.strip() == "[('somebody else', 5)]"
    assert restored.strip() == "[('Marrow & Daughter Steels', 5)]"
