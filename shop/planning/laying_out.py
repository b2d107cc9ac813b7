"""From blanks needed and metal free to a cut plan: groups like blanks, solves, names pieces.

Pure: the solvers are handed in, so that a page can run them in a worker and a test can run them
at once. Wide blanks are planned first; what a group leaves of a bar, the next may use.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from shop.planning.bars import lay_bars
from shop.planning.cut_plan import CutPlan, FreePiece, Need, Part, Shortage
from shop.planning.sheets import lay_sheets
from stock.cutting.plans.plan import BarCase, BarPlan, Plan, SheetCase, SheetPlan
from stock.materials.matching import is_stock_for

MOST_KINDS = 6  # unlike seats that are looked through for those that fit


@dataclass(frozen=True)
class Solvers:
    """The two solvers, with their limits already in them."""

    bars: Callable[[BarCase], BarPlan]
    sheets: Callable[[SheetCase], SheetPlan]


def both_by(solved: Callable[[BarCase | SheetCase], Plan]) -> Solvers:
    """One solver that takes either case, as the two that a layout asks for.

    Args:
        solved: plans a case of bars or of sheets.

    Returns:
        Solvers that both ask it.
    """

    def bars(case: BarCase) -> BarPlan:
        plan = solved(case)
        assert isinstance(plan, BarPlan)
        return plan

    def sheets(case: SheetCase) -> SheetPlan:
        plan = solved(case)
        assert isinstance(plan, SheetPlan)
        return plan

    return Solvers(bars=bars, sheets=sheets)


def fits_section(need: Need, piece: FreePiece) -> bool:
    """Whether a blank can come from a piece at all, lengths aside.

    Args:
        need: the blank.
        piece: the piece.

    Returns:
        True when alloy and thickness match, and a bar is as wide as the blank or a little more.

    Source:
        Tolerances in `stock.materials.matching`; common practice.
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
    """
    for planned in part.pieces:
        if planned.left_nm > 0:
            piece = free[planned.piece_id]
            free[planned.piece_id] = replace(piece, length_nm=planned.left_nm)
        else:
            del free[planned.piece_id]


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
        alloy=first.alloy,
        thickness_nm=first.thickness_nm,
        width_nm=first.width_nm,
        length_nm=max(need.length_nm for need in needs),
        count=len(needs),
        missing_nm=missing,
        needs=tuple(need.key for need in needs),
        roll_width_nm=width,
        largest_free_nm=max((piece.length_nm for piece in left), default=0),
    )


def seats_that_fit(
    needs: Sequence[Need], *, pieces: Sequence[FreePiece], kerf_nm: int, solvers: Solvers
) -> tuple[int, ...]:
    """The seats that can be planned, letting go of the last ones and of what never fits.

    Args:
        needs: blanks in the order of the seats; the last seats are let go first.
        pieces: free metal.
        kerf_nm: the saw's, per cut [nm].
        solvers: as in `laid_out`.

    Returns:
        Seat ids; may be empty.
    """
    wants: dict[int, list[Need]] = defaultdict(list)
    for need in needs:
        wants[need.seat_id].append(need)
    waiting, chosen = list(wants), list[int]()

    def fit(seats: Sequence[int]) -> bool:
        wanted = [need for need in needs if need.seat_id in seats]
        return laid_out(wanted, pieces=pieces, kerf_nm=kerf_nm, solvers=solvers).is_whole

    for _ in range(MOST_KINDS):
        count = longest_start(waiting, chosen=chosen, fit=fit)
        chosen += waiting[:count]
        passed_over = waiting[count : count + 1]
        if not passed_over:
            break
        kind = kind_of(wants[passed_over[0]])
        waiting = [seat for seat in waiting[count:] if kind_of(wants[seat]) != kind]
    return tuple(seat for seat in wants if seat in set(chosen))


def longest_start(
    seats: Sequence[int], *, chosen: Sequence[int], fit: Callable[[Sequence[int]], bool]
) -> int:
    """How many of the first seats fit together with those that are chosen, found by halves.

    Args:
        seats: in their order.
        chosen: seats that are in already.
        fit: whether these fit; with more of them it is never easier.

    Returns:
        From 0 to all of them.
    """
    low, high = 0, len(seats)
    while low < high:
        middle = (low + high + 1) // 2
        low, high = (middle, high) if fit([*chosen, *seats[:middle]]) else (low, middle - 1)
    return low


def kind_of(needs: Sequence[Need]) -> tuple[Need, ...]:
    """What a seat needs, whoever sits there: alike for seats that can stand for one another.

    Args:
        needs: the blanks of one seat.

    Returns:
        The same blanks without the seat.
    """
    return tuple(replace(need, seat_id=0) for need in needs)
