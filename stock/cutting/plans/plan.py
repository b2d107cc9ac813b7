"""What is asked of a cut plan and what comes back, for bars and for rolls and sheets.

Plain frozen dataclasses that the solvers, the checker, the worker process and the pages share.
It leaves out how a plan is found (the rooms beside this one) and whether it is right (checks.py).
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property


@dataclass(frozen=True)
class Wanted:
    """So many pieces of one length."""

    length_nm: int
    count: int


@dataclass(frozen=True)
class OnHand:
    """So many bars of one length on the rack, full bars and offcuts alike."""

    length_nm: int
    count: int


@dataclass(frozen=True)
class Offer:
    """A bar that can be bought, in any number, for one price each."""

    length_nm: int
    price_cents: int


@dataclass(frozen=True)
class BarCase:
    """Pieces to be sawn from bars of one alloy and section.

    A piece fits when it is no longer than what remains of the bar. Each cut then takes the
    piece and one kerf; the last cut may consume the end.
    """

    name: str
    kerf_nm: int  # 0 or more
    keep_from_nm: int  # a shorter remnant is scrap and worth nothing
    reference_nm: int  # the longest bar, above 0; 0 takes the longest bar of the case
    on_hand: tuple[OnHand, ...]
    offers: tuple[Offer, ...]
    pieces: tuple[Wanted, ...]


@dataclass(frozen=True)
class CutBar:
    """One bar and the pieces cut from it, in order."""

    source: str  # "on_hand" | "offer"
    length_nm: int
    cuts: tuple[int, ...]  # piece lengths [nm], at least one


@dataclass(frozen=True)
class BarPlan:
    """A cut plan for bars, with what is known of how good it is.

    `spent_at_least` is a bound on every plan that cuts the same pieces; `loss_at_least` one on
    every such plan that spends no more than this one. `proved` says that both are met.
    The loss is worth [nm] that leaves the rack, and below 0 when bought remnants add to it.
    """

    name: str
    proved: bool
    spent_cents: int
    spent_at_least: int
    loss: int
    loss_at_least: int
    seconds: float
    bars: tuple[CutBar, ...]
    short: tuple[Wanted, ...] = ()
    short_is_proved: bool = True  # no plan cuts more length, or as much in more pieces

    @property
    def spending_is_proved(self) -> bool:
        """Whether no plan that cuts the same pieces can spend less."""
        return self.spent_cents == self.spent_at_least

    @property
    def gap(self) -> float:
        """Relative distance to the first bound that is not met; 0 when proved."""
        if self.proved:
            return 0.0
        if not self.spending_is_proved:
            return _relative(self.spent_cents, self.spent_at_least)
        return _relative(self.loss, self.loss_at_least)


@dataclass(frozen=True)
class Rectangle:
    """So many rectangles of one size; `may_turn` is False where the grain decides."""

    width_nm: int
    length_nm: int
    count: int
    may_turn: bool = True


@dataclass(frozen=True)
class SheetCase:
    """Rectangles to be sheared from sheet offcuts first and then from the end of a roll.

    Widths run across the roll (x), lengths along it (y). Shears take no kerf.
    """

    name: str
    roll: tuple[int, int] | None  # width [nm], length left on the roll [nm]
    sheets: tuple[tuple[int, int], ...]  # width, length [nm] of each sheet offcut
    pieces: tuple[Rectangle, ...]


@dataclass(frozen=True)
class Placed:
    """One rectangle where it is cut; width and length are as it lies there, turned or not."""

    source: str  # "roll" | "sheet"
    sheet: int | None  # index in SheetCase.sheets, None on the roll
    x_nm: int
    y_nm: int
    width_nm: int
    length_nm: int
    piece: int  # index in SheetCase.pieces


@dataclass(frozen=True)
class Left:
    """One rectangle that is left of a sheet, or of the strip taken from the roll."""

    source: str  # "roll" | "sheet"
    sheet: int | None
    x_nm: int
    y_nm: int
    width_nm: int
    length_nm: int


@dataclass(frozen=True)
class Cut:
    """One straight cut of the shears right through one part, and the part it goes through.

    A cut "across" runs at `at_nm` along y, over the whole width of the part; a cut "along" at
    `at_nm` along x, over its whole length. `leaves` says what each side then is: a piece, an
    offcut, or a part that a later cut goes through.
    """

    source: str  # "roll" | "sheet"
    sheet: int | None
    x_nm: int  # the part that is cut
    y_nm: int
    width_nm: int
    length_nm: int
    direction: str  # "across" | "along"
    at_nm: int  # from the corner of the roll's end or the sheet, as x_nm and y_nm are
    leaves: tuple[str, str]  # "piece" | "left" | "part" | "roll", the side nearer 0 first


@dataclass(frozen=True)
class SheetPlan:
    """A layout for shears: how much roll it takes and what no layout can go below.

    `cuts` are in an order that can be followed: a part is there before it is cut. `claim` says
    in words what is proved. A sheet that the plan does not touch is not in `left`.
    """

    name: str
    proved: bool
    roll_length_nm: int
    at_least_nm: int
    seconds: float
    placed: tuple[Placed, ...]
    left: tuple[Left, ...] = ()
    short: tuple[Rectangle, ...] = ()
    cuts: tuple[Cut, ...] = ()
    claim: str = ""

    @property
    def gap(self) -> float:
        """Relative distance to the bound; 0 when proved."""
        return 0.0 if self.proved else _relative(self.roll_length_nm, self.at_least_nm)


Case = BarCase | SheetCase
Plan = BarPlan | SheetPlan


@dataclass(frozen=True)
class Progress:
    """The best plan so far, complete and checked, with its gap, while a solve goes on."""

    best: Plan

    @cached_property
    def gap(self) -> float:
        """Relative gap of the best plan so far, 0 to 1."""
        return self.best.gap


Report = Callable[[Progress], None]


def remnant_nm(*, length_nm: int, cuts: tuple[int, ...], kerf_nm: int) -> int:
    """What is left of a bar after its cuts.

    Args:
        length_nm: the bar [nm].
        cuts: piece lengths [nm].
        kerf_nm: taken by each cut [nm]; the last one may run off the end.

    Returns:
        Length left [nm], 0 when the last cut consumed the end; below 0 when the pieces do
        not fit at all.

    >>> remnant_nm(length_nm=100, cuts=(30, 30), kerf_nm=2)
    36
    >>> remnant_nm(length_nm=63, cuts=(30, 30), kerf_nm=2)
    0
    """
    if not cuts:
        return length_nm
    free_nm = length_nm - sum(cuts) - kerf_nm * (len(cuts) - 1)
    return free_nm if free_nm < 0 else max(0, free_nm - kerf_nm)


def _relative(value: int, bound: int) -> float:
    return abs(value - bound) / max(abs(value), abs(bound), 1)


@dataclass(frozen=True)
class Worth:
    """The rule for one case: below the keep length nothing, above it r + r²/(2·reference)."""

    keep_from_nm: int
    reference_nm: int  # above 0

    def scaled(self, length_nm: int) -> int:
        """Worth of one length, exactly, in units of 1/(2·reference).

        Args:
            length_nm: what is left of a bar [nm], 0 or more.

        Returns:
            2·reference times the worth [nm²]; 0 below the keep length.

        Source:
            Common practice put into a formula: one long remnant is of more use than two
            halves of it. The square is this shop's choice, not a published rule.

        >>> Worth(keep_from_nm=10, reference_nm=50).scaled(20)
        2400
        """
        if length_nm < max(self.keep_from_nm, 1):
            return 0
        return length_nm * (2 * self.reference_nm + length_nm)

    def whole_nm(self, scaled: int) -> int:
        """A scaled worth in nanometres, rounded down.

        Args:
            scaled: worth in units of 1/(2·reference) [nm²], of either sign.

        Returns:
            Worth [nm].

        >>> Worth(keep_from_nm=10, reference_nm=50).whole_nm(2400)
        24
        """
        return scaled // (2 * self.reference_nm)
