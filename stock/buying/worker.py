"""Weighs offers in a process of its own, so that a time limit is a time limit.

HiGHS and the layouts may be deaf to the clock for seconds. The process is simply ended when
its time is up, and the best that it had told of is handed back. It leaves out what the
process does (worker_process.py).
Exceptions: NothingInTime (no way to buy was found in time), BuyingBroke (the process failed).
"""

import contextlib
import os
import pickle
import queue
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any

from stock.buying.alternatives import Choice
from stock.buying.best import Bought
from stock.buying.case import BuyingCase

ROOT = Path(__file__).resolve().parents[2]
START_S = 3.0  # for the process to load its solver; not counted against its limit
WATCH_S = 0.2  # how often is_stopped is asked


@dataclass(frozen=True)
class Answer:
    """What is known so far: the cheapest way, and the runners-up once they have been sought."""

    bought: Bought
    choices: tuple[Choice, ...] = ()
    is_final: bool = False  # else the time was up, or somebody took the best so far


class NothingInTime(Exception):
    """The time was up before there was any way to buy; `.limit_s` is the limit."""

    def __init__(self, limit_s: float) -> None:
        self.limit_s = limit_s
        super().__init__(
            f"No way to buy was found within {limit_s:g} s. Look again, or retire offers that "
            "you would not take."
        )


class BuyingBroke(Exception):
    """The process failed; `.details` is its own account."""

    def __init__(self, details: str) -> None:
        self.details = details
        super().__init__(f"Weighing the offers broke: {details.strip().splitlines()[-1]}")


Said = tuple[str, Any]


def answered(
    case: BuyingCase,
    *,
    limit_s: float,
    progress: Callable[[Answer], None] | None = None,
    is_stopped: Callable[[], bool] = lambda: False,
) -> Answer:
    """The cheapest way to buy and its runners-up, as far as they are found within the limit.

    Args:
        case: what is short, and who sells what on which terms.
        limit_s: seconds, above 0; kept to within a second once the process runs.
        progress: told of each better answer, in the calling thread.
        is_stopped: asked a few times a second; once true, the best so far is handed back as
            soon as there is one.

    Returns:
        The best so far; `is_final` when nothing was cut short.

    Raises:
        NothingInTime: no way to buy was found within the limit.
        BuyingBroke: the process failed.
    """
    process = _started()
    said: queue.SimpleQueue[Said] = queue.SimpleQueue()
    assert process.stdout is not None
    threading.Thread(target=_listen, args=(process.stdout, said), daemon=True).start()
    try:
        return _heard(process, said, case, limit_s, progress, is_stopped)
    finally:
        process.kill()
        process.wait()
        for pipe in (process.stdin, process.stdout):
            with contextlib.suppress(OSError):
                assert pipe is not None
                pipe.close()


def _heard(
    process: "subprocess.Popen[bytes]",
    said: "queue.SimpleQueue[Said]",
    case: BuyingCase,
    limit_s: float,
    progress: Callable[[Answer], None] | None,
    is_stopped: Callable[[], bool],
) -> Answer:
    assert process.stdin is not None
    with contextlib.suppress(BrokenPipeError):  # what it said last tells why
        pickle.dump((case, limit_s), process.stdin)
        process.stdin.flush()
    until = time.monotonic() + limit_s + START_S
    best: Answer | None = None
    while time.monotonic() < until and not (best is not None and is_stopped()):
        with contextlib.suppress(queue.Empty):
            kind, what = said.get(timeout=WATCH_S)
            if kind == "broke":
                raise BuyingBroke(what)
            if kind == "ready":
                until = time.monotonic() + limit_s
                continue
            best = what
            if what.is_final:
                return best
            if progress is not None:
                progress(what)
    if best is None:
        raise NothingInTime(limit_s)
    return best


def _started() -> "subprocess.Popen[bytes]":
    return subprocess.Popen(
        [sys.executable, "-m", "stock.buying.worker_process"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )


def _listen(stdout: IO[bytes], said: "queue.SimpleQueue[Said]") -> None:
    """Pass on what the process says until it ends."""
    try:
        while True:
            said.put(pickle.load(stdout))
    except (EOFError, pickle.UnpicklingError, ValueError, OSError):
        said.put(("broke", "the process ended"))
