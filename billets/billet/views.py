"""One billet: where it stands, what was done to it, what it measured, what its metal is.

Each act is a plain POST; with htmx the work part of the page alone comes back.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Unpack

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_GET, require_POST

from billets.billet import detail
from billets.billet import reading as billet_reading
from billets.billet.detail import Answer, HoursPart, MetalPart, WorkPart
from billets.billet.forms import BarForm, FailForm, HeatForm, SizeForm, StepForm
from billets.blanks import writing as cutting
from billets.history import bar_writing, timed_steps
from billets.history import writing as history
from billets.hours import writing as hours
from billets.hours.forms import MinutesForm, StopForm
from billets.models import Billet, Heat, StepKind, WorkTime
from stock.ledger.refusals import LedgerError
from stock.web.acting import or_say
from stock.web.requests import HtmxRequest, page_or_partial, person

DETAIL = "billets/billet/detail.html"


def billet_of(mark: str) -> Billet:
    """The billet with a mark, however it was typed."""
    rows = Billet.objects.select_related("layup", "by", "bar__piece")
    return get_object_or_404(rows, mark=billet_reading.mark_typed(mark))


@require_GET
def billet_detail_page(request: HtmxRequest, mark: str) -> HttpResponse:
    """Everything about one billet."""
    billet = billet_of(mark)
    if billet.mark != mark:
        return redirect(billet)
    return shown(request, billet)


class BilletPart(WorkPart, HoursPart):
    """The part of a billet's page that its acts change."""


class BilletPage(BilletPart, MetalPart):
    """The whole page of a billet."""


def shown(
    request: HtmxRequest, billet: Billet, *, status: int = 200, **answer: Unpack[Answer]
) -> HttpResponse:
    """The page, or its work part for htmx."""
    is_part = bool(request.htmx and not request.htmx.history_restore_request)
    work = detail.work_context(billet, house=request.house, answer=answer)
    about = detail.hours_context(
        billet,
        person=person(request),
        next_kind=work["next_kind"],
        is_failed=work["is_failed"],
        answer=answer,
    )
    part = BilletPart(**work, **about)
    if is_part:
        return page_or_partial(request, DETAIL, "work", part, status=status)
    metal = detail.metal_context(billet, house=request.house, query=request.GET.dict())
    return page_or_partial(request, DETAIL, "work", BilletPage(**part, **metal), status=status)


def done(request: HtmxRequest, billet: Billet, words: str, *, at: str = "standing") -> HttpResponse:
    """After an act: say so beside it, and show where the billet stands now."""
    if request.htmx:
        return shown(request, billet_of(billet.mark), said=words, said_at=at)
    messages.success(request, words)
    return redirect(billet)


def answered(
    request: HtmxRequest,
    billet: Billet,
    act: Callable[[], object],
    words: str | Callable[[], str],
    *,
    at: str = "standing",
) -> HttpResponse:
    """Do an act; where the books or the history refuse, say why and show the page."""
    with or_say(LedgerError, history.WorkshopError, hours.HoursRefused) as attempt:
        act()
    if not attempt.is_done:
        why = str(attempt.refusal)
        return shown(request, billet, refusal=why, refusal_at=at, status=422)
    return done(request, billet, words if isinstance(words, str) else words(), at=at)


@require_POST
def billet_step(request: HtmxRequest, mark: str) -> HttpResponse:
    """Record the next stage; welding shut books wire by estimate."""
    billet = billet_of(mark)
    kind = request.POST.get("kind", "")
    wire_ug = detail.wire_estimate_ug(billet, house=request.house)
    form = StepForm(request.POST, house=request.house, kind=kind, wire_ug=wire_ug)
    if not form.is_valid() or kind == StepKind.FAILED:
        return shown(request, billet, step_form=form, status=422)
    given = form.cleaned_data
    spool = given.get("spool")
    return answered(
        request,
        billet,
        lambda: timed_steps.record_steps(
            billets=[billet],
            kind=kind,
            by=person(request),
            note=given["note"],
            minutes=given["minutes"],
            spool=spool,
            wire_ug={billet.pk: wire_ug if spool else 0},
        ),
        f"{billet} is {StepKind(kind).label}.",
    )


@require_POST
def billet_fail(request: HtmxRequest, mark: str) -> HttpResponse:
    """Record that a billet failed, and why."""
    billet = billet_of(mark)
    form = FailForm(request.POST, house=request.house)
    if not form.is_valid():
        return shown(request, billet, fail_form=form, status=422)
    return answered(
        request,
        billet,
        lambda: history.record_step(
            billet=billet, kind=StepKind.FAILED, by=person(request), **form.cleaned_data
        ),
        lambda: f"{billet} is written down as failed.{history.freed_words(billet)}",
    )


@require_POST
def billet_undo(request: HtmxRequest, mark: str) -> HttpResponse:
    """Take the last stage back; cuts made by hand go back on the rack with it."""
    billet = billet_of(mark)
    by = person(request)
    is_by_hand = history.stage(billet) == StepKind.CUT and cutting.are_cut_by_hand(billet)

    def take_back() -> None:
        if is_by_hand:
            cutting.put_back(billet=billet, by=by)
        else:
            history.undo_step(billet=billet, by=by)

    def words() -> str:
        return f"The last step of {billet} is taken back. {history.undone_words(billet)}".strip()

    return answered(request, billet, take_back, words)


@require_POST
def billet_heat(request: HtmxRequest, mark: str) -> HttpResponse:
    """Write one heat into the log."""
    billet = billet_of(mark)
    form = HeatForm(request.POST, house=request.house, billet=billet)
    if not form.is_valid():
        return shown(request, billet, heat_form=form, status=422)
    try:
        heat = history.log_heat(
            billet=billet, by=person(request), question=form.question, **form.cleaned_data
        )
    except history.HeatTaken as taken:
        form.ask_for(taken)
        return shown(request, billet, heat_form=form, status=422)
    words = f"Heat {heat.number} of {billet} is written down."
    return done(request, billet, words, at="heats")


@require_POST
def billet_heat_strike(request: HtmxRequest, mark: str, heat_id: int) -> HttpResponse:
    """Strike a wrong line of the heat log."""
    billet = billet_of(mark)
    heat = get_object_or_404(Heat, pk=heat_id, billet=billet)
    return answered(
        request,
        billet,
        lambda: history.strike_heat(heat=heat, by=person(request)),
        f"Heat {heat.number} is struck; it stays readable.",
        at="heats",
    )


@require_POST
def billet_size(request: HtmxRequest, mark: str) -> HttpResponse:
    """Write down a measured size; a strange one is asked about first."""
    billet = billet_of(mark)
    form = SizeForm(request.POST, house=request.house, billet=billet)
    if not form.is_valid():
        return shown(request, billet, size_form=form, status=422)
    history.record_size(
        billet=billet, by=person(request), question=form.question, **form.cleaned_data
    )
    return done(request, billet, f"The size of {billet} is written down.", at="size")


@require_POST
def billet_bar(request: HtmxRequest, mark: str) -> HttpResponse:
    """Put a finished all-steel billet on the rack as a bar."""
    billet = billet_of(mark)
    form = BarForm(request.POST, house=request.house, billet=billet)
    if not form.is_valid():
        return shown(request, billet, bar_form=form, status=422)
    return answered(
        request,
        billet,
        lambda: bar_writing.make_bar(billet=billet, by=person(request), **form.cleaned_data),
        f"{billet} is on the rack as a bar.",
    )


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
        return shown(request, billet, stop_form=form, status=422)
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
        return shown(request, billet, minutes_form=form, status=422)
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
