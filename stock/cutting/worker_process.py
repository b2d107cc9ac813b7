"""The worker process: takes cases on standard input, says plans on standard output.

Run as `python -m stock.cutting.worker_process` by worker.py only; both ends are this program's
own, so the messages are pickles. It ends when its parent does.
"""

import importlib
import os
import pickle
import queue
import sys
import threading
import traceback
from typing import IO, Any

from stock.cutting.plans.plan import BarCase, Case, Plan, Progress


def main() -> None:
    """Answer cases one after the other."""
    out = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)  # whatever a library prints must not mix with the plans
    cases: queue.SimpleQueue[tuple[Case, float]] = queue.SimpleQueue()
    threading.Thread(target=_read, args=(sys.stdin.buffer, cases), daemon=True).start()
    _load()
    _say(out, "ready", None)
    while True:
        case, limit_s = cases.get()
        try:
            _say(out, "done", _plan(out, case, limit_s))
        except Exception:
            _say(out, "broke", traceback.format_exc())


def _plan(out: IO[bytes], case: Case, limit_s: float) -> Plan:
    from stock.cutting.bars import best
    from stock.cutting.sheets import best as sheets

    def tell(progress: Progress) -> None:
        _say(out, "better", progress.best)

    if isinstance(case, BarCase):
        return best.solve(case, limit_s=limit_s, progress=tell)
    return sheets.solve(case, limit_s=limit_s, progress=tell)


def _load() -> None:
    """Load what takes long before the first case comes."""
    for name in ("numpy", "highspy", "stock.cutting.bars.best", "stock.cutting.sheets.best"):
        importlib.import_module(name)


def _say(out: IO[bytes], kind: str, what: Any) -> None:
    pickle.dump((kind, what), out)
    out.flush()


def _read(stdin: IO[bytes], cases: "queue.SimpleQueue[tuple[Case, float]]") -> None:
    """Queue cases until the parent is gone, and then end at once."""
    try:
        while True:
            cases.put(pickle.load(stdin))
    except (EOFError, OSError):
        os._exit(0)


if __name__ == "__main__":
    main()
