"""Blanks from bars: the bar solver's cuts with bars and blanks named. Pure.

Bars of one length are alike to the solver; here each gets its mark, nearest place first.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Sequence

from shop.planning.cut_plan import FreePiece, Need, Part, PlannedCut, PlannedPiece, PlannedRest
from stock.cutting.plans.checks import PlanFault, faults
from stock.cutting.plans.plan import BarCase, BarPlan, OnHand, Wanted, remnant_nm


def checked_bars(case: BarCase, *, solve: Callable[[BarCase], BarPlan]) -> BarPlan:
    """What the solver answers, looked through by the checker that is not part of it."""
    plan = solve(case)
    if found := faults(case, plan):
        raise PlanFault(case.name, found)
    return plan


def lay_bars(
    group: Sequence[Need],
    *,
    bars: Sequence[FreePiece],
    kerf_nm: int,
    solve: Callable[[BarCase], BarPlan],
) -> tuple[Part, list[Need]]:
    """Saw like blanks from bars; the blanks that no bar is left for come back.

    Args:
        group: blanks of one alloy, thickness, width and stock.
        bars: free bars that can give them.
        kerf_nm: the saw's, per cut [nm].
        solve: the bar solver.

    Returns:
        The solved part, and the blanks that no bar is left for.
    """
    first = group[0]
    keep_from_nm = max(bar.keep_from_nm for bar in bars)
    case = BarCase(
        name=f"{first.alloy} {first.thickness_nm}x{first.width_nm}",
        kerf_nm=kerf_nm,
        keep_from_nm=keep_from_nm,
        reference_nm=max(bar.length_nm for bar in bars),
        on_hand=tuple(
            OnHand(length_nm=length, count=count) for length, count in counted(bars, "length_nm")
        ),
        offers=(),
        pieces=tuple(
            Wanted(length_nm=length, count=count) for length, count in counted(group, "length_nm")
        ),
    )
    plan = checked_bars(case, solve=solve)
    pieces = name_bars(plan, group=group, bars=bars, kerf_nm=kerf_nm, keep_from_nm=keep_from_nm)
    done = {cut.need for piece in pieces for cut in piece.cuts}
    part = Part(
        alloy=first.alloy,
        thickness_nm=first.thickness_nm,
        width_nm=first.width_nm,
        form="bar",
        kerf_nm=kerf_nm,
        proved=plan.proved,
        claim=bar_claim(plan),
        gap=plan.gap,
        seconds=plan.seconds,
        pieces=tuple(pieces),
    )
    return part, [need for need in group if need.key not in done]


def bar_claim(plan: BarPlan) -> str:
    """What is known of a bar plan, in words."""
    if plan.proved:
        return "Proved best: no plan leaves a more useful rack."
    return f"Within {100 * plan.gap:.1f} % of the best that is possible."


def counted(rows: Sequence[Need] | Sequence[FreePiece], name: str) -> list[tuple[int, int]]:
    """Each value of a field once, longest first, with how often it comes."""
    times: dict[int, int] = defaultdict(int)
    for row in rows:
        times[getattr(row, name)] += 1
    return sorted(times.items(), reverse=True)


def name_bars(
    plan: BarPlan,
    *,
    group: Sequence[Need],
    bars: Sequence[FreePiece],
    kerf_nm: int,
    keep_from_nm: int,
) -> list[PlannedPiece]:
    """Give each bar of a plan its mark and each cut its blank, one seat's close together."""
    waiting: dict[int, list[Need]] = defaultdict(list)
    for need in group:
        waiting[need.length_nm].append(need)
    racked: dict[int, list[FreePiece]] = defaultdict(list)
    for bar in sorted(bars, key=lambda one: (one.place, one.mark)):
        racked[bar.length_nm].append(bar)
    named = []
    for bar_plan in plan.bars:
        bar = racked[bar_plan.length_nm].pop(0)
        needs = [waiting[length].pop(0) for length in bar_plan.cuts]
        left = remnant_nm(length_nm=bar.length_nm, cuts=bar_plan.cuts, kerf_nm=kerf_nm)
        named.append(
            planned_bar(bar, needs=needs, left_nm=left, kerf_nm=kerf_nm, keep=keep_from_nm)
        )
    return named


def planned_bar(
    bar: FreePiece, *, needs: Sequence[Need], left_nm: int, kerf_nm: int, keep: int
) -> PlannedPiece:
    """One bar with its cuts from the end; a short end is scrap."""
    cuts, start = [], 0
    for need in needs:
        amount = min(need.length_nm + kerf_nm, bar.length_nm - start)
        cuts.append(
            PlannedCut(
                need=need.key,
                width_nm=bar.width_nm,
                length_nm=need.length_nm,
                amount=amount,
                y_nm=start,
            )
        )
        start += amount
    is_scrap = 0 < left_nm < keep and not bar.is_shared
    rest = PlannedRest(
        width_nm=bar.width_nm, length_nm=left_nm, amount=left_nm, is_kept=False, y_nm=start
    )
    rests = (rest,) if is_scrap else ()
    return PlannedPiece(
        piece_id=bar.piece_id,
        mark=bar.mark,
        form="flat",
        place=bar.place,
        before_nm=bar.length_nm,
        width_nm=bar.width_nm,
        strip_nm=0,
        cuts=tuple(cuts),
        rests=rests,
        left_nm=0 if is_scrap else left_nm,
    )
