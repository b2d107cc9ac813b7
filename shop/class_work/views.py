"""Work at the billets of a class: one's clock, minutes and the next stage, for several at once.

Each act is a plain POST; ticked boxes say which billets are meant.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TypedDict, Unpack

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from billets.history.writing import WorkshopError
from billets.hours import writing as hours
from billets.hours.forms import StopForm
from billets.models import StepKind, WorkTime
from shop.class_work import reading as class_work_reading
from shop.class_work import writing as class_work
from shop.class_work.forms import ClassMinutesForm, ClassStageForm
from shop.models import ForgeClass
from shop.words.numbers import counted, verb
from stock.web.acting import or_say
from stock.web.requests import HtmxRequest, person

NOTHING_CHOSEN = "Nothing was done. Press one of the buttons: a step, a stage, or Write it down."


class Answer(TypedDict, total=False):
    """Why nothing was written, and the forms as they were typed."""

    refusal: str
    minutes_form: ClassMinutesForm
    stage_form: ClassStageForm
    stop_form: StopForm


class WorkPage(class_work_reading.WorkPart):
    """The page with its forms."""

    minutes_form: ClassMinutesForm
    stage_form: ClassStageForm
    stop_form: StopForm
    refusal: str


def class_row(class_id: int) -> ForgeClass:
    """The class with its layup."""
    return get_object_or_404(ForgeClass.objects.select_related("layup"), pk=class_id)


def ticked_ids(request: HtmxRequest) -> set[int]:
    """Billets that were ticked."""
    given = request.POST.getlist("billet")
    return {int(text) for text in given if text.isascii() and text.isdigit() and len(text) < 12}


def shown(
    request: HtmxRequest, row: ForgeClass, *, status: int = 200, **answer: Unpack[Answer]
) -> HttpResponse:
    """The page; ticks and what was typed are kept."""
    part = class_work_reading.work_context(
        row, person=person(request), house=request.house, ids=ticked_ids(request)
    )
    stage_form = ClassStageForm(house=request.house, wire=part["wire"])
    context = WorkPage(
        **part,
        minutes_form=answer.get("minutes_form") or ClassMinutesForm(),
        stage_form=answer.get("stage_form") or stage_form,
        stop_form=answer.get("stop_form") or StopForm(),
        refusal=answer.get("refusal", ""),
    )
    return render(request, "shop/class_work/page.html", context, status=status)


@require_http_methods(["GET", "POST"])
def work(request: HtmxRequest, class_id: int) -> HttpResponse:
    """The page; a form that was sent without any of its buttons does nothing."""
    row = class_row(class_id)
    if request.method == "POST":
        return shown_as_typed(request, row, NOTHING_CHOSEN)
    return shown(request, row)


def shown_as_typed(request: HtmxRequest, row: ForgeClass, refusal: str) -> HttpResponse:
    """A refusal, with all that was typed."""
    return shown(request, row, status=422, **typed(request) | {"refusal": refusal})


def typed(request: HtmxRequest) -> Answer:
    """What was typed into the forms of the page, none of it judged."""
    minutes, stage = ClassMinutesForm(), ClassStageForm(house=request.house)
    for form in (minutes, stage):
        for name, field in form.fields.items():
            if (key := form.add_prefix(name)) in request.POST:
                field.initial = request.POST[key]
    return Answer(minutes_form=minutes, stage_form=stage)


def answered(request: HtmxRequest, row: ForgeClass, act: Callable[[], str]) -> HttpResponse:
    """Do it, and say what was done; or say why not, and keep what was typed."""
    with or_say(hours.HoursRefused, WorkshopError) as attempt:
        words = act()
    if not attempt.is_done:
        return shown_as_typed(request, row, str(attempt.refusal))
    messages.success(request, words)
    return redirect("shop:class-work", row.pk)


@require_POST
def work_start(request: HtmxRequest, class_id: int) -> HttpResponse:
    """Start one's clock at a step of several billets."""
    row = class_row(class_id)

    def start() -> str:
        time = class_work.start_clock(
            forge_class=row,
            ids=ticked_ids(request),
            step=request.POST.get("step", ""),
            person=person(request),
        )
        count = counted(time.billets.count(), "billet")
        return f"The clock runs: {time.get_step_display()}, {count}."

    return answered(request, row, start)


@require_POST
def work_stop(request: HtmxRequest, class_id: int) -> HttpResponse:
    """Stop one's clock at billets, now or after the minutes that it really was."""
    row, form = class_row(class_id), StopForm(request.POST)
    if not form.is_valid():
        return shown(request, row, status=422, **typed(request) | {"stop_form": form})

    def stop() -> str:
        hours.stop_clock(person=person(request), minutes=form.cleaned_data["minutes"])
        return "The clock is stopped."

    return answered(request, row, stop)


@require_POST
def work_minutes(request: HtmxRequest, class_id: int) -> HttpResponse:
    """Write down time at several billets that no clock ran for."""
    row, form = class_row(class_id), ClassMinutesForm(request.POST)
    if not form.is_valid():
        return shown(request, row, status=422, **typed(request) | {"minutes_form": form})

    def add() -> str:
        time = class_work.add_minutes(
            forge_class=row, ids=ticked_ids(request), person=person(request), **form.cleaned_data
        )
        count = counted(time.billets.count(), "billet")
        return f"{form.cleaned_data['minutes']} min written down for {count} together."

    return answered(request, row, add)


@require_POST
def work_stage(request: HtmxRequest, class_id: int) -> HttpResponse:
    """Record the next stage of several billets, all of them or none."""
    row, form = class_row(class_id), ClassStageForm(request.POST, house=request.house)
    if not form.is_valid():
        return shown(request, row, status=422, **typed(request) | {"stage_form": form})
    given = form.cleaned_data

    def record() -> str:
        steps = class_work.record_stage(
            forge_class=row,
            ids=ticked_ids(request),
            by=person(request),
            house=request.house,
            **given,
        )
        label, many = StepKind(given["kind"]).label, len(steps)
        return f"{counted(many, 'billet')} {verb(many, 'is', 'are')} {label}."

    return answered(request, row, record)


@require_POST
def work_strike(request: HtmxRequest, class_id: int, time_id: int) -> HttpResponse:
    """Strike a wrong line of hours, for all the billets that share it."""
    row = class_row(class_id)
    rows = WorkTime.objects.filter(billets__seat__forge_class=row).distinct()
    time = get_object_or_404(rows, pk=time_id)

    def strike() -> str:
        hours.strike(time=time, by=person(request))
        return "The line is struck."

    return answered(request, row, strike)
