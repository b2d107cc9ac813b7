"""A server that was killed leaves nothing behind that keeps the next one from its work."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from django.conf import settings

from shop.buying import writing as buying
from shop.management.commands import start
from shop.models import BuyingRun, PlanRun
from shop.planning import runs
from shop.running import serving
from stock.ledger import triggers
from tests.kinds import Client, MakeClass, Person

HOLD = """
import sys, time
from pathlib import Path
import shop.running.serving
shop.running.serving.take(Path(sys.argv[1]), about="process 17, port 8000")
print("held", flush=True)
time.sleep(600)
"""
DRAW = """
import stock.output.pdf
if __name__ == "__main__":
    import os, time
    print(stock.output.pdf.pool().submit(os.getpid).result(), flush=True)
    time.sleep(600)
"""


def begun(script: Path, text: str, *words: str) -> subprocess.Popen[str]:
    """A process of its own that runs a script of ours."""
    script.write_text(text)
    env = os.environ | {"PYTHONPATH": str(settings.BASE_DIR)}
    line = [sys.executable, str(script), *words]
    return subprocess.Popen(line, env=env, stdout=subprocess.PIPE, text=True)


def first_line(process: subprocess.Popen[str]) -> str:
    assert process.stdout is not None
    return process.stdout.readline().strip()


def killed(process: subprocess.Popen[str]) -> None:
    """As a power cut ends it: it cannot tidy up."""
    process.send_signal(signal.SIGKILL)
    process.wait()
    assert process.stdout is not None
    process.stdout.close()


def comes_true(claim: Callable[[], bool]) -> bool:
    """Whether it does, within a minute."""
    for _ in range(600):
        if claim():
            return True
        time.sleep(0.1)
    return False


def is_running(pid: int) -> bool:
    """Whether a process is there and not only waiting to be forgotten."""
    try:
        state = Path(f"/proc/{pid}/stat").read_text().rsplit(")", 1)[1].split()[0]
    except FileNotFoundError:
        return False
    return state != "Z"


@pytest.fixture(autouse=True)
def no_lock_is_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each test starts with none."""
    monkeypatch.setattr(serving, "_held", [])


@pytest.mark.slow
def test_a_second_start_on_the_same_data_is_told_who_serves_it(tmp_path: Path) -> None:
    lock = tmp_path / "shop.lock"
    holder = begun(tmp_path / "hold.py", HOLD, str(lock))
    assert first_line(holder) == "held"

    with pytest.raises(serving.DataInUse) as refused:
        serving.take(lock, about="process 18, port 8001")

    killed(holder)
    assert "served already (process 17, port 8000)" in str(refused.value)


@pytest.mark.slow
def test_a_lock_file_of_a_killed_server_is_no_lock(tmp_path: Path) -> None:
    lock = tmp_path / "shop.lock"
    holder = begun(tmp_path / "hold.py", HOLD, str(lock))
    assert first_line(holder) == "held"
    killed(holder)

    serving.take(lock, about="process 18, port 8001")

    assert lock.read_text() == "process 18, port 8001"


def test_plans_that_were_being_made_are_ended_when_the_server_begins(
    as_owner: Client, make_class: MakeClass, owner: Person
) -> None:
    row = make_class()
    run = PlanRun.objects.create(forge_class=row, by=owner)

    runs.end_all()

    run.refresh_from_db()
    assert (run.state, run.progress["sentence"]) == (PlanRun.State.FAILED, runs.LOST)
    assert "Planning was cut off before it ended." in as_owner.get(f"/classes/{row.pk}/plan/").text


def test_a_look_at_what_to_buy_is_ended_when_the_server_begins(
    as_owner: Client, owner: Person
) -> None:
    run = BuyingRun.objects.create(by=owner)

    buying.end_all()

    run.refresh_from_db()
    assert (run.state, run.progress["sentence"]) == (BuyingRun.State.FAILED, buying.LOST)
    assert "The look was cut off before it ended." in as_owner.get("/buying/").text


def test_two_who_ask_for_a_plan_at_once_get_the_same(make_class: MakeClass, owner: Person) -> None:
    row = make_class()

    first, is_first_new = runs.begun(forge_class=row, by=owner)
    second, is_second_new = runs.begun(forge_class=row, by=owner)

    assert (is_first_new, is_second_new) == (True, False)
    assert first == second


@pytest.mark.slow
@pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="left out: no /proc here")
def test_the_process_that_draws_pages_ends_with_a_killed_server(tmp_path: Path) -> None:
    server = begun(tmp_path / "draw.py", DRAW)
    worker = int(first_line(server))
    assert is_running(worker)

    killed(server)

    assert comes_true(lambda: not is_running(worker))


def test_an_update_that_was_cut_off_does_not_leave_the_books_unguarded(
    db: None,
) -> None:
    triggers.drop()
    assert "entry_adds" in triggers.missing()

    start.Command().migrate()

    assert triggers.missing() == []
