"""Dates of a class, the shop's hours, and the calendar that follows them."""

from __future__ import annotations

from typing import NotRequired, TypedDict

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from shop.calendar import reading as calendar_reading
from shop.calendar import writing as calendar_writing
from shop.calendar.opening import OpeningError
from shop.dates import reading as dates_reading
from shop.dates import writing as dates_writing
from shop.dates.forms import OpeningForm, opening_initial
from shop.dates.ics_file import calendar_text
from shop.dates.timetable_drawing import TimetableDrawing, timetable_drawing
from shop.models import CalendarLink, ForgeClass
from shop.rates import writing as rates
from shop.rates.own_minutes import own_minutes
from shop.rates.own_times import OwnTime
from stock import clock
from stock.web.requests import HtmxRequest, owner_only, person


class DatesPage(TypedDict):
    """The dates of a class, or why there are none."""

    row: ForgeClass
    place: str
    dates: dates_reading.ClassDates | None
    standing: str
    refused: NotRequired[str]
    drawing: NotRequired[TimetableDrawing]
    own: NotRequired[OwnTime | None]


@require_safe
def dates_page(request: HtmxRequest, class_id: int) -> HttpResponse:
    """When to order, when to begin; first of all whether it is too late."""
    row = get_object_or_404(ForgeClass.objects.select_related("layup"), pk=class_id)
    standing = dates_reading.standing_sentence(row, today=clock.today())
    context = DatesPage(row=row, place="classes", dates=None, standing=standing)
    if standing:
        return render(request, "shop/dates/class_dates.html", context)
    try:
        dates = dates_reading.class_dates(
            row, history=rates.history(), house=request.house, today=clock.today()
        )
    except OpeningError as error:
        context["refused"] = str(error)
    else:
        context |= {
            "dates": dates,
            "drawing": timetable_drawing(dates.table),
            "own": own_minutes().before_class,
        }
    return render(request, "shop/dates/class_dates.html", context)


@owner_only
@require_http_methods(["GET", "POST"])
def opening(request: HtmxRequest) -> HttpResponse:
    """Hours of work, closed days, and the calendar's address."""
    form = OpeningForm(request.POST or None, initial=opening_initial(calendar_reading.hours()))
    if request.method == "POST" and form.is_valid():
        calendar_writing.set_hours(
            minutes=form.minutes(),
            closed=form.cleaned_data["closed"],
            clear_days=form.cleaned_data["clear_days"],
        )
        messages.success(request, "Saved. The dates of all classes follow.")
        return redirect("shop:opening")
    link = dates_reading.standing()
    path = reverse("shop:calendar-feed", args=[link.token]) if link else ""
    context = {
        "form": form,
        "link": link,
        "address": request.build_absolute_uri(path) if link else "",
        "place": "shop",
    }
    return render(request, "shop/dates/opening.html", context, status=422 if form.errors else 200)


@owner_only
@require_POST
def calendar_renew(request: HtmxRequest) -> HttpResponse:
    """A new address; the old one stops."""
    dates_writing.renew(by=person(request))
    messages.success(request, "The new address works now; an older one has stopped.")
    return redirect("shop:opening")


@owner_only
@require_POST
def calendar_withdraw(request: HtmxRequest) -> HttpResponse:
    """Stop the address."""
    dates_writing.withdraw()
    messages.success(request, "The address is withdrawn; calendars that ask it get nothing.")
    return redirect("shop:opening")


@login_not_required
@require_safe
def calendar_feed(request: HtmxRequest, token: str) -> HttpResponse:
    """The dates for a calendar that cannot sign in; whoever has the address may read them."""
    if not CalendarLink.objects.filter(token=token, withdrawn_at=None).exists():
        # plain, since the shop's own page for this would tell a stranger whose it is
        return HttpResponse("There is no calendar here.\n", status=404, content_type="text/plain")
    dated = dates_reading.feed_events(
        history=rates.history(), house=request.house, today=clock.today()
    )
    text = calendar_text(
        dated, name=request.house.name, host=dates_reading.shop_name(), now=clock.now()
    )
    response = HttpResponse(text, content_type="text/calendar; charset=utf-8")
    response["Cache-Control"] = "private, max-age=900"
    response["Content-Disposition"] = 'inline; filename="classes.ics"'
    response["X-Robots-Tag"] = "noindex"
    return response
