"""The cut plan of a class: made, watched while it is made, confirmed, let go."""

from __future__ import annotations

from typing import TypedDict

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_http_methods, require_POST

from shop.models import ForgeClass, PlanRun
from shop.planning import metal, runs
from shop.planning import reading as planning_reading
from shop.planning import writing as planning
from shop.planning.cut_plan import Changes, CutPlan
from shop.words.numbers import counted, verb
from stock.alloys.book import alloy_name
from stock.ledger.refusals import LedgerError
from stock.models import SetAside, alloy_book
from stock.web.requests import HtmxRequest, page_or_partial, person, row_number

State = PlanRun.State


@require_http_methods(["GET", "POST"])
def plan(request: HtmxRequest, class_id: int) -> HttpResponse:
    """The plan that is being made, is ready, or stands; POST makes one."""
    row = get_object_or_404(ForgeClass.objects.select_related("layup"), pk=class_id)
    if request.method == "POST":
        return make_plan(request, row)
    return show_plan(request, row)


def make_plan(request: HtmxRequest, row: ForgeClass) -> HttpResponse:
    """Begin computing, unless that is going on already."""
    if not row.is_standing:
        messages.error(request, f"{row} is {row.get_state_display()}; it needs no plan.")
        return redirect(row)
    runs.start(
        forge_class=row,
        house=request.house,
        by=person(request),
        only_fitting="only_fitting" in request.POST,
    )
    return redirect("shop:plan", row.pk)


def show_plan(
    request: HtmxRequest, row: ForgeClass, *, error: str = "", status: int = 200
) -> HttpResponse:
    """The page, or only its changing part for htmx."""
    context = plan_context(request, row, error=error)
    return page_or_partial(request, "shop/planning/plan.html", "planning", context, status=status)


class PlanContext(TypedDict):
    """The page of a plan before there is a result."""

    row: ForgeClass
    run: PlanRun | None
    confirmed: PlanRun | None
    draft: PlanRun | None
    unplanned: int
    has_standing: bool
    lost: str
    is_over: bool
    seat_count: int
    doing: str
    error: str


class ResultContext(PlanContext, planning_reading.PlanResult):
    """The page with what a plan came to; changes only before it is confirmed."""

    overrides: list[planning.Overridden]
    changes: Changes | None


def plan_context(
    request: HtmxRequest, row: ForgeClass, *, error: str
) -> PlanContext | ResultContext:
    """The latest run that says something, or the one that stands."""
    draft = row.runs.select_related("by").first()
    confirmed = row.runs.filter(state=State.CONFIRMED).select_related("by").first()
    wants_standing = request.GET.get("which") == "standing" and confirmed is not None
    run = confirmed if wants_standing or draft is None or draft.state == State.STALE else draft
    context = PlanContext(
        row=row,
        run=run,
        confirmed=confirmed,
        draft=draft if draft and draft.state == State.READY else None,
        unplanned=planning.unplanned_count(row),
        has_standing=has_standing(row),
        lost=runs.LOST if run and runs.is_lost(run) else "",
        is_over=not row.is_standing,
        seat_count=row.seats.active().count(),
        doing=alloy_name(run.progress.get("alloy", ""), book=alloy_book()) if run else "",
        error=error,
    )
    if run is None or run.state not in (State.READY, State.CONFIRMED):
        return context
    result = CutPlan.from_json(run.result)
    found = planning_reading.plan_context(result, forge_class=row, house=request.house)
    changes = None
    if run.state == State.READY:
        changes = planning_reading.changes_against_standing(result, forge_class=row)
    else:
        found["value_cents"] = metal.set_aside_value_cents(row.plan_key)
    return ResultContext(
        **context, **found, overrides=told_overrides(request, row), changes=changes
    )


def told_overrides(request: HtmxRequest, row: ForgeClass) -> list[planning.Overridden]:
    """Stops that the owner has answered for; none when a stop is unanswered by now."""
    try:
        return planning.overridden(list(row.seats.active().with_metal()), house=request.house)
    except planning.Unsound:
        return []


def has_standing(row: ForgeClass) -> bool:
    """Whether any metal is set aside for the class and not cut."""
    return SetAside.objects.filter(plan=row.plan_key, state=SetAside.State.STANDING).exists()


@require_POST
def plan_stop(request: HtmxRequest, class_id: int) -> HttpResponse:
    """Take the best so far."""
    row = get_object_or_404(ForgeClass, pk=class_id)
    for run in row.runs.filter(state=State.RUNNING):
        runs.ask_to_stop(run=run)
    return redirect("shop:plan", row.pk)


@require_POST
def plan_confirm(request: HtmxRequest, class_id: int) -> HttpResponse:
    """Set the metal of a plan aside; a plan that the rack has outrun is told, and made again."""
    row = get_object_or_404(ForgeClass.objects.select_related("layup"), pk=class_id)
    run = get_object_or_404(row.runs, pk=row_number(request.POST.get("run", "")))
    try:
        billets = planning.confirm(run=run, by=person(request))
    except (planning.RackChanged, LedgerError) as error:
        planning.put_out_of_date(run=run)
        row.refresh_from_db()
        return show_plan(request, row, error=f"Nothing was set aside. {error}", status=422)
    except planning.AlreadyConfirmed as error:
        messages.info(request, str(error))
        return redirect("shop:plan", row.pk)
    except planning.PlanningError as error:
        return show_plan(request, row, error=f"Nothing was set aside. {error}", status=422)
    messages.success(request, f"Metal is set aside for {counted(len(billets), 'billet')}.")
    return redirect("shop:plan", row.pk)


@require_POST
def plan_free(request: HtmxRequest, class_id: int) -> HttpResponse:
    """Cancel the plan: what is not cut is free again; the class stays."""
    row = get_object_or_404(ForgeClass, pk=class_id)
    count = planning.free_plan(forge_class=row)
    messages.success(
        request,
        f"The plan is cancelled; {counted(count, 'cut')} {verb(count, 'is', 'are')} free again.",
    )
    return redirect(row)
