"""Suppliers, for the owner, and the book of alloys, for everybody."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from stock import materials
from stock.acting import on_form, or_say
from stock.alloy_pages import alloy_list_page
from stock.forms_supplier import AlloyForm, SupplierForm, alloy_initial, supplier_initial
from stock.models import OwnAlloy, Supplier
from stock.web import HtmxRequest, owner_only


@owner_only
@require_safe
def supplier_list(request: HtmxRequest) -> HttpResponse:
    """Who sells metal, how fast and at what charge."""
    return render(request, "stock/supplier_list.html", {"suppliers": Supplier.objects.all()})


@owner_only
@require_http_methods(["GET", "POST"])
def supplier_form(request: HtmxRequest, supplier_id: int | None = None) -> HttpResponse:
    """A supplier, new or changed."""
    row = get_object_or_404(Supplier, pk=supplier_id) if supplier_id else None
    initial = supplier_initial(row) if row else {"days_to_deliver": 7}
    form = SupplierForm(request.POST or None, house=request.house, initial=initial)
    if request.method == "POST" and form.is_valid():
        with or_say(materials.KeepingError, say=on_form(form)) as attempt:
            saved = materials.keep_supplier(supplier=row, **form.values())
        if attempt.is_done:
            messages.success(request, f"{saved} is on the list.")
            return redirect("stock:supplier-list")
    context = {"form": form, "row": row}
    status = 422 if form.errors else 200
    return render(request, "stock/supplier_form.html", context, status=status)


@require_safe
def alloy_list(request: HtmxRequest) -> HttpResponse:
    """Every alloy with each figure's source and mark."""
    return render(request, "stock/alloy_list.html", alloy_list_page(house=request.house))


@require_http_methods(["GET", "POST"])
def alloy_form(request: HtmxRequest, alloy_id: int | None = None) -> HttpResponse:
    """An alloy of the shop's own, new or changed."""
    row = get_object_or_404(OwnAlloy, pk=alloy_id) if alloy_id else None
    initial = alloy_initial(row) if row else {"density_kg_m3": 7850}
    form = AlloyForm(request.POST or None, house=request.house, initial=initial)
    if request.method == "POST" and form.is_valid():
        with or_say(materials.KeepingError, say=on_form(form)) as attempt:
            saved = materials.keep_alloy(alloy=row, **form.values())
        if attempt.is_done:
            messages.success(request, f"{saved} is in the book, marked as the shop's own.")
            return redirect("stock:alloy-list")
    context = {"form": form, "row": row, "place": "rack"}
    status = 422 if form.errors else 200
    return render(request, "stock/alloy_form.html", context, status=status)
