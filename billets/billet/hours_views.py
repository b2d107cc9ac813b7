"""Hours at one billet: the clock started and stopped, minutes typed, a wrong line struck.

Each act is a plain POST; with htmx the work part of the billet's page alone comes back.
"""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_POST

from billets.billet.views import answered, billet_of, shown
from billets.hours import writing as hours
from billets.hours.forms import MinutesForm, StopForm
from billets.models import WorkTime
from stock.web.requests import HtmxRequest, person


@require_POST
def clock_start(request: HtmxRequest, mark: str) -> HttpResponse:
    """Start one's clock at a step of this billet."""
    billet, step = billet_of(mark), request.POST.get("step", "")
    return answered(
        request,
        billet,
        lambda: hours.start_clock(billets=[billet], step=step, person=person(request)),
        "The clock runs.",
        at="hours",
    )


@require_POST
def clock_stop(request: HtmxRequest, mark: str) -> HttpResponse:
    """Stop one's clock at billets, now or after the minutes that it really was."""
    billet, form = billet_of(mark), StopForm(request.POST)
    if not form.is_valid():
        return shown(request, billet, forms={"stop_form": form}, status=422)
    minutes = form.cleaned_data["minutes"]
    return answered(
        request,
        billet,
        lambda: hours.stop_clock(person=person(request), minutes=minutes),
        "The clock is stopped.",
        at="hours",
    )


@require_POST
def minutes_add(request: HtmxRequest, mark: str) -> HttpResponse:
    """Write down time that no clock ran for."""
    billet, form = billet_of(mark), MinutesForm(request.POST)
    if not form.is_valid():
        return shown(request, billet, forms={"minutes_form": form}, status=422)
    return answered(
        request,
        billet,
        lambda: hours.add_minutes(billets=[billet], person=person(request), **form.cleaned_data),
        "Written down.",
        at="hours",
    )


@require_POST
def time_strike(request: HtmxRequest, mark: str, time_id: int) -> HttpResponse:
    """Strike a wrong line of hours, for all the billets that share it."""
    billet = billet_of(mark)
    time = get_object_or_404(WorkTime, pk=time_id, billets=billet)
    return answered(
        request,
        billet,
        lambda: hours.strike(time=time, by=person(request)),
        "The line is struck.",
        at="hours",
    )
