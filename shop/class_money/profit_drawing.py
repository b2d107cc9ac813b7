"""The profit of a class for each number of seats, as bars about nothing. Pure.

It leaves out the sums (`shop.costing.seats`) and how money is written: that is the template's.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from stock.drawings.shapes import DrawingError, nice_ticks, percent, rounded

BAR_SHARE = 0.7  # of its place; the rest is air


@dataclass(frozen=True)
class ProfitBar:
    """One number of seats, in per cent of the plot."""

    taken: int
    profit_cents: int
    x: float
    middle: float
    width: float
    y: float
    height: float
    kind: str  # "is-less" (a loss) or "is-more"
    is_now: bool
    has_word: bool


@dataclass(frozen=True)
class MoneyTick:
    """A round sum on the axis."""

    cents: int
    at: float


@dataclass(frozen=True)
class ProfitPlot:
    """All bars, the line of nothing, and the axis."""

    bars: tuple[ProfitBar, ...]
    ticks: tuple[MoneyTick, ...]
    zero_y: float


def profit_plot(profits_cents: Sequence[int], *, taken: int) -> ProfitPlot:
    """Profit for 0, 1, 2 … seats taken, drawn.

    Args:
        profits_cents: profit for each number of seats from 0 on [minor units], two or more.
        taken: seats taken now; marks its bar.

    Returns:
        Places in per cent; losses hang below the line of nothing.

    Raises:
        DrawingError: there are fewer than two, or all of them are nothing.
    """
    low, high = min([0, *profits_cents]), max([0, *profits_cents])
    if len(profits_cents) < 2 or low == high:
        raise DrawingError(
            "There is no profit or loss to draw yet; write down a fee or a cost first.",
            seats=len(profits_cents) - 1,
        )
    span, step = high - low, 100 / len(profits_cents)
    every = -(-len(profits_cents) // 12)  # words under the bars, as many as a phone has room for
    bars = tuple(
        ProfitBar(
            taken=seats,
            profit_cents=cents,
            x=rounded(seats * step + step * (1 - BAR_SHARE) / 2),
            middle=rounded((seats + 0.5) * step),
            width=rounded(step * BAR_SHARE),
            y=percent(high - max(cents, 0), whole=span),
            height=percent(abs(cents), whole=span),
            kind="is-less" if cents < 0 else "is-more",
            is_now=seats == taken,
            has_word=seats % every == 0,
        )
        for seats, cents in enumerate(profits_cents)
    )
    ticks = tuple(
        MoneyTick(round(value), percent(high - value, whole=span))
        for value in nice_ticks(float(low), float(high), about=4)
    )
    return ProfitPlot(bars, ticks, percent(high, whole=span))
