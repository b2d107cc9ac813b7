"""What the shop's own measured billets say, and how far to trust it."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from billets.history.record import shop_calibration
from billets.known import calibration as calibration_pages
from billets.known import how_we_know, index
from stock.models import alloy_book
from stock.web.requests import HtmxRequest


@require_GET
def calibration(request: HtmxRequest) -> HttpResponse:
    """Predicted against measured, billet by billet."""
    found = shop_calibration(request.house)
    context = calibration_pages.context(found, house=request.house)
    return render(request, "billets/known/calibration.html", context)


@require_GET
def how_we_know_page(request: HtmxRequest) -> HttpResponse:
    """Every figure and formula with its source, its mark and its check, read from the code."""
    book = alloy_book()
    asked = index.asked_for(request.GET.dict(), alloys=book)
    alloys = index.alloys_asked(how_we_know.alloy_figures(book), asked=asked)
    figures = [figure for one in alloys for figure in one.figures]
    modules = index.modules_asked(how_we_know.known_modules(), asked=asked)
    context = {
        "alloys": [(one, index.counted(one.figures, word="figure")) for one in alloys],
        "alloy_words": index.counted(figures, word="figure"),
        "alloy_size": f"{len(alloys)} of {len(book)} alloys, {len(figures)} figures",
        "parts": [
            (part, [(one, index.module_words(one)) for one in part.modules])
            for part in index.parts(modules)
        ],
        "marks": how_we_know.MARK_WORDS,
        "short_marks": index.SHORT_MARKS,
        "choices": [(key, one.name) for key, one in book.items()],
        "asked": asked,
        "place": "layups",
    }
    return render(request, "billets/known/how_we_know.html", context)
