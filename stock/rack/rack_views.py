"""The rack, and the way from a painted mark to its page."""

from __future__ import annotations

from django.http import Http404, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_safe

from stock.ledger import marks
from stock.models import Piece
from stock.rack.rack_reading import rack_page
from stock.web.requests import HtmxRequest, page_or_partial


@require_safe
def rack(request: HtmxRequest) -> HttpResponse:
    """What is there and what of it is free, by alloy and section."""
    context = rack_page(request.GET, house=request.house)
    return page_or_partial(request, "stock/rack.html", "rack", context)


@require_safe
def mark_page(request: HtmxRequest, mark: str) -> HttpResponse:
    """Open what a mark is painted on: a piece, else a billet."""
    try:
        known = marks.typed_mark(mark)
    except marks.MarkError as error:
        raise Http404(str(error)) from error
    if Piece.objects.filter(mark=known).exists():
        return redirect("stock:piece-detail", known)
    return redirect("billets:billet-detail", known)
