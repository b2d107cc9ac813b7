"""After class: sizes, heats and outcomes typed in one form; then what the class came to."""

from __future__ import annotations

from collections.abc import Sequence

from django.contrib import messages
from django.http import HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from shop.after_class import reading as after_class_reading
from shop.after_class import writing as after_class
from shop.after_class.forms import OutcomeForm, SpoolForm
from shop.classes.reading import stages_of
from shop.models import ForgeClass, Seat
from shop.planning.writing import PlanningError
from shop.words.numbers import counted, verb
from stock import clock
from stock.house import House
from stock.ledger.refusals import LedgerError
from stock.models import Piece
from stock.web.acting import in_messages, or_say
from stock.web.requests import HtmxRequest, owner_only, person


class AfterClassPage(after_class_reading.SummaryPart):
    """The quick form, and what the class came to."""

    row: ForgeClass
    forms: list[OutcomeForm]
    spool: SpoolForm
    refused: str
    place: str
    needs_wire: bool
    has_errors: bool
    can_end: bool


@require_http_methods(["GET", "POST"])
def after(request: HtmxRequest, class_id: int) -> HttpResponse:
    """The quick form, a row a billet, above planned against real."""
    row = get_object_or_404(ForgeClass.objects.select_related("layup"), pk=class_id)
    data = request.POST or None
    forms = outcome_forms(after_class_reading.begun_seats(row), house=request.house, data=data)
    spool = SpoolForm(data, spools=after_class_reading.spool_choices(request.house))
    refused = ""
    if data is not None:
        checked = [form.is_valid() for form in (*forms, spool)]  # every row, not the first bad one
        if all(checked):
            refused = saved(request, row, forms, spool)
            if not refused:
                return redirect("shop:after-class", row.pk)
    context = AfterClassPage(
        row=row,
        forms=forms,
        spool=spool,
        refused=refused,
        place="classes",
        needs_wire=any(form.needs_wire for form in forms),
        has_errors=any(form.errors for form in forms) or bool(spool.errors),
        can_end=row.state in ("open", "planned") and row.starts_on <= clock.today(),
        **after_class_reading.summary(row, house=request.house),
    )
    status = 422 if refused or context["has_errors"] else 200
    return render(request, "shop/after_class.html", context, status=status)


def outcome_forms(
    seats: Sequence[Seat], *, house: House, data: QueryDict | None = None
) -> list[OutcomeForm]:
    """One form a billet, filled with what is known."""
    billets = [seat.billet for seat in seats if seat.billet]
    stages, latest = stages_of(billets), after_class_reading.latest_sizes(billets)
    return [
        OutcomeForm(
            data,
            billet=seat.billet,
            stage=stages[seat.billet.pk],
            latest=latest.get(seat.billet.pk),
            who=f"Spare {seat.number}" if seat.is_spare and not seat.student else str(seat),
            house=house,
        )
        for seat in seats
        if seat.billet
    ]


def saved(
    request: HtmxRequest, row: ForgeClass, forms: Sequence[OutcomeForm], spool: SpoolForm
) -> str:
    """Write all rows down; gives the sentence of a refusal, or nothing."""
    chosen = spool.cleaned_data["spool"]
    try:
        written = after_class.record_outcomes(
            forge_class=row,
            outcomes=[form.outcome() for form in forms],
            house=request.house,
            by=person(request),
            spool=Piece.objects.get(pk=chosen) if chosen else None,
        )
    except after_class.OutcomeRefused as error:
        row_form = next(form for form in forms if form.billet == error.billet)
        row_form.add_error("reached", str(error))
        return f"{error.billet.mark}: {error} Nothing was written yet."
    except LedgerError as error:
        return f"{error} Nothing was written yet."
    if written:
        messages.success(request, f"{counted(written, 'row')} written down.")
    else:
        messages.info(request, "Nothing was new, so nothing was written.")
    return ""


@require_POST
def class_hold(request: HtmxRequest, class_id: int) -> HttpResponse:
    """The class is over, whatever came of its billets."""
    row = get_object_or_404(ForgeClass, pk=class_id)
    with or_say(PlanningError, say=in_messages(request)) as attempt:
        freed = after_class.hold_class(forge_class=row, today=clock.today())
    if attempt.is_done:
        cuts = f"{counted(freed, 'cut')} that {verb(freed, 'was', 'were')} never made"
        told = f" {cuts} {verb(freed, 'is', 'are')} free again." if freed else ""
        messages.success(request, f"{row} is over.{told}")
    return redirect("shop:after-class", row.pk)


@owner_only
@require_POST
def class_reopen(request: HtmxRequest, class_id: int) -> HttpResponse:
    """The class is not over after all; says what came back and what did not."""
    row = get_object_or_404(ForgeClass, pk=class_id)
    with or_say(PlanningError, say=in_messages(request)) as attempt:
        back = after_class.reopen_class(forge_class=row)
    if not attempt.is_done:
        return redirect(row)
    told = [f"{row} is not over any more."]
    if back.set_aside:
        cuts = counted(back.set_aside, "cut")
        told.append(f"{cuts} {verb(back.set_aside, 'is', 'are')} set aside again.")
    if back.unplanned:
        blanks = counted(back.unplanned, "blank")
        told.append(
            f"{blanks} {verb(back.unplanned, 'has', 'have')} no metal: make the plan again."
        )
    if back.is_ended:
        told.append("All its billets have ended, so the next outcome written down ends it again.")
    messages.success(request, " ".join(told))
    return redirect(row)
