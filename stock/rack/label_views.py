"""Labels to print: of chosen pieces or of a purchase, as a page and as a PDF."""

from __future__ import annotations

from pathlib import Path

from django.contrib import messages
from django.contrib.staticfiles import finders
from django.http import HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.template.loader import render_to_string
from django.urls import reverse
from django.views.decorators.http import require_safe

from stock.ledger import marks
from stock.models import Piece, alloy_book
from stock.output import pdf
from stock.rack.labels import MOST_LABELS, Label, labels_for
from stock.web.requests import HtmxRequest, plain_words

LONGEST_ADDRESS = 4000  # characters of marks: more labels than one page has
PAPER_STYLE = "shop/labels-paper.css"


def chosen_pieces(given: QueryDict) -> list[Piece]:
    """Pieces by mark, of a purchase, or all that stand, in the order of the rack."""
    rows = Piece.objects.standing().select_related("material")
    typed = plain_words(given, "marks", most=LONGEST_ADDRESS).replace(",", " ").split()
    if typed:
        rows = rows.filter(mark__in=[known_mark(mark) for mark in typed])
    purchase = plain_words(given, "purchase", most=18)
    if purchase.isdecimal():
        rows = rows.filter(line__purchase=int(purchase))
    return list(rows[:MOST_LABELS])


def known_mark(typed: str) -> str:
    """A mark as the books have it; one that cannot be is left as it is and finds nothing."""
    try:
        return marks.typed_mark(typed)
    except marks.MarkError:
        return typed


def labels_asked(request: HtmxRequest) -> list[Label]:
    """The labels that the address of the page asks for."""
    return labels_for(
        chosen_pieces(request.GET),
        address=lambda mark: request.build_absolute_uri(reverse("stock:mark", args=[mark])),
        book=alloy_book(),
        house=request.house,
    )


@require_safe
def label_list(request: HtmxRequest) -> HttpResponse:
    """Labels as they print, a field to choose them, and the way to the PDF."""
    context = {
        "labels": labels_asked(request),
        "marks": request.GET.get("marks", ""),
        "query": request.GET.urlencode(),
        "most": MOST_LABELS,
    }
    return render(request, "stock/label_list.html", context)


@require_safe
def label_file(request: HtmxRequest) -> HttpResponse:
    """The labels as a PDF; where none can be made, the page that prints as well."""
    labels = labels_asked(request)
    html = render_to_string("pdf/labels.html", {"labels": labels, "house": request.house})
    style = finders.find(PAPER_STYLE)
    try:
        made = pdf.pdf(html, stylesheets=(Path(str(style)),))
    except pdf.PaperError as error:
        messages.error(request, f"{error} You can print this page instead.")
        return redirect(f"{reverse('stock:label-list')}?{request.GET.urlencode()}")
    response = HttpResponse(made, content_type="application/pdf")
    response["Content-Disposition"] = 'inline; filename="labels.pdf"'
    return response
