"""Weighing offers in a process of its own: answers, limits, stopping, breaking."""

import time
from typing import Any

import pytest

from stock.buying.case import Break, BuyingCase, Goods, SheetNeed
from stock.buying.worker import Answer, BuyingBroke, NothingInTime, answered
from stock.buying.worker_process import answer
from stock.cutting.plans.plan import Rectangle
from tests.stock.buying_builders import ALDER, BIRCH, MM, make_bar, make_steel

pytestmark = pytest.mark.slow  # a process of the solver's own


def make_case() -> BuyingCase:
    """Nine pieces of 300 mm: three bars of 1 m, or two of 2 m from the dearer supplier."""
    return BuyingCase(
        (make_steel((300 * MM, 9)),),
        (
            make_bar("short", cents=2_000, length_nm=1_000 * MM),
            make_bar("long", cents=3_900, length_nm=2_000 * MM, supplier="Birch Supply"),
        ),
        (ALDER, BIRCH),
    )


def test_the_process_answers_with_the_cheapest_way_and_its_runners_up() -> None:
    told: list[Answer] = []

    found = answered(make_case(), limit_s=20, progress=told.append)

    assert found.is_final
    assert found.bought.best is not None
    assert found.bought.best.cents == 3 * 2_000 + 1_500
    assert "one-supplier" in {one.kind for one in found.choices}
    assert [one.bought.best.cents for one in told if one.bought.best] == [7_500]


def test_whoever_wants_the_best_so_far_gets_it_without_the_runners_up() -> None:
    found = answered(make_case(), limit_s=20, is_stopped=lambda: True)

    assert found.bought.best is not None
    assert found.bought.best.cents == 7_500


def test_the_limit_is_kept_when_there_is_no_answer_yet() -> None:
    # Two hundred lengths that share no step: far too much for a hundredth of a second.
    pieces = tuple((100 * MM + 7919 * n, 3) for n in range(200))
    goods = tuple(make_bar(f"b{n}", cents=900 + n, length_nm=(900 + n) * MM) for n in range(40))
    case = BuyingCase((make_steel(*pieces),), goods, (ALDER,))
    started = time.monotonic()

    with pytest.raises(NothingInTime, match=r"within 0\.05 s") as caught:
        answered(case, limit_s=0.05)

    assert caught.value.limit_s == 0.05
    assert time.monotonic() - started < 10


def test_a_process_that_breaks_gives_its_account() -> None:
    nonsense: Any = "no case"

    with pytest.raises(BuyingBroke, match="Weighing the offers broke") as caught:
        answered(nonsense, limit_s=20)

    assert "Traceback" in caught.value.details


def test_with_sheets_a_quick_layout_is_looked_at_again() -> None:
    # Two squares of 100 mm: one sheet of 100 x 200 mm for 800 beside delivery of 1 500.
    need = SheetNeed("copper", "copper", (Rectangle(100 * MM, 100 * MM, 2),))
    sheet = Goods(
        "sheet",
        "Alder Metals",
        "copper",
        "sheet",
        (Break(1, 800),),
        width_nm=100 * MM,
        length_nm=200 * MM,
    )
    told: list[Answer] = []

    found = answer(BuyingCase((need,), (sheet,), (ALDER,)), limit_s=5, tell=told.append)

    assert len(told) == 2
    assert found.bought.best is not None
    assert found.bought.best.cents == 2_300
