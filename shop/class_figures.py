"""What the money page of a class shows, and its summary on paper, from the books. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TypedDict

from shop.class_books import ClassBooks, Terms
from shop.class_costs import ClassMoneyView, class_money_view, class_plans
from shop.class_variance import ClassVariance, class_variance
from shop.costing_class import SeatsRow
from shop.drawing_profit import ProfitPlot, profit_plot
from shop.pricing import Priced
from stock.drawing_shapes import DrawingError


class ClassFigures(TypedDict):
    """The figures, by the names that the templates know."""

    terms: Terms
    wanted_share: float
    view: ClassMoneyView
    plot: ProfitPlot | None
    variance: ClassVariance | None  # once the class is held
    came_out: Priced | None


def class_figures(books: ClassBooks) -> ClassFigures:
    """Everything that is said about the money of a class.

    Args:
        books: the class.

    Returns:
        The same figures for the page and for its summary on paper.

    Source:
        `shop.class_costs`, `shop.class_variance`.
    """
    plans = class_plans(books)
    view = class_money_view(books, plans=plans)
    variance = class_variance(books, plans=plans) if books.is_held else None
    return ClassFigures(
        terms=books.terms,
        wanted_share=books.terms.wanted_share,
        view=view,
        plot=plot_of(view.rows, taken=view.taken),
        variance=variance,
        came_out=replace(view.priced, cost_cents=variance.real_cents) if variance else None,
    )


def plot_of(rows: Sequence[SeatsRow], *, taken: int) -> ProfitPlot | None:
    """Profit by seats; nothing to draw where there is none."""
    try:
        return profit_plot([row.profit_cents for row in rows], taken=taken)
    except DrawingError:
        return None
