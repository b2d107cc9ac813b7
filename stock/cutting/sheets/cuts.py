"""From a layout to cuts that can be followed: parts, what is left of them, and its worth.

A block lies in the corner of its part. Straight cuts right through a part free first what is
left beside the block, then one part after another, like parts together. It leaves out how a
layout is found.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from stock.cutting.sheets.problem import Block, Layout, Problem


@dataclass(frozen=True)
class Part:
    """A rectangle of metal: cut in two, one piece, or left over."""

    x: int
    y: int
    width: int
    length: int
    kind: int = -1  # of the piece that it is
    axis: str = ""  # cut along ("x": at a width) or across ("y": at a length)
    at: int = 0
    sides: tuple[Part, ...] = ()  # none, or the two parts after the cut

    @property
    def is_left(self) -> bool:
        """Whether nothing is made of it."""
        return self.kind < 0 and not self.sides

    @property
    def worth(self) -> int:
        """What an offcut of this size is worth."""
        return worth(self.width, self.length)

    def walk(self) -> Iterator[Part]:
        """This part and all that is cut from it, each after the part it came from."""
        waiting = [self]
        while waiting:
            part = waiting.pop()
            yield part
            waiting.extend(reversed(part.sides))


def worth(width: int, length: int) -> int:
    """Worth of an offcut: its area times its shorter side.

    Twice the size is worth more than two of half the size, and a sliver next to nothing.

    Args:
        width: [units].
        length: [units].

    Returns:
        Worth [cubic units].

    Source:
        Rule of thumb: large whole offcuts are used again, slivers are not.

    >>> worth(12, 10) > 2 * worth(6, 10)
    True
    """
    return width * length * min(width, length)


def parts_of(block: Block | None, width: int, length: int, *, x: int = 0, y: int = 0) -> Part:
    """The cuts that free a block from a part of this size, and what is left.

    Args:
        block: no wider and no longer than the part; None leaves the part whole.
        width: of the part [units].
        length: of the part [units].
        x: of the part's corner, across [units].
        y: of the part's corner, along [units].

    Returns:
        The part with all its cuts.
    """
    if block is None:
        return Part(x, y, width, length)
    over, above = width - block.width, length - block.length
    if over and above:
        along_first = worth(over, length) + worth(block.width, above)
        across_first = worth(width, above) + worth(over, block.length)
        over, above = (over, 0) if along_first > across_first else (0, above)
    if over:
        inner = parts_of(block, block.width, length, x=x, y=y)
        sides = (inner, Part(x + block.width, y, over, length))
        return Part(x, y, width, length, axis="x", at=x + block.width, sides=sides)
    if above:
        inner = parts_of(block, width, block.length, x=x, y=y)
        sides = (inner, Part(x, y + block.length, width, above))
        return Part(x, y, width, length, axis="y", at=y + block.length, sides=sides)
    return _divided(block, x, y)


def _divided(block: Block, x: int, y: int) -> Part:
    """A part of exactly the block's size, its row cut one by one."""
    if not block.parts:
        return Part(x, y, block.width, block.length, kind=block.kind)
    block = _like_together(block)
    starts = [x if block.axis == "x" else y]
    for part in block.parts:
        starts.append(starts[-1] + (part.width if block.axis == "x" else part.length))
    rest = None
    for part, start in zip(reversed(block.parts), reversed(starts[:-1]), strict=True):
        if block.axis == "x":
            one = parts_of(part, part.width, block.length, x=start, y=y)
            far, at = x + block.width, start + part.width
            whole = (start, y, far - start, block.length)
        else:
            one = parts_of(part, block.width, part.length, x=x, y=start)
            far, at = y + block.length, start + part.length
            whole = (x, start, block.width, far - start)
        rest = Part(*whole, axis=block.axis, at=at, sides=(one, rest)) if rest else one
    assert rest is not None  # a row has a part
    return rest


def _like_together(block: Block) -> Block:
    """The same row with parts of one size across next to each other, those of each size as one.

    What is over beside such a group then comes off in one long piece before the group is
    divided, instead of a short one beside each part: it is worth more and is fewer cuts.
    """
    groups: dict[int, list[Block]] = {}
    for part in block.parts:
        groups.setdefault(part.length if block.axis == "x" else part.width, []).append(part)
    if len(groups) == 1 and max(groups) == (block.length if block.axis == "x" else block.width):
        return block  # nothing is over beside any of them
    parts = tuple(
        _row(groups[size], axis=block.axis, size=size) for size in sorted(groups, reverse=True)
    )
    return replace(block, parts=parts)


def _row(parts: list[Block], *, axis: str, size: int) -> Block:
    """Parts of one size across as a block; a single part as it is."""
    if len(parts) == 1:
        return parts[0]
    if axis == "x":
        return Block(sum(part.width for part in parts), size, -1, axis, tuple(parts))
    return Block(size, sum(part.length for part in parts), -1, axis, tuple(parts))


def strip_part(problem: Problem, layout: Layout) -> Part | None:
    """The strip taken from the roll, with its cuts; None when none is taken."""
    if layout.strip is None:
        return None
    return parts_of(layout.strip, problem.width, layout.strip.length)


def worth_left(problem: Problem, layout: Layout) -> int:
    """Worth of all that is left of the strip and of the sheets, untouched ones too."""
    strip = strip_part(problem, layout)
    parts = [
        parts_of(block, *size) for block, size in zip(layout.sheets, problem.sheets, strict=True)
    ]
    every = [*parts, *([strip] if strip else [])]
    return sum(part.worth for whole in every for part in whole.walk() if part.is_left)


Score = tuple[int, int, int]


def score(problem: Problem, layout: Layout) -> Score:
    """What a layout is judged by, lower is better.

    Args:
        problem: that the layout is for.
        layout: any.

    Returns:
        Area not cut, roll length taken, worth left (below 0), compared in this order.
    """
    cut = problem.area_of(layout.counts(len(problem.kinds)))
    return (problem.area - cut, layout.strip_length, -worth_left(problem, layout))
