"""Copies of a shop on PostgreSQL: by the server's own tools, whose trouble is told in words."""

from __future__ import annotations

import subprocess
from types import SimpleNamespace
from typing import Any

import pytest

from shop.running import postgres_copies
from shop.running.copies import BackupError

SERVER = {
    "ENGINE": "django.db.backends.postgresql",
    "NAME": "forge",
    "USER": "orla",
    "PASSWORD": "anvil-and-tongs-9",
    "HOST": "books.example",
    "PORT": "",
}


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
    monkeypatch.setattr(postgres_copies, "connection", SimpleNamespace(settings_dict=SERVER))


def test_the_password_goes_to_the_tool_and_not_onto_its_command_line(
    on_a_server: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    tool = Tool()
    monkeypatch.setattr("shop.running.postgres_copies.subprocess.run", tool)

    postgres_copies.run_tool(["pg_dump", "--format=custom"], on="forge")

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
    monkeypatch.setattr("shop.running.postgres_copies.subprocess.run", tool)

    with pytest.raises(BackupError) as told:
        postgres_copies.run_tool(["pg_dump"], on="forge")

    assert str(told.value) == "pg_dump failed: connection to server failed: no route to host"


@pytest.mark.slow
def test_a_tool_that_is_not_there_is_told_with_the_line_that_brings_it(on_a_server: None) -> None:
    with pytest.raises(BackupError, match="apt-get install postgresql-client"):
        postgres_copies.run_tool(["pg_dump_that_nobody_has"])
