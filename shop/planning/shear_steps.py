"""The straight cuts of a sheet as steps that a person can follow, part by part. Pure.

Each step takes one part, cuts right through it, and names what each side then is. It leaves out
how the layout was found (`stock.cutting.sheets.best`) and the words of the page.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from shop.planning.cut_plan import Shear

Corner = tuple[int, int, int, int]  # x, y, width, length [nm]


@dataclass(frozen=True)
class Side:
    """What one side of a cut is: a blank, an offcut, a part to be cut again, or the roll."""

    kind: str  # "piece" | "left" | "part" | "roll"
    name: str  # of the blank, or the letter of the part
    width_nm: int
    length_nm: int


@dataclass(frozen=True)
class ShearStep:
    """One cut: through which part, how far from its edge, and what comes of it."""

    number: int
    part: str  # letter; empty for the whole sheet or the end of the roll
    width_nm: int
    length_nm: int
    is_across: bool
    from_edge_nm: int
    sides: tuple[Side, Side]


def shear_steps(shears: Sequence[Shear], *, names: Mapping[Corner, str]) -> tuple[ShearStep, ...]:
    """Steps in the order of the plan, parts named A, B, C as they come.

    Args:
        shears: cuts of one sheet, each after the one that made its part.
        names: what the blanks are called, by (x, y, width, length) [nm].

    Returns:
        One step a cut; distances are from the edge of the part in hand, nearest the corner.

    Raises:
        Nothing: a blank without a name is left nameless.
    """
    letters: dict[Corner, str] = {}
    steps = []
    for number, cut in enumerate(shears, start=1):
        corner = (cut.x_nm, cut.y_nm, cut.width_nm, cut.length_nm)
        near, far = _halves(cut)
        sides = []
        for kind, half in zip(cut.leaves, (near, far), strict=True):
            name = names.get(half, "") if kind == "piece" else ""
            if kind == "part":
                name = letters.setdefault(half, _letter(len(letters)))
            sides.append(Side(kind, name, half[2], half[3]))
        is_across = cut.direction == "across"
        steps.append(
            ShearStep(
                number=number,
                part=letters.get(corner, ""),
                width_nm=cut.width_nm,
                length_nm=cut.length_nm,
                is_across=is_across,
                from_edge_nm=cut.at_nm - (cut.y_nm if is_across else cut.x_nm),
                sides=(sides[0], sides[1]),
            )
        )
    return tuple(steps)


def _halves(cut: Shear) -> tuple[Corner, Corner]:
    """The two rectangles that a cut leaves, the one nearer the corner first."""
    x, y, width, length = cut.x_nm, cut.y_nm, cut.width_nm, cut.length_nm
    if cut.direction == "across":
        first = cut.at_nm - y
        return (x, y, width, first), (x, cut.at_nm, width, length - first)
    first = cut.at_nm - x
    return (x, y, first, length), (cut.at_nm, y, width - first, length)


def _letter(index: int) -> str:
    """A, B … Z, AA, AB …: as spreadsheets name columns."""
    letters = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        letters = chr(65 + rest) + letters
    return letters
