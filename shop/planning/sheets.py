"""Blanks from sheet offcuts and rolls: the sheet solver's layout with pieces named. Pure.

Sheet offcuts come first; then one roll after the other, the shortest that is there first, so
that ends are used up.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Sequence
from typing import TypeVar

from shop.planning.cut_plan import (
    FreePiece,
    Need,
    Part,
    PlannedCut,
    PlannedPiece,
    PlannedRest,
    Shear,
    is_worth_keeping,
)
from stock.cutting.plans.checks import PlanFault, faults
from stock.cutting.plans.plan import Cut, Left, Placed, Rectangle, SheetCase, SheetPlan

Row = TypeVar("Row", Placed, Left, Cut)


def lay_sheets(
    needs: Sequence[Need],
    *,
    pieces: Sequence[FreePiece],
    solve: Callable[[SheetCase], SheetPlan],
) -> tuple[list[Part], list[Need]]:
    """Shear like blanks from sheets and rolls; the blanks that nothing is left for come back.

    Args:
        needs: blanks of one alloy, thickness and stock.
        pieces: free sheets and rolls that can give them.
        solve: the sheet solver.

    Returns:
        Solved parts, and the blanks that nothing is left for.
    """
    sheets = [piece for piece in pieces if piece.form == "sheet"]
    rolls: list[FreePiece | None] = [
        *sorted((one for one in pieces if one.form == "roll"), key=lambda one: one.length_nm)
    ]
    parts: list[Part] = []
    waiting = list(needs)
    for roll in rolls or [None]:
        part, waiting = lay_one(waiting, sheets=sheets, roll=roll, solve=solve)
        parts += [part] if part.pieces else []
        used = {planned.piece_id for planned in part.pieces}
        sheets = [sheet for sheet in sheets if sheet.piece_id not in used]
        if not waiting:
            break
    return parts, waiting


def lay_one(
    needs: Sequence[Need],
    *,
    sheets: Sequence[FreePiece],
    roll: FreePiece | None,
    solve: Callable[[SheetCase], SheetPlan],
) -> tuple[Part, list[Need]]:
    """One case: all sheets and one roll."""
    first = needs[0]
    may_turn = not any(piece.grain_matters for piece in [*sheets, *([roll] if roll else [])])
    by_size: dict[tuple[int, int], list[Need]] = defaultdict(list)
    for need in needs:
        by_size[need.width_nm, need.length_nm].append(need)
    sizes = sorted(by_size, reverse=True)
    case = SheetCase(
        name=f"{first.alloy} {first.thickness_nm}",
        roll=(roll.width_nm, roll.length_nm) if roll else None,
        sheets=tuple((sheet.width_nm, sheet.length_nm) for sheet in sheets),
        pieces=tuple(
            Rectangle(width_nm=w, length_nm=le, count=len(by_size[w, le]), may_turn=may_turn)
            for w, le in sizes
        ),
    )
    plan = solve(case)
    if found := faults(case, plan):
        raise PlanFault(case.name, found)
    queues = [list(by_size[size]) for size in sizes]
    pieces = [
        named_sheet(plan, index=index, piece=sheet, queues=queues)
        for index, sheet in enumerate(sheets)
        if any(one.source == "sheet" and one.sheet == index for one in plan.placed)
    ]
    if roll and plan.roll_length_nm:
        pieces.append(named_sheet(plan, index=None, piece=roll, queues=queues))
    done = {cut.need for piece in pieces for cut in piece.cuts}
    part = Part(
        alloy=first.alloy,
        thickness_nm=first.thickness_nm,
        width_nm=first.width_nm,
        form="sheet",
        kerf_nm=0,
        proved=plan.proved,
        claim=plan.claim,
        gap=plan.gap,
        seconds=plan.seconds,
        pieces=tuple(pieces),
    )
    return part, [need for need in needs if need.key not in done]


def named_sheet(
    plan: SheetPlan, *, index: int | None, piece: FreePiece, queues: list[list[Need]]
) -> PlannedPiece:
    """One sheet, or the strip off a roll, with its blanks named and its rests sorted."""
    source = "roll" if index is None else "sheet"
    cuts = []
    for one in sorted(here(plan.placed, source, index), key=lambda one: (one.y_nm, one.x_nm)):
        need = queues[one.piece].pop(0)
        cuts.append(
            PlannedCut(
                need=need.key,
                width_nm=one.width_nm,
                length_nm=one.length_nm,
                amount=one.width_nm * one.length_nm,
                x_nm=one.x_nm,
                y_nm=one.y_nm,
            )
        )
    rests = [
        PlannedRest(
            width_nm=one.width_nm,
            length_nm=one.length_nm,
            amount=one.width_nm * one.length_nm,
            x_nm=one.x_nm,
            y_nm=one.y_nm,
            is_kept=is_worth_keeping(one, keep_from_nm=piece.keep_from_nm),
        )
        for one in here(plan.left, source, index)
    ]
    strip = plan.roll_length_nm if index is None else 0
    return PlannedPiece(
        piece_id=piece.piece_id,
        mark=piece.mark,
        form=piece.form,
        place=piece.place,
        before_nm=piece.length_nm,
        width_nm=piece.width_nm,
        strip_nm=strip,
        cuts=tuple(cuts),
        rests=tuple(rests),
        left_nm=piece.length_nm - strip if index is None else 0,
        shears=tuple(shear(cut) for cut in here(plan.cuts, source, index)),
    )


def shear(cut: Cut) -> Shear:
    """A cut of the solver as a plan keeps it."""
    return Shear(
        direction=cut.direction,
        at_nm=cut.at_nm,
        x_nm=cut.x_nm,
        y_nm=cut.y_nm,
        width_nm=cut.width_nm,
        length_nm=cut.length_nm,
        leaves=cut.leaves,
    )


def here(rows: Sequence[Row], source: str, index: int | None) -> list[Row]:
    """Those rows of a plan that lie on one sheet or on the strip."""
    return [row for row in rows if row.source == source and row.sheet == index]
