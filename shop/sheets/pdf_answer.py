"""A page of ours as a PDF, or the sentence why there is none. Nothing on it is money."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from django.http import HttpResponse
from django.shortcuts import render

from stock.house import House
from stock.output import pdf
from stock.output.pdf import NoPaper, PaperError
from stock.web.requests import HtmxRequest

SHEET_CSS = Path(__file__).parent.parent / "static" / "shop" / "sheet.css"


def moneyless(house: House) -> House:
    """The shop's settings as they stand on paper that anybody may pick up."""
    return replace(house, sees_money=False, is_owner=False, person="")


def as_pdf(html: str) -> bytes:
    """A page of ours as a PDF.

    Raises:
        PaperError: no PDF came of it; the sentence says why.
    """
    return pdf.pdf(html, stylesheets=(SHEET_CSS,))


class NothingToPrint(ValueError):
    """There is nothing that a sheet could be made of."""


def printed(request: HtmxRequest, page: Callable[[], str], *, name: str) -> HttpResponse:
    """The PDF, or a page that says why there is none."""
    try:
        drawn = as_pdf(page())
    except NothingToPrint as error:
        return no_paper(request, str(error), status=409)
    except NoPaper as error:
        return no_paper(request, str(error), status=503)
    except PaperError as error:
        return no_paper(request, str(error), status=500)
    response = HttpResponse(drawn, content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="{name}.pdf"'
    response["Cache-Control"] = "private, no-store"
    return response


def no_paper(request: HtmxRequest, sentence: str, *, status: int) -> HttpResponse:
    """Why there is no PDF, in a sentence."""
    context = {"sentence": sentence, "place": "classes"}
    return render(request, "shop/no_paper.html", context, status=status)
