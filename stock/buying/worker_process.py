"""The process that weighs offers: takes one case on standard input, says answers on its output.

Run as `python -m stock.buying.worker_process` by worker.py only; both ends are this
program's own, so the messages are pickles. It ends when its parent does.
"""

import os
import pickle
import sys
import threading
import traceback
from collections.abc import Callable
from dataclasses import replace
from importlib import import_module
from typing import IO, Any

from stock.buying.alternatives import choices
from stock.buying.best import Bought, buy
from stock.buying.case import BuyingCase, SheetNeed
from stock.buying.worker import Answer
from stock.cutting.plans.plan import SheetCase, SheetPlan

QUICK_SHARE = 0.15  # of the time: a first answer, so that there is one to take
BEST_SHARE = 0.5
CHOICES_SHARE = 0.25
QUICK_LAYOUT_S = 0.3


def answer(case: BuyingCase, *, limit_s: float, tell: Callable[[Answer], None]) -> Answer:
    """The cheapest way to buy and its runners-up.

    Args:
        case: what is short, and who sells what on which terms.
        limit_s: seconds to aim for, above 0; a solver may overrun it.
        tell: told of each answer on the way.

    Returns:
        The last answer.
    """
    bought = buy(case, seconds=QUICK_SHARE * limit_s, lay=quick_layout)
    tell(Answer(bought))
    if not is_settled(bought):
        bought = cheaper(bought, buy(case, seconds=BEST_SHARE * limit_s))
        tell(Answer(bought))
    others = choices(case, bought=bought, seconds=CHOICES_SHARE * limit_s)
    return Answer(without_menus(bought), others, is_final=True)


def quick_layout(case: SheetCase) -> SheetPlan:
    """A layout on sheets or roll that does not take long.

    Args:
        case: pieces, and what they go on.
    """
    from stock.cutting.sheets import best

    return best.solve(case, limit_s=QUICK_LAYOUT_S)


def is_settled(bought: Bought) -> bool:
    """Whether a longer look can change nothing: proved, and no layout that might be shorter."""
    if bought.best is None:
        return not bought.covered.needs
    has_sheets = any(isinstance(need, SheetNeed) for need in bought.covered.needs)
    return bought.best.is_proved and not has_sheets


def cheaper(first: Bought, second: Bought) -> Bought:
    """The better of two answers to one case: what covers more, then what costs less."""

    def worth(one: Bought) -> tuple[int, int]:
        return len(one.uncovered), one.best.cents if one.best else 0

    return first if worth(first) < worth(second) else second


def without_menus(bought: Bought) -> Bought:
    """Without what only the solver needs, which can be long."""
    return replace(bought, prepared=replace(bought.prepared, menus={}))


def main() -> None:
    """Answer one case."""
    out = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)  # whatever a library prints must not mix with the answers
    case, limit_s = pickle.load(sys.stdin.buffer)
    threading.Thread(target=_end_with_parent, daemon=True).start()
    try:
        for name in ("highspy", "numpy"):  # loaded before the clock starts
            import_module(name)
        _say(out, "ready", None)
        found = answer(case, limit_s=limit_s, tell=lambda one: _say(out, "better", one))
        _say(out, "done", found)
    except Exception:
        _say(out, "broke", traceback.format_exc())


def _say(out: IO[bytes], kind: str, what: Any) -> None:
    pickle.dump((kind, what), out)
    out.flush()


def _end_with_parent() -> None:
    sys.stdin.buffer.read()
    os._exit(0)


if __name__ == "__main__":
    main()
