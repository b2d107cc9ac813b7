"""Pages for paper about money and knives, put together for `stock.paper` to draw."""

from __future__ import annotations

from typing import Any

from django.template.loader import render_to_string

from stock.house import House


def class_summary_html(context: dict[str, Any], *, house: House) -> str:
    """The owner's one page about a class: what the money page shows, without its forms."""
    title = f"{context['row']}: money"
    return render_to_string(
        "pdf/class_money.html", context | {"house": house, "title": title, "paper": True}
    )
