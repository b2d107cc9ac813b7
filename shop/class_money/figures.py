"""What the money page of a class shows, and its summary on paper, from the books. Pure."""

from __future__ import annotations

from dataclasses import replace
from typing import TypedDict

from shop.class_money.books import ClassBooks, Terms
from shop.class_money.costs import ClassMoneyView, class_money_view
from shop.class_money.profit_drawing import ProfitPlot
from shop.class_money.variance import ClassVariance, class_variance
from shop.costing.pricing import Priced


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
    """
    view = class_money_view(books)
    variance = class_variance(books, plans=view.plans) if books.is_held else None
    return ClassFigures(
        terms=books.terms,
        wanted_share=books.terms.wanted_share,
        view=view,
        plot=view.plot,
        variance=variance,
        came_out=replace(view.priced, cost_cents=variance.real_cents) if variance else None,
    )
