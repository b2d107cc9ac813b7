"""What first-in-first-out and moving average would give beside the ledger's own values.

The ledger values metal by the very piece that was cut (specific identification). Some owners
have to report by another method; this module shows what the same purchases and cuts would come
to under the two others. It writes nothing and changes no value in the ledger.
"""

from collections import deque
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from stock.quantities.money import MoneyError, not_below_zero, whole_cents


@dataclass(frozen=True)
class Bought:
    """Metal that came in: an amount in the material's own unit and what it cost."""

    amount: int
    cents: int


@dataclass(frozen=True)
class Used:
    """Metal that went out; `cents` is what the ledger took for the piece that was cut."""

    amount: int
    cents: int = 0


Move = Bought | Used


@dataclass(frozen=True)
class Valuation:
    """One method's view: cost of each use in order, and what is left on the rack."""

    method: str
    used_cents: tuple[int, ...]
    left_amount: int
    left_cents: int

    @property
    def used_total_cents(self) -> int:
        """Cost of all that was used [minor units]."""
        return sum(self.used_cents)


class UsedTooMuchError(MoneyError):
    """More was used than had come in by then; facts: `used`, `left`."""

    def __init__(self, *, used: int, left: int) -> None:
        super().__init__(
            f"A use of {used} stands in the books when only {left} was left; "
            "put the purchases and uses in the order in which they happened.",
            given=used,
        )
        self.used = used
        self.left = left


def fifo(moves: Iterable[Move]) -> Valuation:
    """Value uses by the oldest metal first.

    Args:
        moves: purchases and uses of one material in the order they happened; amounts in one
            unit (nm, µg or count), money in minor units, all 0 or more.

    Returns:
        Cost of each use and the value left; used + left = bought, exactly.

    Raises:
        MoneyError: an amount is below 0. UsedTooMuchError: a use exceeds what was left.

    Source:
        First-in-first-out, any accounting text. Rounding is carried from use to use, so that
        the parts add up to each lot's cost.
    """
    lots: deque[list[Fraction]] = deque()
    book = _Book("first in, first out")
    for move in moves:
        book.check(move)
        if isinstance(move, Bought):
            lots.append([Fraction(move.amount), Fraction(move.cents)])
            book.take_in(move)
        else:
            book.give_out(move, worth=_take_oldest(lots, move.amount))
    return book.closed()


def moving_average(moves: Iterable[Move]) -> Valuation:
    """Value uses at the average cost of all that is on the rack at that moment.

    Args:
        moves: as for `fifo`.

    Returns:
        Cost of each use and the value left; used + left = bought, exactly.

    Raises:
        MoneyError: an amount is below 0. UsedTooMuchError: a use exceeds what was left.

    Source:
        Perpetual moving average, any accounting text.
    """
    book = _Book("moving average")
    for move in moves:
        book.check(move)
        if isinstance(move, Bought):
            book.take_in(move)
        else:
            share = Fraction(move.amount, book.amount) if book.amount else Fraction(0)
            book.give_out(move, worth=book.worth * share)
    return book.closed()


def by_piece(moves: Iterable[Move]) -> Valuation:
    """The ledger's own view: each use at the value of the piece that was cut.

    Args:
        moves: as for `fifo`; `Used.cents` is read here only.

    Returns:
        Cost of each use and the value left.

    Raises:
        MoneyError: an amount is below 0. UsedTooMuchError: a use exceeds what was left.

    Source:
        Specific identification, any accounting text.
    """
    book = _Book("by the piece that was cut")
    for move in moves:
        book.check(move)
        if isinstance(move, Bought):
            book.take_in(move)
        else:
            book.give_out(move, worth=Fraction(move.cents))
    return book.closed()


def _take_oldest(lots: deque[list[Fraction]], amount: int) -> Fraction:
    worth = Fraction(0)
    wanted = Fraction(amount)
    while wanted > 0:
        lot = lots[0]
        taken = min(wanted, lot[0])
        value = lot[1] * taken / lot[0]
        lot[0] -= taken
        lot[1] -= value
        worth += value
        wanted -= taken
        if lot[0] == 0:
            worth += lot[1]  # a lot of no size keeps its cost until it is passed over
            lots.popleft()
    return worth


class _Book:
    """Running exact worth; each use is rounded so that the running total stays right."""

    def __init__(self, method: str) -> None:
        self.method = method
        self.amount = 0
        self.worth = Fraction(0)
        self.spent = Fraction(0)
        self.bought_cents = 0
        self.used_cents: list[int] = []

    def check(self, move: Move) -> None:
        not_below_zero(amount=move.amount, value=move.cents)
        if isinstance(move, Used) and move.amount > self.amount:
            raise UsedTooMuchError(used=move.amount, left=self.amount)

    def take_in(self, move: Bought) -> None:
        self.amount += move.amount
        self.worth += move.cents
        self.bought_cents += move.cents

    def give_out(self, move: Used, *, worth: Fraction) -> None:
        self.amount -= move.amount
        self.worth -= worth
        self.spent += worth
        self.used_cents.append(whole_cents(self.spent) - sum(self.used_cents))

    def closed(self) -> Valuation:
        return Valuation(
            method=self.method,
            used_cents=tuple(self.used_cents),
            left_amount=self.amount,
            left_cents=self.bought_cents - sum(self.used_cents),
        )
