"""Better layouts from good ones: the rule of thumb varied, or some rows and sheets laid anew.

Both are random with a fixed seed, so the same case gets the same answer where time allows. It
leaves out proofs.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from random import Random

from stock.cutting.sheets.bounds import area_bound
from stock.cutting.sheets.cuts import Score, score
from stock.cutting.sheets.exact import Limits, best_layout
from stock.cutting.sheets.flow import Column, Home, ProgrammeTooLargeError, Row, RowFlow
from stock.cutting.sheets.problem import Block, Counts, Layout, Problem, joined, renumbered, single
from stock.cutting.sheets.shelves import Rule, filled, plain_rules, varied

Going = Callable[[], bool]
SEED = 1
FEWEST_AT_ONCE, MOST_AT_ONCE = 5, 15  # rectangles laid anew in one go
MOST_KINDS = 30  # distinct rectangles that one search can hold


class Improving:
    """The best layout so far of one problem, and ways to better it."""

    def __init__(self, problem: Problem, *, on_better: Callable[[Layout], None]) -> None:
        self.problem, self.on_better = problem, on_better
        self.rng = Random(SEED)
        self.layout = Layout(None, (None,) * len(problem.sheets))
        self.score: Score = score(problem, self.layout)
        self.rule: Rule | None = None
        self.rule_score = self.score

    def offer(self, layout: Layout) -> bool:
        """Take the layout if it is better; whether it was."""
        found = score(self.problem, layout)
        if found >= self.score or layout.strip_length > self.problem.reach:
            return False
        self.layout, self.score = layout, found
        self.on_better(layout)
        return True

    def try_plain_rules(self, goes_on: Going) -> None:
        """The rules of the trade, one after another."""
        for rule in plain_rules(self.problem):
            self._try(rule)
            if not goes_on():
                return

    def vary_rules(self, at_least: int, goes_on: Going) -> None:
        """Small changes of the best rule, kept when they do not make it worse."""
        while self.rule and goes_on():
            strip = max(at_least, self.score[1] - (self.rng.random() < 0.7), 1)
            self._try(varied(self.rule, self.problem, self.rng, strip=strip))

    def _try(self, rule: Rule) -> None:
        layout = filled(self.problem, rule)
        found = score(self.problem, layout)
        if self.rule is None or found <= self.rule_score:
            self.rule, self.rule_score = rule, found
        self.offer(layout)

    def lay_all_anew(self, at_least: int, per_level: int, goes_on: Going) -> None:
        """Search over all rectangles at once, the most promising blocks only."""
        limits = Limits(per_level, per_level * 200_000, must_prove=False)
        found = best_layout(
            self.problem, self.layout, at_least=at_least, limits=limits, goes_on=goes_on
        )
        self.offer(found.layout)

    def lay_some_anew(self, per_level: int, goes_on: Going, *, equal_too: bool = False) -> bool:
        """Search over a few rows and sheets; whether that made the layout better."""
        sheets, rows = self._chosen_sheets(), self._rows()
        self.rng.shuffle(rows)
        most = self.rng.randint(FEWEST_AT_ONCE, MOST_AT_ONCE)
        inside = [block for sheet in sheets if (block := self.layout.sheets[sheet])]
        taken = self._some(rows, most - sum(len(block.kinds) for block in inside))
        kept = rows[len(taken) :]
        counts = self._sum([*inside, *taken], with_short=True)
        if sum(counts) < 2 or sum(n > 0 for n in counts) > MOST_KINDS:
            return False
        reach = self.problem.reach - sum(row.length for row in kept)
        part, numbers = self.problem.part(counts, reach=reach, sheets=sheets)
        old = self._renumbered_down(taken, sheets, numbers)
        limits = Limits(per_level, per_level * 100_000, equal_too, must_prove=False)
        found = best_layout(
            part, old, at_least=area_bound(part), limits=limits, goes_on=goes_on
        ).layout
        return self.offer(self._put_back(found, numbers, sheets, kept))

    def _rows(self) -> list[Block]:
        strip = self.layout.strip
        if strip is None:
            return []
        return list(strip.parts) if strip.axis == "y" else [strip]

    def _chosen_sheets(self) -> list[int]:
        n = min(len(self.problem.sheets), self.rng.choice((0, 1, 1, 2)))
        return self.rng.sample(range(len(self.problem.sheets)), n)

    @staticmethod
    def _some(rows: list[Block], most: int) -> list[Block]:
        """The first rows, at least one, with no more rectangles than this."""
        taken, n = 0, 0
        for row in rows:
            n += len(row.kinds)
            if taken and n > most:
                break
            taken += 1
        return rows[:taken]

    def _sum(self, blocks: list[Block], *, with_short: bool) -> Counts:
        n_kinds = len(self.problem.kinds)
        found = [0] * n_kinds
        if with_short:
            cut = self.layout.counts(n_kinds)
            found = [n - m for n, m in zip(self.problem.counts, cut, strict=True)]
        for block in blocks:
            for kind in block.kinds:
                found[kind] += 1
        return tuple(found)

    def _renumbered_down(
        self, rows: list[Block], sheets: list[int], numbers: tuple[int, ...]
    ) -> Layout:
        down = [0] * len(self.problem.kinds)
        for small, large in enumerate(numbers):
            down[large] = small
        strip = renumbered(joined("y", rows), down) if rows else None
        blocks = (self.layout.sheets[sheet] for sheet in sheets)
        return Layout(strip, tuple(renumbered(block, down) if block else None for block in blocks))

    def _put_back(
        self, found: Layout, numbers: tuple[int, ...], sheets: list[int], kept: list[Block]
    ) -> Layout:
        rows = [*kept, *([renumbered(found.strip, numbers)] if found.strip else [])]
        blocks = list(self.layout.sheets)
        for sheet, block in zip(sheets, found.sheets, strict=True):
            blocks[sheet] = renumbered(block, numbers) if block else None
        return Layout(joined("y", rows) if rows else None, tuple(blocks))


def fullest(problem: Problem, start: Layout, *, goes_on: Going) -> tuple[Layout, bool]:
    """The layout that holds the greatest area where not all fits, and whether that is proved.

    The end of the roll counts as one more sheet, which is all that is left of it.
    """
    sheets = (*problem.sheets, *([(problem.width, problem.reach)] if problem.width else []))
    flat = replace(problem, width=0, reach=0, sheets=sheets)
    before = (*start.sheets, *([start.strip] if problem.width else []))
    found = best_layout(
        flat, Layout(None, before), at_least=0, limits=Limits(20_000, 10**8), goes_on=goes_on
    )
    blocks = found.layout.sheets
    if not problem.width:
        return found.layout, found.is_best
    return Layout(blocks[-1], blocks[:-1]), found.is_best


@dataclass(frozen=True)
class BestRows:
    """The best row-and-column layout found, and what is known of all others."""

    layout: Layout
    at_least: int  # roll length [units] of every row-and-column layout


def best_rows(problem: Problem, *, limit_s: float) -> BestRows | None:
    """Find the row-and-column layout that takes the least roll.

    Args:
        problem: with a roll.
        limit_s: time for both programmes together [s].

    Returns:
        The layout, and what no other row-and-column layout can go below; None where the
        programme would be too large or found no layout in time.

    Source:
        Arc flow: J. M. Valério de Carvalho, "Exact solution of bin-packing problems using
        column generation and branch-and-bound", Annals of Operations Research 86 (1999); its
        use in stages: R. Macedo, C. Alves and J. M. Valério de Carvalho, "Arc-flow model for
        the two-dimensional guillotine cutting stock problem", Computers & Operations Research
        37 (2010). Both from memory.
    """
    homes = _homes(problem)
    rows = _greedy(problem)
    at_least = 0
    for stacks, share in ((False, 0.3), (True, 0.7)):
        try:
            flow = RowFlow(problem, homes, stacks=stacks)
        except ProgrammeTooLargeError:
            return None
        solved = flow.solved(rows, limit_s=limit_s * share)
        if solved is None:
            return None
        rows, at_least = solved
    return BestRows(_layout(problem, rows), at_least)


def _homes(problem: Problem) -> list[Home]:
    """The roll, and each sheet cut into rows in each direction."""
    homes = [Home(None, False, problem.width, problem.reach)]
    for index, (width, length) in enumerate(problem.sheets):
        homes += [Home(index, False, width, length), Home(index, True, length, width)]
    return homes


def _greedy(problem: Problem) -> list[Row]:
    """Rows on the roll alone, each opened by the longest rectangle that is left."""
    left = list(problem.counts)
    ways = sorted(
        ((i, *way) for i, kind in enumerate(problem.kinds) for way in kind.ways),
        key=lambda way: (-way[2], -way[1]),
    )
    fitting = [way for way in ways if way[1] <= problem.width and way[2] <= problem.reach]
    rows: list[Row] = []
    for kind, width, length in fitting:
        while left[kind]:
            left[kind] -= 1
            columns, room = [Column(width, ((kind, width, length),))], problem.width - width
            for other in fitting:
                while left[other[0]] and other[1] <= room and other[2] <= length:
                    left[other[0]] -= 1
                    columns.append(Column(other[1], (other,)))
                    room -= other[1]
            rows.append(Row(0, length, tuple(columns)))
    return rows


def _layout(problem: Problem, rows: Sequence[Row]) -> Layout:
    """The rows put together, without what they cut beyond what is asked."""
    left = list(problem.counts)
    homes = _homes(problem)
    found: dict[int | None, list[Block]] = {}
    for row in sorted(rows, key=lambda row: row.home == 0):
        home = homes[row.home]
        block = _row_block(row, left, is_turned=home.is_turned)
        if block is not None:
            found.setdefault(home.sheet, []).append(block)
    turned = {homes[row.home].sheet for row in rows if homes[row.home].is_turned}
    blocks = {
        sheet: joined("x" if sheet in turned else "y", parts) for sheet, parts in found.items()
    }
    return Layout(blocks.get(None), tuple(blocks.get(s) for s in range(len(problem.sheets))))


def _row_block(row: Row, left: list[int], *, is_turned: bool) -> Block | None:
    """One row as a block; a turned one lies along the sheet."""
    across, along = ("y", "x") if is_turned else ("x", "y")
    columns: list[Block] = []
    for column in row.columns:
        stack: list[Block] = []
        for kind, width, length in column.stack:
            if left[kind]:
                left[kind] -= 1
                stack.append(single(kind, (length, width) if is_turned else (width, length)))
        if stack:
            columns.append(joined(along, stack))
    return joined(across, columns) if columns else None
