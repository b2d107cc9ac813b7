"""From blanks needed and metal free to a cut plan: groups like blanks, solves, names pieces.

Pure: the solvers are handed in, so that a page can run them in a worker and a test can run them
at once. Wide blanks are planned first; what a group leaves of a bar, the next may use.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from shop.cutplan import (
    CutPlan,
    FreePiece,
    Need,
    Part,
    PlannedCut,
    PlannedPiece,
    PlannedRest,
    Shortage,
)
from shop.laying_sheets import lay_sheets
from stock.cutting.check import PlanFault, faults
from stock.cutting.plan import BarCase, BarPlan, OnHand, SheetCase, SheetPlan, Wanted, remnant_nm
from stock.matching import is_stock_for


@dataclass(frozen=True)
class Solvers:
    """The two solvers, with their limits already in them."""

    bars: Callable[[BarCase], BarPlan]
    sheets: Callable[[SheetCase], SheetPlan]


def checked_bars(case: BarCase, *, solve: Callable[[BarCase], BarPlan]) -> BarPlan:
    """What the solver answers, looked through by the checker that is not part of it."""
    plan = solve(case)
    if found := faults(case, plan):
        raise PlanFault(case.name, found)
    return plan


def fits_section(need: Need, piece: FreePiece) -> bool:
    """Whether a blank can come from a piece at all, lengths aside.

    Args:
        need: the blank.
        piece: the piece.

    Returns:
        True when alloy and thickness match, and a bar is as wide as the blank or a little more.

    Source:
        Tolerances in `stock.matching`; common practice.
    """
    if need.material_id is not None and piece.material_id != need.material_id:
        is_its_offcut = piece.form == "sheet" and piece.alloy == need.alloy
        if not is_its_offcut:
            return False
    return piece.alloy == need.alloy and is_stock_for(
        form=piece.form,
        thickness_nm=piece.thickness_nm,
        width_nm=piece.width_nm,
        wanted_thickness_nm=need.thickness_nm,
        wanted_width_nm=need.width_nm,
    )


def grouped(needs: Sequence[Need]) -> list[list[Need]]:
    """Blanks that the same pieces can give, wide ones first, in the order of the seats.

    Args:
        needs: blanks in the order of the seats.

    Returns:
        Groups of like alloy, thickness, width and stock.

    Source:
        Our own rule: what a wide blank needs, a narrow one can do without.
    """
    groups: dict[tuple[str, int, int, int], list[Need]] = defaultdict(list)
    for need in needs:
        key = (need.alloy, need.thickness_nm, need.width_nm, need.material_id or 0)
        groups[key].append(need)
    return [groups[key] for key in sorted(groups, key=lambda one: (one[0], -one[2], one[1]))]


def laid_out(
    needs: Sequence[Need], *, pieces: Sequence[FreePiece], kerf_nm: int, solvers: Solvers
) -> CutPlan:
    """A cut plan for all blanks over all free metal.

    Args:
        needs: blanks, in the order in which seats come first.
        pieces: what is free, each piece once.
        kerf_nm: the saw's, per cut [nm].
        solvers: for bars and for sheets.

    Returns:
        Parts with named pieces, and exactly what is short.

    Raises:
        Nothing: what does not fit is in `short`.

    Source:
        Our own; see `stock.cutting`.
    """
    free = {piece.piece_id: piece for piece in pieces}
    parts: list[Part] = []
    short: list[Shortage] = []
    for group in grouped(needs):
        found = [piece for piece in free.values() if fits_section(group[0], piece)]
        waiting: list[Need] = group
        bars = [piece for piece in found if piece.form == "flat"]
        if bars:
            part, waiting = lay_bars(group, bars=bars, kerf_nm=kerf_nm, solve=solvers.bars)
            parts += [part] if part.pieces else []
            use_up(free, part)
        flat_stock = [piece for piece in found if piece.form in ("roll", "sheet")]
        if waiting and flat_stock:
            laid, waiting = lay_sheets(waiting, pieces=flat_stock, solve=solvers.sheets)
            parts += laid
            for part in laid:
                use_up(free, part)
        if waiting:
            left = [piece for piece in free.values() if fits_section(group[0], piece)]
            short.append(shortage(waiting, found=found, left=left, kerf_nm=kerf_nm))
    seats = tuple(dict.fromkeys(need.seat_id for need in needs))
    return CutPlan(parts=tuple(parts), short=tuple(short), seats=seats)


def use_up(free: dict[int, FreePiece], part: Part) -> None:
    """Leave to the next group only what this part leaves.

    Args:
        free: free pieces by id; changed in place.
        part: a solved part of the plan.

    Source:
        Subtraction.
    """
    for planned in part.pieces:
        if planned.left_nm > 0:
            piece = free[planned.piece_id]
            free[planned.piece_id] = replace(piece, length_nm=planned.left_nm)
        else:
            del free[planned.piece_id]


def lay_bars(
    group: Sequence[Need],
    *,
    bars: Sequence[FreePiece],
    kerf_nm: int,
    solve: Callable[[BarCase], BarPlan],
) -> tuple[Part, list[Need]]:
    """Saw like blanks from bars; the blanks that no bar is left for come back."""
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
                need=need.key, width_nm=bar.width_nm, length_nm=need.length_nm,
                amount=amount, y_nm=start,
            )
        )  # fmt: skip
        start += amount
    is_scrap = 0 < left_nm < keep and not bar.is_shared
    rest = PlannedRest(
        width_nm=bar.width_nm, length_nm=left_nm, amount=left_nm, is_kept=False, y_nm=start
    )
    rests = (rest,) if is_scrap else ()
    return PlannedPiece(
        piece_id=bar.piece_id, mark=bar.mark, form="flat", place=bar.place,
        before_nm=bar.length_nm, width_nm=bar.width_nm, strip_nm=0, cuts=tuple(cuts),
        rests=rests, left_nm=0 if is_scrap else left_nm,
    )  # fmt: skip


def shortage(
    needs: Sequence[Need],
    *,
    found: Sequence[FreePiece],
    left: Sequence[FreePiece],
    kerf_nm: int,
) -> Shortage:
    """What is missing of one kind of blank, and the longest that the others leave of it."""
    first = needs[0]
    rolls = [piece for piece in found if piece.form == "roll"]
    bars = [piece for piece in found if piece.form == "flat"]
    if rolls and not bars:
        width = max(roll.width_nm for roll in rolls)
        across = max(1, width // first.width_nm)
        missing = -(-len(needs) // across) * max(need.length_nm for need in needs)
    else:
        width = 0
        missing = sum(need.length_nm + kerf_nm for need in needs)
    return Shortage(
        alloy=first.alloy, thickness_nm=first.thickness_nm, width_nm=first.width_nm,
        length_nm=max(need.length_nm for need in needs), count=len(needs), missing_nm=missing,
        needs=tuple(need.key for need in needs), roll_width_nm=width,
        largest_free_nm=max((piece.length_nm for piece in left), default=0),
    )  # fmt: skip


def seats_that_fit(
    needs: Sequence[Need], *, pieces: Sequence[FreePiece], kerf_nm: int, solvers: Solvers
) -> tuple[int, ...]:
    """The seats that can be planned, letting the last ones go until nothing is short.

    Args:
        needs: blanks in the order of the seats; the last seats are let go first.
        pieces: free metal.
        kerf_nm: the saw's, per cut [nm].
        solvers: as in `laid_out`.

    Returns:
        Seat ids; may be empty.

    Source:
        Our own: as many seats as fit when each needs the same; a search by halves.
    """
    seats = list(dict.fromkeys(need.seat_id for need in needs))
    low, high = 0, len(seats)
    while low < high:
        middle = (low + high + 1) // 2
        chosen = set(seats[:middle])
        tried = laid_out(
            [need for need in needs if need.seat_id in chosen],
            pieces=pieces, kerf_nm=kerf_nm, solvers=solvers,
        )  # fmt: skip
        low, high = (middle, high) if tried.is_whole else (low, middle - 1)
    return tuple(seats[:low])
