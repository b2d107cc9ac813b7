"""The best way to cut pieces from bars: least money first, then least worth lost by the rack.

The search runs in stages: the length that can be cut at all where the bars may not suffice, then
money, then worth. Each stage starts from the plan of the one before and ends with a plan and a
bound. Every plan is checked again in whole nanometres before it leaves.
It leaves out the search of one stage (branching.py) and the time limit's enforcement
(`stock.cutting.worker`).
"""

import time
from collections import Counter
from dataclasses import dataclass, field
from math import gcd

from stock.cutting.bars.bounds import least_cents, least_scaled_loss
from stock.cutting.bars.branching import search
from stock.cutting.bars.filling import Fillable, fillable
from stock.cutting.bars.first_packing import decreasing, first_fit_decreasing, first_packing
from stock.cutting.bars.knapsack import Table, table_within
from stock.cutting.bars.problem import Packing, Pattern, Problem, bar_lengths_nm, cut_bars, wanted
from stock.cutting.bars.search_state import Search
from stock.cutting.bars.stages import (
    MONEY_BITS,
    Stage,
    exact_bound,
    length_stage,
    money_stage,
    worth_stage,
)
from stock.cutting.plans.checks import certain, sound
from stock.cutting.plans.plan import BarCase, BarPlan, Progress, Report

TOLD_EVERY_S = 0.2
ROUNDS = 4


@dataclass
class Run:
    """One solve: its clock, the best packing, and what is known of every other plan."""

    case: BarCase
    started: float
    until: float
    report: Report | None
    short: Counter[int] = field(default_factory=Counter)
    pieces: Counter[int] = field(default_factory=Counter)
    problem: Problem | None = None
    packing: Packing = field(default_factory=Counter)
    length_is_proved: bool = True
    spent_at_least: int = 0
    scaled_loss_at_least: int | None = None  # None before the worth stage
    loss_is_proved: bool = False
    told_at: float = 0.0

    def share(self, part: float) -> float:
        """The moment when this part of the time that is left will be over."""
        now = time.monotonic()
        return now + part * max(0.0, self.until - now)

    def tell(self) -> None:
        """Report the best plan so far, not too often."""
        now = time.monotonic()
        if self.report and now - self.told_at >= TOLD_EVERY_S:
            self.told_at = now
            self.report(Progress(plan_so_far(self)))


def solve(case: BarCase, *, limit_s: float, progress: Report | None = None) -> BarPlan:
    """The best cut plan found within the limit, with bounds on every plan.

    Args:
        case: bars, offers and pieces [nm, cents].
        limit_s: seconds to search, above 0. The search looks at the clock between steps and may
            overshoot; `stock.cutting.worker` holds it to the limit.
        progress: called with each better plan, at most five times a second.

    Returns:
        A plan. Pieces that no bar holds are `short`. Where the bars on hand cannot hold all the
        rest and nothing on offer can, the pieces to cut are chosen first: the greatest total
        length (to a few parts in a thousand million), then the greatest number of pieces; what
        is left out is `short` too, and money and worth are then those of the best plan for the
        chosen pieces.
        Money is proved in exact integers save where HiGHS settles a node in floats; worth is
        proved to one part in ten million of the worth of the longest bar.

    Raises:
        BadCase: a length, a count, a price or the kerf is not what the dataclass says.

    Source:
        Gilmore and Gomory (1961), column generation for the cutting-stock problem; Farley
        (1990), bounds from any prices; both from memory.
    """
    now = time.monotonic()
    run = Run(sound(case), now, now + 0.95 * limit_s, progress)
    if progress:
        progress(Progress(first_fit_decreasing(case)))
    _set_aside_too_long(run)
    scarce = _cut_most(run)
    if run.pieces.total():
        table = table_within(case, run.pieces)
        fill = fillable(table.problem)
        run.problem = table.problem
        run.packing = decreasing(table.problem, _renamed(scarce, table.problem))
        _money_then_worth(run, table, fill)
    return plan_so_far(run)


def plan_so_far(run: Run) -> BarPlan:
    """The best plan of a run as it stands, checked against the case."""
    problem = run.problem
    seconds = time.monotonic() - run.started
    name, short = run.case.name, wanted(run.short)
    if problem is None:
        return certain(run.case, BarPlan(name, True, 0, 0, 0, 0, seconds, (), short))
    spent = sum(n * problem.groups[p.group].price_cents for p, n in run.packing.items())
    scaled = sum(n * problem.lost(p) for p, n in run.packing.items())
    loss = problem.worth.whole_nm(scaled)
    bound = run.scaled_loss_at_least
    if bound is None:
        bound = least_scaled_loss(problem, spent)
    least = loss if run.loss_is_proved else min(loss, problem.worth.whole_nm(bound))
    is_proved = run.length_is_proved and run.loss_is_proved and spent == run.spent_at_least
    bars = cut_bars(problem, run.packing)
    figures = (spent, run.spent_at_least, loss, least, seconds)
    plan = BarPlan(name, is_proved, *figures, bars, short, run.length_is_proved)
    return certain(run.case, plan)


def _set_aside_too_long(run: Run) -> None:
    """Pieces longer than every bar are short, whatever the plan."""
    longest = max(bar_lengths_nm(run.case), default=0)
    for piece in run.case.pieces:
        kind = run.pieces if piece.length_nm <= longest else run.short
        kind[piece.length_nm] += piece.count


def _cut_most(run: Run) -> list[tuple[int, tuple[int, ...]]]:
    """Choose among pieces that only bars on hand can give; the bars that give them.

    Pieces that some offer holds can always be bought and need no choice.
    """
    case = run.case
    longest = max((offer.length_nm for offer in case.offers), default=0)
    scarce = Counter({n: count for n, count in run.pieces.items() if n > longest and count})
    if not scarce:
        return []
    hand = BarCase(
        case.name, case.kerf_nm, case.keep_from_nm, case.reference_nm, case.on_hand, (), ()
    )
    table = table_within(hand, scarce)
    fill = fillable(table.problem)
    stage = length_stage(table)
    best = first_packing(fill, stage, decreasing(table.problem, Counter()), until=run.share(0.1))
    found = Search(table, stage, fill, best, run.share(0.6), bound=0)
    search(found)
    run.length_is_proved = found.is_proved
    bars = [(bar.length_nm, bar.cuts) for bar in cut_bars(table.problem, found.best)]
    uncut = Counter(scarce)
    uncut.subtract(n for _, cuts in bars for n in cuts)
    run.short += uncut
    run.pieces -= uncut
    return bars


def _renamed(bars: list[tuple[int, tuple[int, ...]]], problem: Problem) -> Packing:
    """Bars and their cuts [nm] as a packing of this problem."""
    groups = {group.length_nm: g for g, group in enumerate(problem.groups) if not group.is_offer}
    pieces = {length: i for i, length in enumerate(problem.lengths_nm)}
    packing: Packing = Counter()
    for length, cuts in bars:
        counts = Counter(pieces[n] for n in cuts)
        packing[Pattern(groups[length], tuple(sorted(counts.items())))] += 1
    return packing


def _money_then_worth(run: Run, table: Table, fill: Fillable) -> None:
    """Both stages, and again while time is left and the money is not proved."""
    for _ in range(ROUNDS):
        known = _spent(table.problem, run.packing)
        _spend_least(run, table, fill)
        spent = _spent(table.problem, run.packing)
        if spent < known or not run.loss_is_proved:
            _lose_least(run, table, fill)
        if spent <= run.spent_at_least or time.monotonic() >= run.until:
            return


def _spend_least(run: Run, table: Table, fill: Fillable) -> None:
    """The money stage: what must be bought at the very least."""
    problem = table.problem
    known = _spent(problem, run.packing)
    if known <= run.spent_at_least:
        return
    stage = money_stage(table, at_most=known)
    best = first_packing(fill, stage, run.packing, until=run.share(0.1))
    bound = least_cents(problem) << MONEY_BITS
    found = _search(run, table, stage, fill, best, until=run.share(0.5), bound=bound)
    step = gcd(*(group.price_cents for group in problem.groups)) or 1
    bound = -(-exact_bound(stage, found.bound) // step) * step
    run.spent_at_least = min(bound, _spent(problem, run.packing))


def _lose_least(run: Run, table: Table, fill: Fillable) -> None:
    """The worth stage: the rack after the cuts, for no more money."""
    budget = _spent(table.problem, run.packing)
    stage = worth_stage(table, budget=budget, bars=run.packing.total())
    best = first_packing(fill, stage, run.packing, until=run.share(0.1))
    bound = least_scaled_loss(table.problem, budget)
    run.scaled_loss_at_least = bound
    found = _search(run, table, stage, fill, best, until=run.until, bound=bound >> stage.shift)
    run.scaled_loss_at_least = exact_bound(stage, found.bound)
    run.loss_is_proved = found.is_proved


def _search(
    run: Run,
    table: Table,
    stage: Stage,
    fill: Fillable,
    best: Packing,
    *,
    until: float,
    bound: int,
) -> Search:
    """Search one stage and tell of every better packing on the way."""

    def tell(found: Search) -> None:
        run.packing = found.best
        _note_bound(run, found)
        run.tell()

    found = Search(table, stage, fill, best, until, tell=tell, bound=bound)
    tell(found)
    search(found)
    run.packing = found.best
    return found


def _note_bound(run: Run, found: Search) -> None:
    bound = exact_bound(found.stage, found.bound)
    if found.stage.name == "worth":
        run.scaled_loss_at_least = bound
    elif found.stage.name == "money":
        run.spent_at_least = max(
            run.spent_at_least, min(bound, _spent(found.table.problem, found.best))
        )


def _spent(problem: Problem, packing: Packing) -> int:
    return sum(n * problem.groups[p.group].price_cents for p, n in packing.items())
