"""Solves cutting cases in a process of its own, so that a time limit is a time limit.

A solver may be deaf to the clock for seconds. The worker process is simply ended when its time
is up, and the best plan that it had told of is handed back. Processes that end in time wait for
the next case, for starting one takes half a second.
Exceptions: BadCase (what was asked makes no sense), NoPlan (nothing was found in time),
SolverBroke (the worker process failed).
"""

import atexit
import contextlib
import os
import pickle
import queue
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import IO, Any

from stock.cutting.bars.first_packing import first_fit_decreasing
from stock.cutting.plans.checks import sound
from stock.cutting.plans.plan import BarCase, Case, Plan, Progress, Report

ROOT = Path(__file__).resolve().parent.parent.parent
GRACE_S = 0.4  # beyond the limit, before the process is ended
WATCH_S = 0.2  # how often is_stopped is asked
START_S = 60.0  # for a process to start on a busy machine, where one waits for it
MOST_IDLE = 2


class NoPlan(Exception):
    """The time was up before there was any plan; `.limit_s` is the limit."""

    def __init__(self, name: str, limit_s: float) -> None:
        self.limit_s = limit_s
        super().__init__(
            f"No plan for {name} within {limit_s:g} s. Allow more time or plan fewer pieces."
        )


class SolverBroke(Exception):
    """The worker process failed; `.details` is its own account."""

    def __init__(self, name: str, details: str) -> None:
        self.details = details
        super().__init__(f"Planning {name} broke: {details.strip().splitlines()[-1]}")


@dataclass
class Worker:
    """One process and what it has said."""

    process: "subprocess.Popen[bytes]"
    said: "queue.SimpleQueue[tuple[str, Any]]" = field(default_factory=queue.SimpleQueue)
    is_ready: bool = False

    def ask(self, case: Case, limit_s: float) -> None:
        """Hand the process a case."""
        assert self.process.stdin is not None
        with contextlib.suppress(BrokenPipeError):  # what it said last tells why
            pickle.dump((case, limit_s), self.process.stdin)
            self.process.stdin.flush()

    def end(self) -> None:
        """End the process at once."""
        self.process.kill()
        self.process.wait()


_idle: list[Worker] = []
_lock = threading.Lock()


def solved(
    case: Case,
    *,
    limit_s: float,
    progress: Report | None = None,
    is_stopped: Callable[[], bool] = lambda: False,
) -> Plan:
    """The best plan that is found within the limit.

    Args:
        case: bars or sheets.
        limit_s: seconds from now, above 0; kept to within half a second or so, not counting
            what `progress` and `is_stopped` take.
        progress: told of each better plan, in the calling thread.
        is_stopped: asked a few times a second; once true, the best so far is handed back.

    Returns:
        A BarPlan for bars, a SheetPlan for sheets; where the time ran out, the best so far.

    Raises:
        BadCase: a number of the case makes no sense.
        NoPlan: nothing was found in time for sheets; bars always have a plan.
        SolverBroke: the worker process failed.
    """
    if isinstance(case, BarCase):
        sound(case)
    started = time.monotonic()
    worker = _taken()
    worker.ask(case, started + limit_s - time.monotonic())
    best: Plan | None = None
    for kind, what in _heard(worker, started + limit_s + GRACE_S, is_stopped):
        if kind == "broke":
            worker.end()
            raise SolverBroke(case.name, what)
        best = what
        if kind == "done":
            _put_back(worker)
            return best
        if progress is not None:
            progress(Progress(what))
    worker.end()
    if best is None and isinstance(case, BarCase):
        return first_fit_decreasing(case)
    if best is None:
        raise NoPlan(case.name, limit_s)
    return best


def warm() -> None:
    """Start a process before it is needed, and wait until it is ready.

    Raises:
        SolverBroke: it does not start.
    """
    worker = _taken()
    if not worker.is_ready:
        kind, what = worker.said.get(timeout=START_S)
        if kind != "ready":
            raise SolverBroke("anything", what)
        worker.is_ready = True
    _put_back(worker)


def _heard(
    worker: Worker, until: float, is_stopped: Callable[[], bool]
) -> Iterator[tuple[str, Any]]:
    """What the worker says, until it is done, time is up or someone stops it."""
    while (left := until - time.monotonic()) > 0:
        with contextlib.suppress(queue.Empty):
            kind, what = worker.said.get(timeout=min(left, WATCH_S))
            if kind == "ready":
                worker.is_ready = True
                continue
            yield kind, what
            if kind in ("done", "broke"):
                return
        if is_stopped():
            return


def _taken() -> Worker:
    """An idle worker that is still alive, or a new one."""
    with _lock:
        while _idle:
            worker = _idle.pop()
            if worker.process.poll() is None:
                return worker
    return _started()


def _put_back(worker: Worker) -> None:
    with _lock:
        if len(_idle) < MOST_IDLE:
            _idle.append(worker)
            return
    worker.end()


def _started() -> Worker:
    process = subprocess.Popen(
        [sys.executable, "-m", "stock.cutting.worker_process"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )
    worker = Worker(process)
    assert process.stdout is not None
    thread = threading.Thread(target=_listen, args=(process.stdout, worker.said), daemon=True)
    thread.start()
    return worker


def _listen(stdout: IO[bytes], said: "queue.SimpleQueue[tuple[str, Any]]") -> None:
    """Pass on what a process says until it ends."""
    try:
        while True:
            said.put(pickle.load(stdout))
    except (EOFError, pickle.UnpicklingError, ValueError, OSError):
        said.put(("broke", "the process ended"))


@atexit.register
def _end_idle() -> None:
    with _lock:
        for worker in _idle:
            worker.end()
        _idle.clear()
