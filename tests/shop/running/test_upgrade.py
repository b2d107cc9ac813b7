"""A shop of the first version: brought up to date, it adds up, shows its pages, and comes back.

`first_version.sqlite3.gz` is a backup that the first version wrote of its demo shop. It stays as
it is: what it holds is what such shops hold.
"""

from __future__ import annotations

import gzip
import os
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest
from django.conf import settings

FIRST = Path(__file__).with_name("first_version.sqlite3.gz")
BOUGHT = "bought $1,330.30 = work $197.22 + scrap $2.03 + corrections $16.72 + rack $1,114.33"
LOOK_AROUND = """
import collections, re
import django
django.setup()
from bs4 import BeautifulSoup
from django.test import Client
from shop.management.commands import start
from shop.models import Person

start.Command().migrate()
client = Client(raise_request_exception=False, headers={"Host": "localhost"})
client.force_login(Person.objects.get(username="tamsin"))
waiting, seen, opened = collections.deque(["/"]), {"/"}, collections.Counter()
while waiting:
    address = waiting.popleft()
    kind = re.sub(r"/(\\d+|[A-Z]+\\d+)(?=/|$)", "/#", address.split("?")[0])
    if opened[kind] >= 1 or ".pdf" in address or "/static/" in address or "/file/" in address:
        continue
    opened[kind] += 1
    answer = client.get(address)
    print(answer.status_code, address)
    for link in BeautifulSoup(answer.content, "html.parser").select("a[href^='/']"):
        target = link["href"].split("#")[0]
        if target not in seen:
            seen.add(target)
            waiting.append(target)
"""


def run(folder: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """Run Python on a data folder of its own."""
    about = {
        "BILLETWRIGHT_DATA": str(folder),
        "BILLETWRIGHT_DEMO": "1",
        "DJANGO_SETTINGS_MODULE": "shop.settings",
        "PYTHONPATH": str(settings.BASE_DIR),
    }
    env = os.environ | about
    env.pop("DATABASE_URL", None)
    return subprocess.run(
        [sys.executable, *words], env=env, capture_output=True, text=True, check=False
    )


def manage(folder: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """Run a command of ours."""
    return run(folder, str(settings.BASE_DIR / "manage.py"), *words)


@pytest.fixture
def first_backup(tmp_path: Path) -> Path:
    """The backup, unpacked."""
    path = tmp_path / "first.sqlite3"
    path.write_bytes(gzip.decompress(FIRST.read_bytes()))
    return path


@pytest.mark.slow
def test_the_first_version_s_database_is_brought_up_to_date_and_shows_every_page(
    tmp_path: Path, first_backup: Path
) -> None:
    folder = tmp_path / "data"
    folder.mkdir()
    first_backup.rename(folder / "demo.sqlite3")

    around = run(folder, "-c", LOOK_AROUND)
    proof = manage(folder, "check_ledger")

    assert around.returncode == 0, around.stderr
    answers = [line.split() for line in around.stdout.splitlines() if line[:1].isdigit()]
    assert len(answers) > 50
    assert [line for line in answers if line[0] != "200"] == []
    assert "41 pieces, 204 entries" in proof.stdout
    assert BOUGHT in proof.stdout


@pytest.mark.slow
def test_the_first_version_s_backup_is_restored_into_this_one(
    tmp_path: Path, first_backup: Path
) -> None:
    folder = tmp_path / "data"
    folder.mkdir()

    done = manage(folder, "restore", str(first_backup))

    assert done.returncode == 0, done.stderr
    assert BOUGHT in done.stdout
    with closing(sqlite3.connect(folder / "demo.sqlite3")) as database:
        billets = database.execute("SELECT count(*) FROM billets_billet").fetchone()
        guards = database.execute("SELECT count(*) FROM sqlite_master WHERE name = 'entry_kept'")
        assert billets == (21,)
        assert guards.fetchone() == (1,)
