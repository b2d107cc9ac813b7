"""The books and the planning hold on PostgreSQL as they do on SQLite."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests import postgres

ROOT = Path(__file__).resolve().parents[1]
# Whatever writes the books, and the pages that sum, group and filter them in SQL.
BOOKS = (
    "tests/stock/ledger/test_ledger.py",
    "tests/stock/ledger/test_ledger_laws.py",
    "tests/stock/ledger/test_promises.py",
    "tests/stock/ledger/test_letting_go.py",
    "tests/stock/ledger/test_returning.py",
    "tests/stock/ledger/test_receiving.py",
    "tests/stock/ledger/test_triggers.py",
    "tests/stock/ledger/test_proof.py",
    "tests/stock/ledger/test_two_at_once.py",
    "tests/stock/ledger_page/test_ledger_page.py",
    "tests/stock/rack/test_rack_page.py",
    "tests/shop/planning/test_planning.py",
    "tests/shop/planning/test_class_plan.py",
    "tests/shop/after_class/test_class_failures.py",
    "tests/shop/after_class/test_class_reopen.py",
    "tests/shop/planning/test_class_two_at_once.py",
    "tests/shop/class_money/test_payment_triggers.py",
    "tests/shop/buying/test_levels.py",
    "tests/billets/blanks/test_blank_cutting.py",
    "tests/billets/billet/test_billet_pages.py",
    "tests/billets/billet/test_trace_pages.py",
    "tests/billets/hours/test_hours.py",
    "tests/billets/history/test_timed_steps.py",
    "tests/shop/knives/test_one_clock.py",
    "tests/shop/class_work/test_class_work.py",
    "tests/shop/class_work/test_class_hours.py",
    "tests/shop/once/test_once.py",
)


@pytest.mark.postgres
@pytest.mark.skipif("DATABASE_URL" in os.environ, reason="DATABASE_URL is set already")
def test_the_books_hold_on_postgresql() -> None:
    with postgres.cluster() as url:
        done = subprocess.run(
            [sys.executable, "-m", "pytest", "-q", "-x", "-p", "no:cacheprovider", *BOOKS],
            cwd=ROOT,
            env={**os.environ, "DATABASE_URL": url},
            capture_output=True,
            text=True,
            check=False,
            timeout=600,
        )

    assert done.returncode == 0, done.stdout[-4000:] + done.stderr[-2000:]
    assert " passed" in done.stdout
