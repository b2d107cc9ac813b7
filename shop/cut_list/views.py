"""The cut list at the saw: tick the next cut, take the last tick back, give a piece up."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_POST, require_safe

from billets.models import WorkTime
from shop.class_work import writing as class_work
from shop.cut_list import reading as cut_list_reading
from shop.cut_list import writing as cut_list
from shop.models import ForgeClass
from shop.planning.writing import PlanningError
from shop.words.numbers import counted, verb
from stock.ledger.refusals import LedgerError, NotStanding
from stock.models import Piece, SetAside
from stock.web.acting import or_say
from stock.web.requests import HtmxRequest, page_or_partial, person


@require_safe
def cuts(request: HtmxRequest, class_id: int) -> HttpResponse:
    """The cut list of a class, piece by piece."""
    return show_cuts(request, class_or_404(class_id))


class CutListContext(cut_list_reading.CutListPage):
    """The page; the clock stands on it once all is cut."""

    told: str
    is_stale: bool
    is_refused: bool
    cutting_clock: WorkTime | None


def show_cuts(
    request: HtmxRequest,
    row: ForgeClass,
    *,
    told: str = "",
    is_stale: bool = False,
    status: int = 200,
) -> HttpResponse:
    """The page, or only the list for htmx; `told` is what the last tick came to."""
    page = cut_list_reading.cut_list(row, house=request.house)
    is_all_cut = page["next"] is None
    context = CutListContext(
        **page,
        told=told,
        is_stale=is_stale,
        is_refused=status != 200,
        cutting_clock=class_work.cutting_clock(row, person=person(request)) if is_all_cut else None,
    )
    return page_or_partial(request, "shop/cut_list/page.html", "cuts", context, status=status)


@require_POST
def cut_tick(request: HtmxRequest, class_id: int, aside_id: int) -> HttpResponse:
    """Book one cut as done; what no longer matches is explained."""
    row, aside = class_or_404(class_id), aside_or_404(class_id, aside_id)
    try:
        cut_list.tick_cut(set_aside=aside, by=person(request))
    except NotStanding as error:
        is_freed = error.set_aside.state == SetAside.State.FREED
        sentence = f"{error} Nothing was booked."
        if is_freed:
            sentence = (
                f"{aside.label} is no longer cut from {aside.piece.mark}: the plan was changed "
                "since this list was shown. Nothing was booked. Put the piece back, or make the "
                "plan again."
            )
        return show_cuts(request, row, told=sentence, is_stale=is_freed, status=422)
    except (LedgerError, PlanningError) as error:
        return show_cuts(request, row, told=str(error), is_stale=True, status=422)
    told = told_of(aside)
    if request.htmx:
        return show_cuts(request, row, told=told)
    messages.success(request, told)
    return redirect("shop:cut-list", row.pk)


def told_of(aside: SetAside) -> str:
    """What a tick came to, with the mark to paint if there is a new piece."""
    new = aside.entries.filter(amount__gt=0, corrects=None, corrected_by=None).first()
    if new is not None:
        thing = "strip" if aside.kind == SetAside.Kind.STRIP else "offcut"
        return f"Paint {new.piece.mark} on the {thing}."
    return f"{aside.label} is cut." if aside.kind == SetAside.Kind.BLANK else "Booked as scrap."


@require_POST
def cut_undo(request: HtmxRequest, class_id: int, aside_id: int) -> HttpResponse:
    """Take a tick back."""
    row, aside = class_or_404(class_id), aside_or_404(class_id, aside_id)
    with or_say(LedgerError, PlanningError) as attempt:
        cut_list.undo_tick(set_aside=aside, by=person(request))
    if not attempt.is_done:
        return show_cuts(request, row, told=str(attempt.refusal), status=422)
    what = aside.label if aside.kind == SetAside.Kind.BLANK else f"The {aside.label}"
    told = f"{what} is taken back: it is to be cut again."
    if request.htmx:
        return show_cuts(request, row, told=told)
    messages.success(request, told)
    return redirect("shop:cut-list", row.pk)


@require_POST
def cut_piece_off(request: HtmxRequest, class_id: int, piece_id: int) -> HttpResponse:
    """A piece is not there, or not what the plan says: its cuts are planned elsewhere."""
    row = class_or_404(class_id)
    piece = get_object_or_404(Piece, pk=piece_id)
    count = cut_list.let_piece_go(forge_class=row, piece=piece)
    messages.warning(
        request,
        f"{counted(count, 'cut')} of {piece.mark} {verb(count, 'is', 'are')} let go. Count or "
        f"scrap {piece.mark} in the rack so that "
        "the books are right, then make the plan again.",
    )
    return redirect("shop:plan", row.pk)


def class_or_404(class_id: int) -> ForgeClass:
    """The class with its layup."""
    return get_object_or_404(ForgeClass.objects.select_related("layup"), pk=class_id)


def aside_or_404(class_id: int, aside_id: int) -> SetAside:
    """A set-aside of this class."""
    rows = SetAside.objects.filter(plan=f"class:{class_id}").select_related("piece__material")
    return get_object_or_404(rows, pk=aside_id)
