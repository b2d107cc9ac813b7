"""Laying rectangles on sheet offcuts and the end of a roll, so that shears can cut them free.

Least roll first, then the most worth in what is left. Rules of thumb make a start; the search
over all guillotine layouts proves it best or betters it (exact.py) where there are few
pieces or few sizes; larger cases are bettered row by row (search.py), and a programme says
whether any row-and-column layout could be shorter (flow.py). It leaves out saws: no
kerf is charged.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from time import perf_counter

from stock.cutting.plans.plan import Progress, Report, SheetCase, SheetPlan
from stock.cutting.sheets.bounds import area_bound, sums_along
from stock.cutting.sheets.exact import Limits, best_layout
from stock.cutting.sheets.flow import price_bound
from stock.cutting.sheets.problem import Layout, Problem, problem_of
from stock.cutting.sheets.report import Known, plan_of
from stock.cutting.sheets.search import Improving, best_rows, fullest
from stock.cutting.sheets.shelves import chosen_rows

MARGIN = 0.93  # of the limit is searched; a step under way may take the rest
RULES_S = 0.15
OFFCUTS_S = 0.12  # for better offcuts once the length is proved
MOST_IN_VAIN = 8  # tries for better offcuts that brought none
PROOF_SHARE = 0.45  # of the limit, for the search that proves
ROWS_SHARE = 0.25  # of the limit, for each of the programmes
STALL_SHARE = 0.35  # of the limit without anything better ends the search
MOST_AT_ONCE = 36  # pieces that are searched together
QUICK = Limits(4_000, 3_000_000)  # a proof that is there at once, or not
FIRST_WIDTHS = (200, 600)  # blocks kept on each level, in the first searches over all pieces


def solve(case: SheetCase, *, limit_s: float, progress: Report | None = None) -> SheetPlan:
    """The best layout that the time allows, and what is proved of it.

    Args:
        case: roll, sheets and pieces [nm]; without a roll (None) only sheets are used.
        limit_s: time for the search [s], above 0.
        progress: told of each better plan, complete as it stands.

    Returns:
        The plan. Pieces that did not fit are its `short`; nothing raises for want of metal.
    """
    return _Solving(case, limit_s, progress).run()


class _Solving:
    def __init__(self, case: SheetCase, limit_s: float, progress: Report | None) -> None:
        self.case, self.limit_s, self.progress = case, limit_s, progress
        self.began = perf_counter()
        self.problem, self.unfit = problem_of(case)
        self.known = Known()
        self.better_at = self.began

    def run(self) -> SheetPlan:
        """Search, and once more over what fits when not all does."""
        best = self._searched(self.problem)
        if best.score[0] and self._goes_on():
            layout, certain = fullest(self.problem, best.layout, goes_on=self._until(0.5))
            best.offer(layout)
            self.known = Known(short_for_certain=certain)
        elif not best.score[0]:
            self.known = replace(self.known, short_for_certain=True)
        layout = best.layout
        if best.score[0]:
            cut = layout.counts(len(self.problem.kinds))
            layout = self._searched(self.problem.with_counts(cut), start=layout).layout
        return self._plan(layout)

    def _plan(self, layout: Layout) -> SheetPlan:
        return plan_of(
            self.case,
            self.problem,
            layout,
            known=self.known,
            unfit=self.unfit,
            seconds=perf_counter() - self.began,
        )

    def _goes_on(self) -> bool:
        return perf_counter() - self.began < self.limit_s * MARGIN

    def _seconds(self, share: float) -> float:
        """A share of the limit, or what is left of it."""
        left = self.began + self.limit_s * MARGIN - perf_counter()
        return max(0.02, min(self.limit_s * share, left))

    def _until(self, share: float, most_s: float = 1e9) -> Callable[[], bool]:
        """Goes on for a share of the limit, or so many seconds, from now."""
        now = perf_counter()
        end = min(now + min(self.limit_s * share, most_s), self.began + self.limit_s * MARGIN)
        return lambda: perf_counter() < end

    def _searched(self, problem: Problem, start: Layout | None = None) -> Improving:
        best = Improving(problem, on_better=self._report)
        if start:
            best.offer(start)
        best.try_plain_rules(self._until(0.25))
        if not problem.area:
            return best
        bound = max(area_bound(problem), price_bound(problem, goes_on=self._until(0.1)))
        self._learn(best, bound)
        if problem.width:
            self._shorten(best)
        elif best.score[0]:
            best.vary_rules(0, self._until(0.1))
        if not best.score[0]:
            self._better_offcuts(best)
        return best

    def _shorten(self, best: Improving) -> None:
        """Less roll, step by step, until it is proved least or the time is up."""
        for step in (
            self._quick_proof,
            self._rules,
            self._chosen_rows,
            self._first_search,
            self._proof,
            self._rows,
            self._some_anew,
        ):
            if self._is_proved(best) or not self._goes_on():
                return
            step(best)

    def _rules(self, best: Improving) -> None:
        goes_on = self._until(0.1, RULES_S)
        best.vary_rules(self.known.at_least, lambda: goes_on() and not self._is_proved(best))

    def _chosen_rows(self, best: Improving) -> None:
        if sum(best.problem.counts) < 2 * len(best.problem.kinds):
            return  # rows that can be cut only once are chosen better one by one
        goes_on = self._until(0.3)
        limit_s = self._seconds(ROWS_SHARE)
        found = chosen_rows(
            best.problem,
            best.layout,
            at_least=self.known.at_least,
            limit_s=limit_s,
            goes_on=goes_on,
        )
        if found is not None:
            best.offer(found)

    def _first_search(self, best: Improving) -> None:
        if sum(best.problem.counts) > MOST_AT_ONCE:
            return
        for per_level in FIRST_WIDTHS:
            if not self._is_proved(best):
                best.lay_all_anew(self.known.at_least, per_level, self._until(0.1))

    def _quick_proof(self, best: Improving) -> None:
        self._prove(best, QUICK, self._until(0.1))

    def _proof(self, best: Improving) -> None:
        self._prove(best, Limits(), self._until(PROOF_SHARE))

    def _prove(self, best: Improving, limits: Limits, goes_on: Callable[[], bool]) -> None:
        at_least = self.known.at_least
        found = best_layout(
            best.problem, best.layout, at_least=at_least, limits=limits, goes_on=goes_on
        )
        best.offer(found.layout)
        self._learn(best, found.at_least)

    def _rows(self, best: Improving) -> None:
        found = best_rows(best.problem, limit_s=self._seconds(ROWS_SHARE))
        if found is not None:
            best.offer(found.layout)
            self.known = replace(self.known, rows_at_least=found.at_least)

    def _some_anew(self, best: Improving) -> None:
        """Rows and sheets laid anew until nothing better has come for long."""
        self.better_at = perf_counter()
        per_level = 120
        while self._goes_on() and not self._is_proved(best):
            if perf_counter() - self.better_at > self.limit_s * STALL_SHARE:
                return
            best.lay_some_anew(per_level, self._goes_on)
            per_level = 120 + (per_level * 5) // 4 % 900

    def _better_offcuts(self, best: Improving) -> None:
        goes_on, in_vain = self._until(0.3, OFFCUTS_S), 0
        while goes_on() and best.score[2] and in_vain < MOST_IN_VAIN:
            before = best.score
            best.lay_some_anew(100, goes_on, equal_too=True)
            best.vary_rules(best.score[1], self._until(0.004, 0.004))
            in_vain = 0 if best.score < before else in_vain + 1

    def _is_proved(self, best: Improving) -> bool:
        return not best.score[0] and best.score[1] <= self.known.at_least

    def _learn(self, best: Improving, bound: int) -> None:
        """Keep the highest bound; only sums of sides can be a length."""
        bound = max(self.known.at_least, bound)
        limit = best.score[1] if not best.score[0] else bound
        if best.problem.width and bound <= limit:
            bound = sums_along(best.problem, limit).next(bound)
        self.known = replace(self.known, at_least=bound)

    def _report(self, layout: Layout) -> None:
        self.better_at = perf_counter()
        if self.progress:
            self.progress(Progress(self._plan(layout)))
