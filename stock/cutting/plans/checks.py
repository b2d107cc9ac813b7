"""Is a cut plan right? Worked out again from the case alone, in whole numbers.

Nothing here uses what the solvers use, so that a mistake there cannot hide here. It says what is
wrong in sentences; it says nothing about whether a better plan exists.
Exceptions: BadCase (what was asked makes no sense), PlanFault (the answer is wrong).
"""

from collections import Counter
from collections.abc import Iterable
from fractions import Fraction

from stock.cutting.plans.plan import (
    BarCase,
    BarPlan,
    Case,
    CutBar,
    Left,
    Placed,
    Plan,
    SheetCase,
    SheetPlan,
)

Box = tuple[int, int, int, int]  # left, bottom, right, top [nm]
Where = tuple[str, int | None]  # source, sheet


def sheet_faults(case: SheetCase, plan: SheetPlan) -> tuple[str, ...]:
    """Everything that is wrong with a layout, one sentence each.

    Args:
        case: roll, sheets and pieces [nm].
        plan: the layout.

    Returns:
        Sentences; empty when the layout can be sheared as it stands and its figures are right.
    """
    return (
        *_size_faults(case, plan),
        *_count_faults(case, plan),
        *_place_faults(case, plan),
        *_sheet_figure_faults(case, plan),
    )


def _size_faults(case: SheetCase, plan: SheetPlan) -> list[str]:
    found = []
    for number, placed in enumerate(plan.placed):
        if not 0 <= placed.piece < len(case.pieces):
            found.append(f"Placed {number} is piece {placed.piece}, which is not asked for.")
            continue
        piece = case.pieces[placed.piece]
        size = (placed.width_nm, placed.length_nm)
        turned = (piece.length_nm, piece.width_nm)
        if size == turned and size != turned[::-1] and not piece.may_turn:
            found.append(f"Placed {number} is turned, and piece {placed.piece} may not turn.")
        elif size not in (turned, turned[::-1]):
            found.append(
                f"Placed {number} is {size[0]} × {size[1]} nm; piece {placed.piece} is "
                f"{piece.width_nm} × {piece.length_nm} nm."
            )
    return found


def _count_faults(case: SheetCase, plan: SheetPlan) -> list[str]:
    wanted: Counter[tuple[int, int, bool]] = Counter()
    for piece in case.pieces:
        wanted[piece.width_nm, piece.length_nm, piece.may_turn] += piece.count
    got: Counter[tuple[int, int, bool]] = Counter()
    for placed in plan.placed:
        if 0 <= placed.piece < len(case.pieces):
            piece = case.pieces[placed.piece]
            got[piece.width_nm, piece.length_nm, piece.may_turn] += 1
    for short in plan.short:
        got[short.width_nm, short.length_nm, short.may_turn] += short.count
    return [
        f"{wanted[key]} pieces of {key[0]} × {key[1]} nm are wanted; "
        f"{got[key]} are placed or said to be short."
        for key in sorted(wanted.keys() | got.keys())
        if wanted[key] != got[key]
    ]


def _place_faults(case: SheetCase, plan: SheetPlan) -> list[str]:
    found = []
    placed, left = _by_place(plan.placed), _by_place(plan.left)
    for where in sorted(placed.keys() | left.keys(), key=str):
        outer = _outer(case, plan, where)
        if outer is None:
            found.append(f"{_name(where)} is not in the case.")
            continue
        boxes = placed.get(where, []) + left.get(where, [])
        found += [
            f"{_name(where)}: {box} lies outside." for box in boxes if _is_outside(box, outer)
        ]
        overlap = _overlap(boxes)
        if overlap:
            found.append(f"{_name(where)}: {overlap[0]} and {overlap[1]} overlap.")
        elif not _comes_apart(placed.get(where, [])):
            found.append(f"{_name(where)}: no straight cut from edge to edge takes it apart.")
    return found


def _by_place(items: Iterable[Placed | Left]) -> dict[Where, list[Box]]:
    boxes: dict[Where, list[Box]] = {}
    for item in items:
        box = (item.x_nm, item.y_nm, item.x_nm + item.width_nm, item.y_nm + item.length_nm)
        boxes.setdefault((item.source, item.sheet), []).append(box)
    return boxes


def _outer(case: SheetCase, plan: SheetPlan, where: Where) -> tuple[int, int] | None:
    """Width and length of a sheet, or of the strip taken from the roll."""
    source, sheet = where
    if source == "roll" and sheet is None and case.roll is not None:
        return case.roll[0], plan.roll_length_nm
    if source == "sheet" and sheet is not None and 0 <= sheet < len(case.sheets):
        return case.sheets[sheet]
    return None


def _name(where: Where) -> str:
    return "The roll" if where[0] == "roll" else f"Sheet {where[1]}"


def _is_outside(box: Box, outer: tuple[int, int]) -> bool:
    left, bottom, right, top = box
    is_inside = 0 <= left < right <= outer[0] and 0 <= bottom < top <= outer[1]
    return not is_inside


def _overlap(boxes: list[Box]) -> tuple[Box, Box] | None:
    ordered = sorted(boxes)
    for i, one in enumerate(ordered):
        for other in ordered[i + 1 :]:
            if other[0] >= one[2]:
                break
            if one[1] < other[3] and other[1] < one[3]:
                return one, other
    return None


def _comes_apart(boxes: list[Box]) -> bool:
    """Whether cuts from edge to edge separate all boxes; any cut that is possible is safe."""
    waiting = [boxes]
    while waiting:
        group = waiting.pop()
        if len(group) < 2:
            continue
        parts = _cut(group, low=0, high=2) or _cut(group, low=1, high=3)
        if parts is None:
            return False
        waiting += parts
    return True


def _cut(boxes: list[Box], *, low: int, high: int) -> list[list[Box]] | None:
    """The strips between the straight cuts across one axis, if there is a cut at all."""
    parts: list[list[Box]] = []
    reached: int | None = None
    for box in sorted(boxes, key=lambda box: box[low]):
        if reached is None or box[low] >= reached:
            parts.append([])
        parts[-1].append(box)
        reached = box[high] if reached is None else max(reached, box[high])
    return parts if len(parts) > 1 else None


def _sheet_figure_faults(case: SheetCase, plan: SheetPlan) -> list[str]:
    found = []
    ends = [p.y_nm + p.length_nm for p in plan.placed if p.source == "roll"]
    if plan.roll_length_nm != max(ends, default=0):
        found.append(
            f"The pieces take {max(ends, default=0)} nm of the roll; "
            f"the plan says {plan.roll_length_nm}."
        )
    if case.roll is not None and plan.roll_length_nm > case.roll[1]:
        found.append(f"The roll has {case.roll[1]} nm; the plan takes {plan.roll_length_nm}.")
    if plan.at_least_nm > plan.roll_length_nm:
        found.append(f"{plan.at_least_nm} nm cannot be a bound on {plan.roll_length_nm}.")
    if plan.proved and plan.at_least_nm != plan.roll_length_nm:
        found.append("The plan says proved, but its bound is not met.")
    return found


class BadCase(ValueError):
    """A case with a number that makes no sense; `.given` and `.what` say which."""

    def __init__(self, what: str, given: int, limit: str) -> None:
        self.what, self.given = what, given
        super().__init__(f"The {what} is {given}; it must be {limit}.")


class PlanFault(Exception):
    """A plan that does not follow from its case; `.faults` are the sentences."""

    def __init__(self, name: str, faults: tuple[str, ...]) -> None:
        self.faults = faults
        super().__init__(f"Plan {name!r} is wrong: " + " ".join(faults))


def sound(case: BarCase) -> BarCase:
    """The case itself, when its numbers make sense.

    Args:
        case: lengths [nm] above 0, counts 0 or more, kerf, keep length and prices 0 or more.

    Returns:
        The same case.

    Raises:
        BadCase: the first number that makes no sense.
    """
    for what, given in (
        ("kerf", case.kerf_nm),
        ("keep length", case.keep_from_nm),
        ("reference length", case.reference_nm),
        *(("price of an offer", offer.price_cents) for offer in case.offers),
        *(("count of bars", bar.count) for bar in case.on_hand),
        *(("count of pieces", piece.count) for piece in case.pieces),
    ):
        if given < 0:
            raise BadCase(what, given, "0 or more")
    for length in (*_bar_lengths(case), *(piece.length_nm for piece in case.pieces)):
        if length <= 0:
            raise BadCase("length of a bar or piece [nm]", length, "above 0")
    return case


def certain(case: BarCase, plan: BarPlan) -> BarPlan:
    """The plan itself, when nothing is wrong with it.

    Args:
        case: what was asked.
        plan: the answer.

    Returns:
        The same plan.

    Raises:
        PlanFault: something is wrong; it says what.
    """
    found = faults(case, plan)
    if found:
        raise PlanFault(plan.name, found)
    return plan


def faults(case: Case, plan: Plan) -> tuple[str, ...]:
    """Everything that is wrong with a plan, one sentence each.

    Args:
        case: what was asked, bars or sheets [nm, cents].
        plan: the answer to it.

    Returns:
        Sentences; empty when the plan can be cut as it stands and its figures are right.
    """
    if isinstance(case, SheetCase) and isinstance(plan, SheetPlan):
        return sheet_faults(case, plan)
    if isinstance(case, BarCase) and isinstance(plan, BarPlan):
        return (
            *_cutting_faults(case, plan),
            *_source_faults(case, plan),
            *_piece_faults(case, plan),
            *_bar_figure_faults(case, plan),
        )
    return ("The plan is for another kind of case.",)


def _cutting_faults(case: BarCase, plan: BarPlan) -> list[str]:
    found = []
    for number, bar in enumerate(plan.bars):
        if not bar.cuts:
            found.append(f"Bar {number} ({bar.length_nm} nm) is used but not cut.")
        elif _needed(bar, case.kerf_nm) > bar.length_nm:
            found.append(
                f"Bar {number} is {bar.length_nm} nm long; its cuts need "
                f"{_needed(bar, case.kerf_nm)} nm with the kerf between them."
            )
    return found


def _needed(bar: CutBar, kerf: int) -> int:
    return sum(bar.cuts) + kerf * (len(bar.cuts) - 1)


def _source_faults(case: BarCase, plan: BarPlan) -> list[str]:
    found = []
    have: Counter[int] = Counter()
    for stocked in case.on_hand:
        have[stocked.length_nm] += stocked.count
    offered = {offer.length_nm for offer in case.offers}
    used = Counter(bar.length_nm for bar in plan.bars if bar.source == "on_hand")
    for length, n in used.items():
        if n > have[length]:
            found.append(f"{n} bars of {length} nm are cut; {have[length]} are on hand.")
    for number, bar in enumerate(plan.bars):
        if bar.source not in ("on_hand", "offer"):
            found.append(f"Bar {number} comes from {bar.source!r}, which is no source.")
        if bar.source == "offer" and bar.length_nm not in offered:
            found.append(f"Bar {number} of {bar.length_nm} nm is not on offer.")
    return found


def _piece_faults(case: BarCase, plan: BarPlan) -> list[str]:
    wanted: Counter[int] = Counter()
    for piece in case.pieces:
        wanted[piece.length_nm] += piece.count
    cut = Counter(length for bar in plan.bars for length in bar.cuts)
    short: Counter[int] = Counter()
    for piece in plan.short:
        short[piece.length_nm] += piece.count
    return [
        f"{wanted[length]} pieces of {length} nm are wanted; "
        f"{cut[length]} are cut and {short[length]} are said to be short."
        for length in sorted(wanted.keys() | cut.keys() | short.keys())
        if wanted[length] != cut[length] + short[length]
    ]


def _bar_figure_faults(case: BarCase, plan: BarPlan) -> list[str]:
    found = []
    spent = spent_cents(case, plan.bars)
    if spent is not None and plan.spent_cents != spent:
        found.append(f"The bars cost {spent} cents; the plan says {plan.spent_cents}.")
    loss = lost_worth(case, plan.bars)
    if not plan.loss <= loss < plan.loss + 1:
        found.append(f"The rack loses {float(loss)} nm of worth; the plan says {plan.loss}.")
    if plan.spent_at_least > plan.spent_cents:
        found.append(f"{plan.spent_at_least} cents cannot be a bound on {plan.spent_cents}.")
    if plan.loss_at_least > plan.loss:
        found.append(f"A loss of {plan.loss_at_least} cannot be a bound on {plan.loss}.")
    is_met = plan.spent_at_least == plan.spent_cents and plan.loss_at_least == plan.loss
    if plan.proved and not is_met:
        found.append("The plan says proved, but a bound is not met.")
    return found


def spent_cents(case: BarCase, bars: tuple[CutBar, ...]) -> int | None:
    """What the bars on offer cost, each at its lowest price.

    Args:
        case: offers [nm, cents].
        bars: the bars of a plan.

    Returns:
        Cents; None when a bar is not on offer at all.
    """
    prices: dict[int, int] = {}
    for offer in case.offers:
        known = prices.get(offer.length_nm, offer.price_cents)
        prices[offer.length_nm] = min(known, offer.price_cents)
    bought = [prices.get(bar.length_nm) for bar in bars if bar.source == "offer"]
    return None if None in bought else sum(price for price in bought if price is not None)


def lost_worth(case: BarCase, bars: tuple[CutBar, ...]) -> Fraction:
    """Worth of the rack before, less its worth after, exactly [nm].

    Args:
        case: keep length and reference [nm].
        bars: the bars of a plan; a bought bar was not on the rack before.

    Returns:
        The loss; below 0 when what is left of bought bars is worth more than what went.
    """
    reference = case.reference_nm or max(_bar_lengths(case), default=1)

    def worth(length: int) -> Fraction:
        if length < case.keep_from_nm:
            return Fraction(0)
        return Fraction(length) + Fraction(length * length, 2 * reference)

    before = sum((worth(bar.length_nm) for bar in bars if bar.source == "on_hand"), Fraction(0))
    after = sum(
        (
            worth(max(0, bar.length_nm - sum(bar.cuts) - case.kerf_nm * len(bar.cuts)))
            for bar in bars
        ),
        Fraction(0),
    )
    return before - after


def _bar_lengths(case: BarCase) -> list[int]:
    hand = [bar.length_nm for bar in case.on_hand if bar.count > 0]
    return hand + [offer.length_nm for offer in case.offers]
