"""Residuals and waterfalls as numbers."""

import pytest

from billets.drawings.chart import Residual, Share, residual_plot, waterfall
from stock.drawings.shapes import DrawingError


def test_a_residual_of_nothing_lies_on_the_zero_line() -> None:
    plot = residual_plot(
        [Residual(200, 0, "K1"), Residual(300, 4, "K2"), Residual(250, -2, "K3")], scatter=2
    )

    assert plot.dots[0].y == plot.zero_y == 50.0
    assert plot.dots[1].y < 50 < plot.dots[2].y
    assert plot.dots[0].x < plot.dots[2].x < plot.dots[1].x


def test_the_band_holds_the_scatter_on_both_sides() -> None:
    plot = residual_plot([Residual(200, 4, "K1"), Residual(300, -4, "K2")], scatter=2.3)

    assert (plot.band_y, plot.band_height) == (25.0, 50.0)


def test_one_billet_alone_is_drawn_in_the_middle() -> None:
    plot = residual_plot([Residual(200, 0, "K1")], scatter=0)

    assert (plot.dots[0].x, plot.dots[0].y) == (50.0, 50.0)
    assert plot.band_height == 0


def test_a_billet_left_out_of_the_fit_stays_in_the_plot() -> None:
    plot = residual_plot([Residual(200, 9, "K1", is_left_out=True)], scatter=1)

    assert plot.dots[0].residual.is_left_out


def test_a_plot_of_nothing_is_refused() -> None:
    with pytest.raises(DrawingError, match="at least one measured billet"):
        residual_plot([], scatter=1)


def test_each_step_begins_where_the_one_before_it_ends() -> None:
    drawn = waterfall(
        [Share("Steel", 600), Share("Copper", 400), Share("Salvage", -200), Share("Sum", 0, True)]
    )

    assert [(row.x, row.width, row.kind) for row in drawn.rows] == [
        (0.0, 60.0, "is-more"),
        (60.0, 40.0, "is-more"),
        (80.0, 20.0, "is-less"),
        (0.0, 80.0, "is-total"),
    ]
    assert drawn.rows[-1].amount == 800
    assert isinstance(drawn.rows[-1].amount, int)


def test_a_sum_below_nothing_moves_the_zero_line() -> None:
    drawn = waterfall([Share("Gain", 100), Share("Loss", -200)])

    assert drawn.zero_x == 50.0
    assert [(row.x, row.width) for row in drawn.rows] == [(50.0, 50.0), (0.0, 100.0)]


@pytest.mark.parametrize("shares", [[], [Share("Steel", 0)]])
def test_a_sum_of_nothing_is_refused(shares: list[Share]) -> None:
    with pytest.raises(DrawingError, match="A sum of nothing"):
        waterfall(shares)


def test_small_steps_between_large_sums_are_drawn_torn() -> None:
    steps = [Share("Planned", 1000), Share("Up", 100), Share("Down", -40)]

    found = waterfall([*steps, Share("Real", 0, is_total=True)], may_tear=True)

    # All that differs is 100, from 1000 to 1100; with 0.6 of it as air the left edge is 940.
    assert found.begins_at == pytest.approx(940)
    planned, up, down, real = found.rows
    assert (planned.is_torn, up.is_torn, down.is_torn, real.is_torn) == (True, False, False, True)
    assert (planned.x, planned.width) == (0, 37.5)
    assert (up.x, up.width) == (37.5, 62.5)
    assert (down.x, down.width) == (75, 25)
    assert real.width == 75


@pytest.mark.parametrize("amounts", [(1000, 900), (1000, -1000), (0, 500), (-100, 50)])
def test_steps_that_can_be_seen_are_not_torn(amounts: tuple[int, int]) -> None:
    shares = [Share(str(amount), amount) for amount in amounts]

    found = waterfall([*shares, Share("All", 0, is_total=True)], may_tear=True)

    assert found == waterfall([*shares, Share("All", 0, is_total=True)])
    assert found.begins_at == 0
