"""Shears that know nothing of the solver: they follow a plan's cuts, or try every cut there is."""

from collections import Counter
from functools import cache
from itertools import product

from stock.cutting.plans.plan import Left, Placed, Rectangle, SheetCase, SheetPlan

Box = tuple[str, int | None, int, int, int, int]  # source, sheet, x, y, width, length
Size = tuple[int, int, bool]  # width, length, may turn


def case_of(
    *pieces: tuple[int, int, int],
    roll: tuple[int, int] | None = None,
    sheets: tuple[tuple[int, int], ...] = (),
    may_turn: bool = True,
) -> SheetCase:
    """A case from (width, length, count) of each piece."""
    wanted = tuple(Rectangle(*piece, may_turn) for piece in pieces)
    return SheetCase("case", roll, sheets, wanted)


def parts_after_cutting(case: SheetCase, plan: SheetPlan) -> Counter[Box]:
    """What lies on the bench after every cut of the plan, the rest of the roll not counted.

    A cut through a part that is not there, or that misses its part, is an assertion failure.
    """
    bench: Counter[Box] = Counter()
    touched = {cut.sheet for cut in plan.cuts if cut.source == "sheet"}
    touched |= {placed.sheet for placed in plan.placed if placed.source == "sheet"}
    for sheet in touched:
        assert sheet is not None
        bench["sheet", sheet, 0, 0, *case.sheets[sheet]] += 1
    if case.roll and plan.roll_length_nm:
        bench["roll", None, 0, 0, *case.roll] += 1
    for cut in plan.cuts:
        part = (cut.source, cut.sheet, cut.x_nm, cut.y_nm, cut.width_nm, cut.length_nm)
        assert bench[part] == 1, f"no such part on the bench: {part}"
        del bench[part]
        for side in _sides(part, cut.direction, cut.at_nm):
            bench[side] += 1
    if case.roll and 0 < plan.roll_length_nm < case.roll[1]:
        width, length = case.roll
        taken = plan.roll_length_nm
        del bench["roll", None, 0, taken, width, length - taken]
    return bench


def _sides(part: Box, direction: str, at: int) -> tuple[Box, Box]:
    source, sheet, x, y, width, length = part
    if direction == "along":
        assert x < at < x + width
        near, far = at - x, x + width - at
        return (source, sheet, x, y, near, length), (source, sheet, at, y, far, length)
    assert direction == "across"
    assert y < at < y + length
    near, far = at - y, y + length - at
    return (source, sheet, x, y, width, near), (source, sheet, x, at, width, far)


def parts_listed(plan: SheetPlan) -> Counter[Box]:
    """Pieces and offcuts as the plan lists them."""
    parts: list[Placed | Left] = [*plan.placed, *plan.left]
    return Counter(
        (part.source, part.sheet, part.x_nm, part.y_nm, part.width_nm, part.length_nm)
        for part in parts
    )


def area_listed(plan: SheetPlan) -> int:
    """Area of all pieces and offcuts of a plan."""
    return sum(width * length * n for (*_, width, length), n in parts_listed(plan).items())


@cache
def can_be_sheared(width: int, length: int, sizes: tuple[Size, ...]) -> bool:
    """Whether all sizes can be cut from one rectangle, by trying every cut at a whole number."""
    if not sizes:
        return True
    if sum(size[0] * size[1] for size in sizes) > width * length:
        return False
    if len(sizes) == 1:
        return _lies_in(width, length, sizes[0])
    return any(
        can_be_sheared(*first, near) and can_be_sheared(*second, far)
        for near, far in _splits(sizes)
        for first, second in _halves(width, length)
    )


def _lies_in(width: int, length: int, size: Size) -> bool:
    straight = size[0] <= width and size[1] <= length
    return straight or (size[2] and size[1] <= width and size[0] <= length)


def _splits(sizes: tuple[Size, ...]) -> set[tuple[tuple[Size, ...], tuple[Size, ...]]]:
    """Every way to give each size to the one side or the other, none going without."""
    found = set()
    for sides in product((True, False), repeat=len(sizes)):
        near = tuple(size for size, side in zip(sizes, sides, strict=True) if side)
        far = tuple(size for size, side in zip(sizes, sides, strict=True) if not side)
        if near and far:
            found.add((near, far))
    return found


def _halves(width: int, length: int) -> list[tuple[tuple[int, int], tuple[int, int]]]:
    along = [((at, length), (width - at, length)) for at in range(1, width)]
    across = [((width, at), (width, length - at)) for at in range(1, length)]
    return along + across


def least_roll(case: SheetCase, longest: int) -> int | None:
    """The least roll length for all pieces, by trying all; None if that is over the longest."""
    sizes = tuple(
        (piece.width_nm, piece.length_nm, piece.may_turn)
        for piece in case.pieces
        for _ in range(piece.count)
    )
    return min(
        (
            length
            for rest in _rests(sizes, case.sheets)
            if (length := _shortest(rest, case, longest)) is not None
        ),
        default=None,
    )


def _shortest(sizes: tuple[Size, ...], case: SheetCase, longest: int) -> int | None:
    if not sizes:
        return 0
    width = case.roll[0] if case.roll else 0
    lengths = range(1, longest + 1) if width else ()
    return next((length for length in lengths if can_be_sheared(width, length, sizes)), None)


def _rests(sizes: tuple[Size, ...], sheets: tuple[tuple[int, int], ...]) -> set[tuple[Size, ...]]:
    """What the sheets can leave over."""
    rests = {tuple(sorted(sizes))}
    for width, length in sheets:
        rests |= {
            tuple(sorted(far))
            for rest in rests
            for near, far in (*_splits(rest), (rest, ()))
            if can_be_sheared(width, length, tuple(sorted(near)))
        }
    return rests
