"""A layout becomes cuts: what is over beside like pieces comes off in one, before they part."""

from stock.cutting.sheets.cuts import Part, parts_of
from stock.cutting.sheets.problem import Block


def single(width: int, length: int) -> Block:
    """One rectangle of kind 0."""
    return Block(width, length, 0, "", ())


def left_of(part: Part) -> list[tuple[int, int, int, int]]:
    """Place and size of what is left."""
    return [(p.x, p.y, p.width, p.length) for p in part.walk() if p.is_left]


def test_offcuts_beside_like_pieces_stay_one() -> None:
    parts = (single(7, 2), single(12, 1), single(7, 2), single(7, 2))

    cut = parts_of(Block(12, 7, -1, "y", parts), 12, 7)

    # The 12 x 1 first, then the 5 x 6 beside all three of 7 x 2, not three of 5 x 2.
    assert left_of(cut) == [(7, 1, 5, 6)]
    made = [(p.x, p.y, p.width, p.length) for p in cut.walk() if p.kind == 0]
    assert made == [(0, 0, 12, 1), (0, 1, 7, 2), (0, 3, 7, 2), (0, 5, 7, 2)]


def test_offcuts_above_like_pieces_side_by_side_stay_one() -> None:
    parts = (single(2, 9), single(3, 4), single(3, 4))

    cut = parts_of(Block(8, 9, -1, "x", parts), 8, 9)

    assert left_of(cut) == [(2, 4, 6, 5)]


def test_like_pieces_that_are_all_smaller_than_their_row_share_one_offcut() -> None:
    cut = parts_of(Block(10, 4, -1, "y", (single(6, 2), single(6, 2))), 10, 4)

    assert left_of(cut) == [(6, 0, 4, 4)]


def test_a_row_that_is_filled_leaves_nothing() -> None:
    cut = parts_of(Block(10, 4, -1, "y", (single(10, 2), single(10, 2))), 10, 4)

    assert left_of(cut) == []
    assert [p.kind for p in cut.walk() if not p.sides] == [0, 0]
