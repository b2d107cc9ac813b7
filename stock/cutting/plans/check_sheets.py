"""Is a layout for shears right? Worked out again from the case alone, in whole numbers.

Pieces have the sizes asked for, lie inside their sheet or strip, do not overlap, and come apart
by straight cuts from edge to edge. It says nothing about whether a better layout exists.
"""

from collections import Counter
from collections.abc import Iterable

from stock.cutting.plans.plan import Left, Placed, SheetCase, SheetPlan

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
        *_figure_faults(case, plan),
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


def _figure_faults(case: SheetCase, plan: SheetPlan) -> list[str]:
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
