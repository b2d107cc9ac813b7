"""Ways of valuing metal, against worked examples."""

from stock.ledger.valuation import Bought, Move, Used, fifo, moving_average


def test_first_in_first_out_gives_the_published_cost_of_goods() -> None:
    # Encyclopedia article on inventory valuation (FIFO example), read:
    # 11 at 100, 46 at 103, 51 at 104, 18 at 105; 104 sold.
    lots = [
        Bought(amount=count, cents=count * price * 100)
        for count, price in ((11, 100), (46, 103), (51, 104), (18, 105))
    ]

    found = fifo([*lots, Used(amount=104)])

    assert found.used_total_cents == 1_072_600
    assert found.left_cents == 230_600
    assert found.left_amount == 22


def test_moving_average_gives_the_textbook_figures() -> None:
    # OpenStax, Principles of Accounting 1, perpetual moving average; from memory, so this
    # is our own example in its shape and not a check against the page.
    moves: list[Move] = [
        Bought(amount=150, cents=150 * 21_00),
        Used(amount=120),
        Bought(amount=225, cents=225 * 27_00),
        Used(amount=180),
        Bought(amount=210, cents=210 * 33_00),
    ]

    found = moving_average(moves)

    assert found.used_total_cents == 725_294
    assert found.left_cents == 890_206
    assert found.left_amount == 285


def test_moving_average_gives_the_published_solution() -> None:
    # A published accounting exercise with its solution (wizedu.com, question 628894), read:
    # 3000 at 0.60, 4000 at 0.74, 4400 sold, 2200 at 0.80, 2100 sold; perpetual moving average
    # 0.68 and then 0.735: cost of goods 2992.00 + 1543.50, 1984.50 left.
    moves: list[Move] = [
        Bought(amount=3000, cents=1_800_00),
        Bought(amount=4000, cents=2_960_00),
        Used(amount=4400),
        Bought(amount=2200, cents=1_760_00),
        Used(amount=2100),
    ]

    found = moving_average(moves)

    assert found.used_cents == (2_992_00, 1_543_50)
    assert found.used_total_cents == 4_535_50
    assert (found.left_amount, found.left_cents) == (2700, 1_984_50)
