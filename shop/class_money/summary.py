"""The owner's summary of a class's money, on one page of paper."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.template.loader import render_to_string

from shop.costing.seats import Variance
from stock.house import House


def class_summary_html(context: dict[str, Any], *, house: House) -> str:
    """The owner's one page about a class: what the money page shows, without its forms."""
    about = {
        "house": house,
        "title": f"{context['row']}: money",
        "paper": True,
        "halves": halved(context["variance"].splits) if context["variance"] else [],
    }
    return render_to_string("pdf/class_money.html", context | about)


def halved(splits: Sequence[Variance]) -> list[Sequence[Variance]]:
    """The lines of the after-class split in two columns, so that the page stays one."""
    middle = -(-(len(splits) + 1) // 2)  # the sum of all stands under the second
    return [splits[:middle], splits[middle:]]
