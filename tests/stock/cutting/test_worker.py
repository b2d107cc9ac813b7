"""The worker process: same plans as in this process, held to the limit, best so far kept."""

import time

import pytest

from stock.cutting import worker
from stock.cutting.bench.cases import made_cases
from stock.cutting.plans.checks import BadCase, faults
from stock.cutting.plans.plan import (
    BarCase,
    BarPlan,
    Offer,
    OnHand,
    Progress,
    Rectangle,
    SheetCase,
    SheetPlan,
    Wanted,
)

pytestmark = pytest.mark.slow  # a process of the solver's own

MM = 1_000_000
EASY = BarCase(
    name="easy",
    kerf_nm=2 * MM,
    keep_from_nm=50 * MM,
    reference_nm=3000 * MM,
    on_hand=(OnHand(650 * MM, 1),),
    offers=(Offer(3000 * MM, 2700),),
    pieces=(Wanted(200 * MM, 3), Wanted(150 * MM, 2)),
)


def hard_case() -> BarCase:
    """Thousands of different lengths: nothing that could be proved in seconds."""
    pieces = tuple(Wanted(80 * MM + 399_989 * i, 3) for i in range(1500))
    return BarCase("hard", 1_600_001, 50 * MM, 0, (), (Offer(6000 * MM, 5000),), pieces)


@pytest.fixture(autouse=True)
def warm_worker() -> None:
    worker.warm()


def test_bars_are_solved_in_the_worker() -> None:
    plan = worker.solved(EASY, limit_s=20)

    assert isinstance(plan, BarPlan)
    assert faults(EASY, plan) == ()
    # Three of 200 need 604 of the 650; the two of 150 must be bought.
    assert (plan.spent_cents, plan.proved) == (2700, True)


def test_sheets_are_solved_in_the_worker() -> None:
    case = SheetCase("strip", (100 * MM, 900 * MM), (), (Rectangle(50 * MM, 80 * MM, 4),))

    plan = worker.solved(case, limit_s=20)

    assert isinstance(plan, SheetPlan)
    assert faults(case, plan) == ()
    assert plan.roll_length_nm == 160 * MM


def test_one_process_answers_case_after_case() -> None:
    cases = made_cases(3, seed=4, pieces=(10, 20))

    names = [worker.solved(case, limit_s=20).name for case in cases]

    assert names == ["made-4-0", "made-4-1", "made-4-2"]


def test_a_hard_case_ends_at_its_limit_with_the_best_so_far() -> None:
    case = hard_case()
    started = time.monotonic()

    plan = worker.solved(case, limit_s=2)

    took = time.monotonic() - started
    assert took < 10  # a generous margin for a busy machine; the limit is 2 s
    assert isinstance(plan, BarPlan)
    assert faults(case, plan) == ()
    assert not plan.proved
    assert plan.spent_at_least <= plan.spent_cents


def test_stopping_hands_back_the_best_so_far() -> None:
    case = hard_case()
    told: list[Progress] = []

    plan = worker.solved(case, limit_s=60, progress=told.append, is_stopped=lambda: len(told) > 0)

    assert told
    assert isinstance(plan, BarPlan)
    assert faults(case, plan) == ()
    assert plan.bars


def test_after_a_stop_the_next_case_is_answered() -> None:
    worker.solved(hard_case(), limit_s=60, is_stopped=lambda: True)

    plan = worker.solved(EASY, limit_s=20)

    assert plan.proved


def test_a_case_that_makes_no_sense_is_refused_at_once() -> None:
    case = BarCase("bad", -1, 0, 0, (), (), (Wanted(5, 1),))

    with pytest.raises(BadCase, match="The kerf is -1"):
        worker.solved(case, limit_s=20)


def test_a_process_that_dies_is_said_to_be_broken(monkeypatch: pytest.MonkeyPatch) -> None:
    started = worker._started()
    started.process.kill()
    started.process.wait()
    monkeypatch.setattr(worker, "_taken", lambda: started)

    with pytest.raises(worker.SolverBroke, match="Planning easy broke: the process ended"):
        worker.solved(EASY, limit_s=20)
