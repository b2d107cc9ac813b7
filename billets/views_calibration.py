"""What the shop's own measured billets say, and how far to trust it."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from billets import calibration_pages, how_we_know
from billets.record import shop_calibration
from stock.models import alloy_book
from stock.web import HtmxRequest


@require_GET
def calibration(request: HtmxRequest) -> HttpResponse:
    """Predicted against measured, billet by billet."""
    found = shop_calibration(request.house)
    context = calibration_pages.context(found, house=request.house) | {"place": "billets"}
    return render(request, "billets/calibration.html", context)


@require_GET
def how_we_know_page(request: HtmxRequest) -> HttpResponse:
    """Every figure and formula with its source, its mark and its check, read from the code."""
    context = {
        "alloys": how_we_know.alloy_figures(alloy_book()),
        "modules": how_we_know.known_modules(),
        "marks": how_we_know.MARK_WORDS,
        "place": "layups",
    }
    return render(request, "billets/how_we_know.html", context)
