"""Materials and saws: the lists, one more, one changed, one retired."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from stock.catalogue.forms import MaterialForm, SawForm, material_initial, saw_initial
from stock.catalogue.reading import material_list_page
from stock.materials import writing as materials
from stock.models import Material, Saw, alloy_book
from stock.web.acting import on_form, or_say
from stock.web.requests import HtmxRequest


@require_safe
def material_list(request: HtmxRequest) -> HttpResponse:
    """What the shop buys, with what is there of it."""
    return render(
        request, "stock/catalogue/material_list.html", material_list_page(house=request.house)
    )


@require_http_methods(["GET", "POST"])
def material_add(request: HtmxRequest) -> HttpResponse:
    """One more material."""
    form = MaterialForm(request.POST or None, house=request.house, book=alloy_book())
    if request.method == "POST" and form.is_valid():
        with or_say(materials.KeepingError, say=on_form(form)) as attempt:
            materials.make_material(**form.values())
        if attempt.is_done:
            messages.success(request, "It is on the list.")
            return redirect("stock:material-list")
    return show_material(request, form, None)


@require_http_methods(["GET", "POST"])
def material_change(request: HtmxRequest, material_id: int) -> HttpResponse:
    """A material's section, name, levels."""
    row = get_object_or_404(Material, pk=material_id)
    form = MaterialForm(
        request.POST or None,
        house=request.house,
        book=alloy_book(),
        initial=material_initial(row, system=request.house.system),
    )
    if request.method == "POST" and form.is_valid():
        with or_say(materials.KeepingError, say=on_form(form)) as attempt:
            materials.change_material(material=row, **form.values())
        if attempt.is_done:
            messages.success(request, "Saved.")
            return redirect("stock:material-list")
    return show_material(request, form, row)


def show_material(request: HtmxRequest, form: MaterialForm, row: Material | None) -> HttpResponse:
    """The form of a material."""
    context = {"form": form, "row": row, "has_pieces": row is not None and row.pieces.exists()}
    status = 422 if form.errors else 200
    return render(request, "stock/catalogue/material_form.html", context, status=status)


@require_POST
def material_retire(request: HtmxRequest, material_id: int) -> HttpResponse:
    """Off the lists, or back on them."""
    row = get_object_or_404(Material, pk=material_id)
    materials.retire_material(material=row, is_retired=not row.is_retired)
    messages.success(request, "It is back on the list." if row.is_retired else "It is retired.")
    return redirect("stock:material-list")


@require_http_methods(["GET", "POST"])
def saw_list(request: HtmxRequest, saw_id: int | None = None) -> HttpResponse:
    """What parts the metal, with a form for one more, or for the one that is chosen."""
    row = get_object_or_404(Saw, pk=saw_id) if saw_id else None
    form = SawForm(
        request.POST or None, house=request.house, initial=saw_initial(row) if row else {}
    )
    if request.method == "POST" and form.is_valid():
        with or_say(materials.KeepingError, say=on_form(form)) as attempt:
            saw = materials.keep_saw(saw=row, **form.values())
        if attempt.is_done:
            messages.success(request, f"{saw} is on the list.")
            return redirect("stock:saw-list")
    context = {"form": form, "row": row, "saws": Saw.objects.all(), "place": "rack"}
    return render(
        request, "stock/catalogue/saw_list.html", context, status=422 if form.errors else 200
    )
