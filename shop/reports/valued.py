"""One material valued three ways, for the page: each method in words, and what it changes. Pure.

The sums are in `stock.ledger.valuation`; it leaves out where the moves come from.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from stock.ledger.valuation import Bought, Move, Used, Valuation, by_piece, fifo, moving_average

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

    Source:
        `stock.ledger.valuation`.
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
