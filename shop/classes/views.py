"""Classes: the list, one class, adding, changing, cancelling, and its billets as a table file."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from shop.classes import reading as classes_reading
from shop.classes import seat_writing as seating
from shop.classes import writing as classes
from shop.classes.forms import CLASS_FIELDS, ClassForm, class_initial
from shop.classes.reading import billets_table
from shop.models import ForgeClass
from shop.words.numbers import counted, verb
from shop.yields import like_billets, spares
from stock import clock
from stock.models import alloy_book
from stock.output.csv_tables import csv_text
from stock.web.acting import in_messages, on_form, or_say
from stock.web.requests import HtmxRequest


@require_safe
def class_list(request: HtmxRequest) -> HttpResponse:
    """Classes to come and those that were."""
    return render(
        request, "shop/classes/list.html", classes_reading.class_lists(today=clock.today())
    )


@require_http_methods(["GET", "POST"])
def class_add(request: HtmxRequest) -> HttpResponse:
    """A new class."""
    form = ClassForm(request.POST or None, house=request.house, initial={"seat_count": 6})
    if request.method == "POST" and form.is_valid():
        row = classes.make_class(**form.cleaned_data)
        messages.success(request, f"{row} is there. Now seat the students.")
        return redirect(row)
    status = 422 if form.errors else 200
    return render(request, "shop/classes/form.html", {"form": form}, status=status)


@require_http_methods(["GET", "POST"])
def class_change(request: HtmxRequest, class_id: int) -> HttpResponse:
    """Title, days, place, seats, layup, spares, notes of a class."""
    row = get_object_or_404(ForgeClass.objects.select_related("layup"), pk=class_id)
    if row.state == ForgeClass.State.CANCELLED:
        messages.error(request, f"{row} was cancelled; nothing of it can be changed.")
        return redirect(row)
    form = ClassForm(
        request.POST or None, house=request.house, initial=class_initial(row), forge_class=row
    )
    record = like_billets.record_of(row.layup.design(), alloys=alloy_book())
    form.fields["spares"].help_text = spares.spares_hint(row.seat_count, record=record)
    if request.method == "POST" and form.is_valid():
        with or_say(seating.SeatingError, say=on_form(form)) as attempt:
            changes = {name: form.cleaned_data[name] for name in CLASS_FIELDS}
            kept = classes.change_class(forge_class=row, changes=changes)
        if attempt.is_done:
            messages.success(request, "Saved.")
            if kept:
                names = ", ".join(str(seat) for seat in kept)
                messages.warning(
                    request, f"Begun already, so they keep the layup they have: {names}."
                )
            return redirect(row)
    status = 422 if form.errors else 200
    return render(request, "shop/classes/form.html", {"form": form, "row": row}, status=status)


@require_safe
def class_detail(request: HtmxRequest, class_id: int) -> HttpResponse:
    """One class: its seats, what is cut, what has no metal, and where to go on."""
    row = get_object_or_404(ForgeClass.objects.select_related("layup"), pk=class_id)
    context = classes_reading.class_page(row, house=request.house, today=clock.today())
    return render(request, "shop/classes/detail.html", context)


@require_POST
def class_cancel(request: HtmxRequest, class_id: int) -> HttpResponse:
    """Cancel a class and free its metal."""
    row = get_object_or_404(ForgeClass, pk=class_id)
    with or_say(seating.SeatingError, say=in_messages(request)) as attempt:
        begun = classes.cancel_class(forge_class=row)
    if attempt.is_done:
        messages.success(request, f"{row} is cancelled. Its metal is free again.")
        if begun:
            marks = ", ".join(one.mark for one in begun)
            messages.info(request, f"Begun already, so they stay among the billets: {marks}.")
    return redirect(row)


@require_POST
def class_new_layups(request: HtmxRequest, class_id: int) -> HttpResponse:
    """Let uncut billets follow layups that were edited since they were planned."""
    row = get_object_or_404(ForgeClass, pk=class_id)
    with or_say(seating.SeatingError, say=in_messages(request)) as attempt:
        count = classes.take_new_layups(forge_class=row)
    if attempt.is_done:
        messages.success(
            request,
            f"{counted(count, 'billet')} {verb(count, 'follows its', 'follow their')} layup as it "
            "is now. Make the plan again.",
        )
    return redirect(row)


@require_safe
def class_csv(request: HtmxRequest, class_id: int) -> HttpResponse:
    """The billets of a class for a spreadsheet; money only for those who see it."""
    row = get_object_or_404(ForgeClass.objects.select_related("layup"), pk=class_id)
    table = billets_table(row, house=request.house)
    response = HttpResponse(csv_text(table), content_type="text/csv; charset=utf-8")
    response["Content-Disposition"] = f'attachment; filename="class-{row.pk}-billets.csv"'
    return response
