"""Worksheets and cut sheets, to be printed. Helpers may have them: no money is on any."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_safe

from billets.models import Billet
from shop.models import ForgeClass, Seat
from shop.sheets.pdf_answer import printed
from shop.worksheets import pages
from stock.web.requests import HtmxRequest


@require_safe
def class_sheets(request: HtmxRequest, class_id: int) -> HttpResponse:
    """The worksheets of a class with the instructor's cover; `?seat=` for one without."""
    row = get_object_or_404(ForgeClass.objects.select_related("layup"), pk=class_id)
    seat = asked_seat(request, row)
    name = f"sheet-{seat.billet.mark if seat.billet else seat.number}" if seat else "worksheets"
    return printed(
        request,
        lambda: pages.class_html(
            row, house=request.house, address=request.build_absolute_uri, seat=seat
        ),
        name=f"{name}-class-{row.pk}",
    )


@require_safe
def class_cuts(request: HtmxRequest, class_id: int) -> HttpResponse:
    """The cut sheet of a class."""
    row = get_object_or_404(ForgeClass, pk=class_id)
    return printed(
        request,
        lambda: pages.cuts_html(row, house=request.house),
        name=f"cuts-class-{row.pk}",
    )


@require_safe
def billet_sheet(request: HtmxRequest, mark: str) -> HttpResponse:
    """The worksheet of one billet."""
    billet = get_object_or_404(Billet, mark=mark.upper())
    return printed(
        request,
        lambda: pages.billet_html(billet, house=request.house, address=request.build_absolute_uri),
        name=f"sheet-{billet.mark}",
    )


def asked_seat(request: HttpRequest, row: ForgeClass) -> Seat | None:
    """The seat that the address asks for; none asks for all. A strange one is not found."""
    asked = request.GET.get("seat", "")
    if not asked:
        return None
    number = int(asked) if asked.isascii() and asked.isdigit() and len(asked) < 10 else 0
    seats = row.seats.active().select_related("billet")
    return get_object_or_404(seats, pk=number)
