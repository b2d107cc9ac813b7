"""Where the saw goes: running stop positions from one end of a bar. Pure.

Each position is summed exactly in nanometres, kerfs included, and rounded once, so that however
many cuts a bar has, no stop is off by more than half of the smallest mark on the tape. It leaves
out which blank comes from which bar (`shop.planning.laying_out`).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from shop.planning.cut_plan import Shear

INCH_MARK_NM = 396_875  # 1/64 in
METRIC_MARK_NM = 100_000  # 0.1 mm


@dataclass(frozen=True)
class Stop:
    """One cut: where it begins and where the saw goes, exactly and as read on a tape."""

    from_nm: int
    exact_nm: int
    stop_nm: int  # rounded to the tape's smallest mark

    @property
    def off_nm(self) -> int:
        """How far the rounded stop is from the exact one; above 0: too far out."""
        return self.stop_nm - self.exact_nm


def on_tape_nm(exact_nm: int, *, system: str) -> int:
    """A position rounded to the nearest mark of the tape; halves go up.

    Args:
        exact_nm: position [nm], 0 or more.
        system: "inch" for 1/64 in, "metric" for 0.1 mm.

    Returns:
        Position [nm], off by at most half a mark.

    Raises:
        ValueError: neither of the two systems.

    >>> on_tape_nm(12_345_678, system="metric")
    12300000
    """
    if system not in ("inch", "metric"):
        raise ValueError(f"system is '{system}'; use inch or metric.")
    mark = INCH_MARK_NM if system == "inch" else METRIC_MARK_NM
    return (2 * exact_nm + mark) // (2 * mark) * mark


def running_stops(
    cuts: Sequence[tuple[int, int]], *, system: str, start_nm: int = 0
) -> tuple[Stop, ...]:
    """Stops of all cuts of a bar, in the order of cutting, from the same end.

    Args:
        cuts: (length of the blank, length with its kerf) [nm] each, in order.
        system: "inch" or "metric", for the tape.
        start_nm: what is cut off already before the first of them [nm].

    Returns:
        One stop a cut: the saw's near side stands there.

    Raises:
        ValueError: a length is not above 0, or is longer than with its kerf.

    >>> [stop.stop_nm for stop in running_stops([(100_000_000, 101_000_000)] * 2, system="metric")]
    [100000000, 201000000]
    """
    stops, at_nm = [], start_nm
    for length_nm, with_kerf_nm in cuts:
        if not 0 < length_nm <= with_kerf_nm:
            raise ValueError(
                f"A cut of {length_nm} nm that takes {with_kerf_nm} nm cannot be; "
                "give a length above 0 that is no longer than with its kerf."
            )
        exact = at_nm + length_nm
        stops.append(Stop(at_nm, exact, on_tape_nm(exact, system=system)))
        at_nm += with_kerf_nm
    return tuple(stops)


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
