"""Three ways of valuing the same metal: all keep every cent."""

from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stock.ledger.valuation import (
    Bought,
    Move,
    Used,
    UsedTooMuchError,
    Valuation,
    by_piece,
    fifo,
    moving_average,
)
from stock.quantities.money import MoneyError

Method = Callable[[list[Move]], Valuation]

METHODS: tuple[Method, ...] = (fifo, moving_average)


def test_the_three_methods_differ_when_the_price_rises() -> None:
    moves: list[Move] = [Bought(1, 100), Bought(1, 200), Used(1, 200)]

    assert fifo(moves).used_cents == (100,)
    assert moving_average(moves).used_cents == (150,)
    assert by_piece(moves).used_cents == (200,)


def test_a_use_may_span_two_lots() -> None:
    found = fifo([Bought(10, 1_000), Bought(10, 3_000), Used(15)])

    assert found.used_cents == (2_500,)
    assert found.left_cents == 1_500


def test_thirds_of_a_dollar_add_up_to_the_dollar() -> None:
    moves: list[Move] = [Bought(3, 100), Used(1), Used(1), Used(1)]

    for method in METHODS:
        found = method(moves)
        assert found.used_cents == (33, 34, 33)
        assert found.left_cents == 0


@pytest.mark.parametrize("method", [fifo, moving_average, by_piece])
def test_a_use_of_more_than_there_is_is_refused(method: Method) -> None:
    with pytest.raises(UsedTooMuchError, match="A use of 6 stands in the books") as refusal:
        method([Bought(5, 100), Used(6)])

    assert (refusal.value.used, refusal.value.left) == (6, 5)


@pytest.mark.parametrize("method", [fifo, moving_average, by_piece])
def test_a_purchase_below_zero_is_refused(method: Method) -> None:
    with pytest.raises(MoneyError, match="The amount was given as -5"):
        method([Bought(-5, 100)])


def test_metal_that_was_given_costs_nothing() -> None:
    for method in METHODS:
        assert method([Bought(5, 0), Used(5)]).used_cents == (0,)


@st.composite
def histories(draw: st.DrawFn) -> list[Move]:
    """Purchases and uses in an order that can have happened."""
    moves: list[Move] = []
    left = 0
    for _ in range(draw(st.integers(1, 12))):
        if left and draw(st.booleans()):
            amount = draw(st.integers(0, left))
            left -= amount
            moves.append(Used(amount))
        else:
            amount = draw(st.integers(1, 10**9))
            left += amount
            moves.append(Bought(amount, draw(st.integers(0, 10**7))))
    return moves


@pytest.mark.slow
@given(histories())
def test_used_and_left_add_up_to_what_was_bought(moves: list[Move]) -> None:
    bought = sum(move.cents for move in moves if isinstance(move, Bought))

    for method in METHODS:
        found = method(moves)
        assert found.used_total_cents + found.left_cents == bought
        assert found.left_cents >= 0
        assert all(cents >= 0 for cents in found.used_cents)


@pytest.mark.slow
@given(histories())
def test_an_empty_rack_is_worth_nothing(moves: list[Move]) -> None:
    left = fifo(moves).left_amount

    for method in METHODS:
        found = method([*moves, Used(left)])
        assert (found.left_amount, found.left_cents) == (0, 0)
