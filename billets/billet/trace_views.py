"""Traceability in both directions: which metal is in which billet, and the other way round."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse
from django.views.decorators.http import require_GET

from billets.billet import origins
from stock.web.requests import HtmxRequest, page_or_partial

LONGEST = 60


@require_GET
def trace(request: HtmxRequest) -> HttpResponse:
    """Type a heat, a lot or a mark; see every billet it went into, and where a billet is from."""
    typed = request.GET.get("q", "")[:LONGEST]
    query = "".join(one for one in typed if one.isprintable()).strip()
    context: dict[str, Any] = {"q": query, "place": "billets"}
    if query:
        billet = origins.billet_named(query)
        pieces = origins.pieces_named(query)
        context |= {
            "billet": billet,
            "origins": origins.origins_of(billet) if billet else (),
            "found": origins.traced(pieces),
            "is_nothing": billet is None and not pieces,
        }
    return page_or_partial(request, "billets/trace.html", "traced", context)
