"""A sheet case made ready for solving: whole units, equal rectangles put together, turned ways.

Leaves out every method: it holds what they all work on, and what a layout is to all of them.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from math import gcd

from stock.cutting.plans.plan import SheetCase

Counts = tuple[int, ...]  # how many of each kind


@dataclass(frozen=True)
class Kind:
    """Rectangles of one size that may be swapped for one another."""

    width: int  # units of Problem.unit_nm
    length: int
    turns: bool
    pieces: tuple[tuple[int, int], ...]  # index in SheetCase.pieces, how many

    @property
    def area(self) -> int:
        """Area [square units]."""
        return self.width * self.length

    @property
    def ways(self) -> tuple[tuple[int, int], ...]:
        """Width and length of each way it may lie."""
        straight = (self.width, self.length)
        return (straight, straight[::-1]) if self.turns else (straight,)


@dataclass(frozen=True)
class Problem:
    """A case in whole units; widths run across the roll, lengths along it."""

    unit_nm: int
    width: int  # of the roll; 0 when there is none
    reach: int  # length left on the roll
    sheets: tuple[tuple[int, int], ...]
    kinds: tuple[Kind, ...]
    counts: Counts

    @cached_property
    def area(self) -> int:
        """Area of all rectangles [square units]."""
        return self.area_of(self.counts)

    def area_of(self, counts: Sequence[int]) -> int:
        """Area of so many of each kind [square units]."""
        return sum(n * kind.area for n, kind in zip(counts, self.kinds, strict=True))

    def with_counts(self, counts: Counts) -> Problem:
        """The same metal, asked for another number of each kind."""
        return replace(self, counts=counts)

    def part(
        self, counts: Counts, *, reach: int, sheets: Sequence[int]
    ) -> tuple[Problem, tuple[int, ...]]:
        """A smaller problem, and the number here of each of its kinds."""
        numbers = tuple(index for index, count in enumerate(counts) if count)
        kinds = tuple(self.kinds[index] for index in numbers)
        sizes = tuple(self.sheets[index] for index in sheets)
        counts = tuple(counts[index] for index in numbers)
        return Problem(self.unit_nm, self.width, reach, sizes, kinds, counts), numbers


@dataclass(frozen=True)
class Block:
    """Rectangles joined side by side ("x") or one after another ("y"), or a single one ("").

    A guillotine cut separates each part of a block from the next.
    """

    width: int
    length: int
    kind: int  # of a single rectangle, else -1
    axis: str
    parts: tuple[Block, ...]

    @cached_property
    def kinds(self) -> tuple[int, ...]:
        """The kind of every rectangle in it."""
        if not self.parts:
            return (self.kind,)
        return tuple(kind for part in self.parts for kind in part.kinds)

    def counts(self, n_kinds: int) -> Counts:
        """How many of each kind it holds."""
        found = [0] * n_kinds
        for kind in self.kinds:
            found[kind] += 1
        return tuple(found)


@dataclass(frozen=True)
class Layout:
    """What is cut from the strip of the roll and from each sheet; None is not touched."""

    strip: Block | None
    sheets: tuple[Block | None, ...]

    @property
    def strip_length(self) -> int:
        """Roll length taken [units]."""
        return self.strip.length if self.strip else 0

    def counts(self, n_kinds: int) -> Counts:
        """How many of each kind are cut."""
        found = [0] * n_kinds
        for block in (self.strip, *self.sheets):
            for kind in block.kinds if block else ():
                found[kind] += 1
        return tuple(found)


def single(kind: int, way: tuple[int, int]) -> Block:
    """A block of one rectangle, lying this way."""
    return Block(*way, kind, "", ())


def joined(axis: str, parts: Iterable[Block]) -> Block:
    """The parts in a row along one axis; parts that are such a row themselves are merged in."""
    flat: list[Block] = []
    for part in parts:
        flat.extend(part.parts if part.axis == axis else (part,))
    if len(flat) == 1:
        return flat[0]
    widths, lengths = [part.width for part in flat], [part.length for part in flat]
    if axis == "x":
        return Block(sum(widths), max(lengths), -1, axis, tuple(flat))
    return Block(max(widths), sum(lengths), -1, axis, tuple(flat))


def renumbered(block: Block, numbers: Sequence[int]) -> Block:
    """The block with each kind k called numbers[k]."""
    kind = numbers[block.kind] if block.kind >= 0 else -1
    parts = tuple(renumbered(part, numbers) for part in block.parts)
    return Block(block.width, block.length, kind, block.axis, parts)


def enlarged(block: Block, times: int) -> Block:
    """The block in a unit so many times smaller."""
    parts = tuple(enlarged(part, times) for part in block.parts)
    return Block(block.width * times, block.length * times, block.kind, block.axis, parts)


def problem_of(case: SheetCase) -> tuple[Problem, Counts]:
    """The case in its largest whole unit, without what fits no metal at all.

    Args:
        case: sizes [nm]; rectangles, sheets or a roll with a side of 0 or less are left out.

    Returns:
        The problem, and for each of case.pieces how many fit neither the roll nor any sheet.
    """
    roll = case.roll if case.roll and min(case.roll) > 0 else None
    homes = [size for size in (*case.sheets, *((roll,) if roll else ())) if min(size) > 0]
    short = [0] * len(case.pieces)
    found: dict[tuple[int, int, bool], list[tuple[int, int]]] = {}
    for index, piece in enumerate(case.pieces):
        size = (piece.width_nm, piece.length_nm)
        turns = piece.may_turn and size[0] != size[1]
        if min(size) <= 0 or not any(_fits(size, home, turns) for home in homes):
            short[index] = max(0, piece.count)
        elif piece.count > 0:
            key = (max(size), min(size), True) if turns else (*size, False)
            found.setdefault(key, []).append((index, piece.count))
    unit = gcd(*(side for key in found for side in key[:2])) or 1
    kinds = tuple(
        Kind(width // unit, length // unit, turns, tuple(pieces))
        for (width, length, turns), pieces in sorted(found.items(), reverse=True)
    )
    counts = tuple(sum(n for _, n in kind.pieces) for kind in kinds)
    sheets = tuple((max(0, w) // unit, max(0, h) // unit) for w, h in case.sheets)
    width, reach = (roll[0] // unit, roll[1] // unit) if roll else (0, 0)
    return Problem(unit, width, reach, sheets, kinds, counts), tuple(short)


def _fits(size: tuple[int, int], home: tuple[int, int], turns: bool) -> bool:
    straight = size[0] <= home[0] and size[1] <= home[1]
    return straight or (turns and size[1] <= home[0] and size[0] <= home[1])
