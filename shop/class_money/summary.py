"""The owner's summary of a class's money, on one page of paper."""

from __future__ import annotations

from collections.abc import Sequence

from django.template.loader import render_to_string

from shop.class_money.figures import ClassFigures
from shop.costing.seats import Variance
from shop.models import ForgeClass
from stock.house import House


def class_summary_html(row: ForgeClass, figures: ClassFigures, *, house: House) -> str:
    """The owner's one page about a class: what the money page shows, without its forms."""
    about = {
        "row": row,
        "house": house,
        "title": f"{row}: money",
        "paper": True,
        "halves": halved(figures["variance"].splits) if figures["variance"] else [],
    }
    return render_to_string("pdf/class_money.html", {**figures, **about})


def halved(splits: Sequence[Variance]) -> list[Sequence[Variance]]:
    """The lines of the after-class split in two columns, so that the page stays one."""
    middle = -(-(len(splits) + 1) // 2)  # the sum of all stands under the second
    return [splits[:middle], splits[middle:]]
