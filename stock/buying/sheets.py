"""How many packs of a roll or a sheet cover a need, by laying the pieces out on them.

Each need is covered from one kind of goods alone, a roll or sheets of one size: a mixture is
not tried. It leaves out prices.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from stock.buying.case import Goods, SheetNeed
from stock.cutting.plans.plan import Rectangle, SheetCase, SheetPlan

MOST_SHEETS = 40  # of one size tried for one need

LAYOUT_S = 1.0  # for one layout

Lay = Callable[[SheetCase], SheetPlan]


@dataclass(frozen=True)
class Laid:
    """Packs that cover the need, and the layout on them; `proved` for the least length of roll."""

    packs: int
    plan: SheetPlan


def shop_layout(case: SheetCase) -> SheetPlan:
    """The shop's own layout of a case.

    Args:
        case: pieces, and the roll or sheets they go on.

    Returns:
        The best layout found within LAYOUT_S seconds.
    """
    from stock.cutting.sheets import best

    return best.solve(case, limit_s=LAYOUT_S)


def laid_on(goods: Goods, need: SheetNeed, *, lay: Lay) -> Laid | None:
    """Lay all pieces of a need on one kind of goods.

    Args:
        goods: a roll, a roll by the length, or a sheet.
        need: the pieces.
        lay: finds a layout for a case.

    Returns:
        The fewest packs found to do, with the layout; None when a piece does not fit or more
        than MOST_SHEETS sheets would be needed.
    """
    if not all(_fits(piece, goods) for piece in need.pieces):
        return None
    if goods.form == "by-length":
        return _by_length(goods, need, lay)
    if goods.form == "roll":
        plan = lay(SheetCase(need.label, (goods.width_nm, goods.length_nm), (), need.pieces))
        if not plan.short:
            return Laid(1, plan)
    sheet = (goods.width_nm, goods.length_nm)
    fewest = max(1, -(-_area_nm2(need.pieces) // (sheet[0] * sheet[1])))
    for best in range(fewest, MOST_SHEETS + 1):
        plan = lay(SheetCase(need.label, None, (sheet,) * best, need.pieces))
        if not plan.short:
            return Laid(-(-best // goods.amount), plan)
    return None


def _by_length(goods: Goods, need: SheetNeed, lay: Lay) -> Laid | None:
    # a roll that surely suffices: all pieces one behind the other, the long way
    length_nm = sum(max(piece.length_nm, piece.width_nm) * piece.count for piece in need.pieces)
    plan = lay(SheetCase(need.label, (goods.width_nm, length_nm), (), need.pieces))
    if plan.short:
        return None
    packs = -(-plan.roll_length_nm // goods.length_nm)
    return Laid(max(packs, goods.fewest_packs), plan)


def _fits(piece: Rectangle, goods: Goods) -> bool:
    width, length = goods.width_nm, goods.length_nm
    is_endless = goods.form == "by-length"
    lies = piece.width_nm <= width and (is_endless or piece.length_nm <= length)
    turned = piece.length_nm <= width and (is_endless or piece.width_nm <= length)
    return lies or (piece.may_turn and turned)


def _area_nm2(pieces: Sequence[Rectangle]) -> int:
    return sum(piece.width_nm * piece.length_nm * piece.count for piece in pieces)
