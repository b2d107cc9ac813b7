"""Metal used, told by mass: by month, alloy and class, with the share that was scrap. Pure."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from stock.ledger.valuation import Bought, Move, Used, Valuation, by_piece, fifo, moving_average

NM3_KG_M3_PER_UG = 10**18  # nm³ · kg/m³ = 1e-27 kg = 1e-18 µg


@dataclass(frozen=True)
class Use:
    """Metal that left the rack in one entry; below 0 when an entry took it back."""

    month: str  # "2026-03"
    alloy: str
    user: str  # class, knife … in words
    mass_ug: int
    cents: int
    is_scrap: bool  # kerf counts as scrap: it is nobody's billet
    is_failed: bool = False  # it went into a billet that failed


@dataclass(frozen=True)
class UsedRow:
    """So much of something, and how much of that was scrap."""

    name: str
    mass_ug: int
    scrap_ug: int
    cents: int
    failed_ug: int = 0  # in billets that failed, without their kerf

    @property
    def scrap_share(self) -> Fraction | None:
        """Scrap over all that was used; None when nothing was."""
        return Fraction(self.scrap_ug, self.mass_ug) if self.mass_ug > 0 else None

    @property
    def lost_share(self) -> Fraction | None:
        """Scrap and failed billets over all that was used; None when nothing was."""
        lost = self.scrap_ug + self.failed_ug
        return Fraction(lost, self.mass_ug) if self.mass_ug > 0 else None


@dataclass(frozen=True)
class UsedCell:
    """One month of one alloy for one user."""

    month: str
    alloy: str
    user: str
    mass_ug: int
    scrap_ug: int
    cents: int
    failed_ug: int = 0


def mass_ug(amount: int, *, form: str, section_nm2: int, thickness_nm: int, kg_m3: Fraction) -> int:
    """Mass of an amount of a material.

    Args:
        amount: nm for bar and roll, nm² for sheet, µg for wire; of either sign.
        form: "flat", "round", "roll", "sheet" or "wire"; anything else has no mass.
        section_nm2: cross-section of bar or roll [nm²].
        thickness_nm: of sheet [nm].
        kg_m3: density [kg/m³], above 0.

    Returns:
        Micrograms, rounded towards zero once.

    >>> mass_ug(10**9, form="flat", section_nm2=10**14, thickness_nm=0, kg_m3=Fraction(7850))
    785000000
    """
    if form == "wire":
        return amount
    side = {"sheet": thickness_nm, "flat": section_nm2, "round": section_nm2, "roll": section_nm2}
    exact = amount * side.get(form, 0) * kg_m3 / NM3_KG_M3_PER_UG
    return int(exact)


def cells(uses: Iterable[Use]) -> tuple[UsedCell, ...]:
    """Every month, alloy and user once.

    Args:
        uses: entries in any order.

    Returns:
        Sums by month, then alloy, then user; what was all taken back is left out.
    """
    sums: dict[tuple[str, str, str], list[int]] = defaultdict(lambda: [0, 0, 0, 0])
    for use in uses:
        cell = sums[use.month, use.alloy, use.user]
        cell[0] += use.mass_ug
        cell[1] += use.mass_ug if use.is_scrap else 0
        cell[2] += use.cents
        cell[3] += use.mass_ug if use.is_failed and not use.is_scrap else 0
    return tuple(UsedCell(*key, *sums[key]) for key in sorted(sums) if any(sums[key]))


def rows_by(found: Sequence[UsedCell], name: Callable[[UsedCell], str]) -> tuple[UsedRow, ...]:
    """The cells added up by month, by alloy or by user.

    Args:
        found: cells.
        name: what they are added up by.

    Returns:
        One row for each name, in order.
    """
    sums: dict[str, list[int]] = defaultdict(lambda: [0, 0, 0, 0])
    for cell in found:
        row = sums[name(cell)]
        row[0] += cell.mass_ug
        row[1] += cell.scrap_ug
        row[2] += cell.cents
        row[3] += cell.failed_ug
    return tuple(UsedRow(key, *sums[key]) for key in sorted(sums))


WORDS = (
    "what the books use: every cut at what that very piece cost",
    "as if the oldest metal were always cut first",
    "as if every cut cost the average of all that lay there at that moment",
)


@dataclass(frozen=True)
class ValuedRow:
    """One method; `more_cents` is how much more it leaves on the rack than the books do."""

    found: Valuation
    words: str
    more_cents: int


@dataclass(frozen=True)
class Valued:
    """A material: what came, what went, what is left, and the three methods beside each other."""

    bought_amount: int
    bought_cents: int
    used_amount: int
    rows: tuple[ValuedRow, ...]

    @property
    def left_amount(self) -> int:
        """What is there."""
        return self.bought_amount - self.used_amount


def valued(moves: Sequence[Move]) -> Valued:
    """A material valued three ways.

    Args:
        moves: as for `stock.ledger.valuation.fifo`.

    Returns:
        The books' own way first; in each row used and left add up to what was bought.

    Raises:
        MoneyError: the moves cannot be valued in their order.
    """
    found = (by_piece(moves), fifo(moves), moving_average(moves))
    books = found[0].left_cents
    return Valued(
        bought_amount=sum(move.amount for move in moves if isinstance(move, Bought)),
        bought_cents=sum(move.cents for move in moves if isinstance(move, Bought)),
        used_amount=sum(move.amount for move in moves if isinstance(move, Used)),
        rows=tuple(
            ValuedRow(one, words, one.left_cents - books)
            for one, words in zip(found, WORDS, strict=True)
        ),
    )
