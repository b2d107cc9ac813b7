"""Offers of the suppliers: listed, added, changed, retired. For owners: it is all money."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from stock import price_list
from stock.acting import on_form, or_say
from stock.forms_offer import OfferForm, offer_initial
from stock.materials import KeepingError
from stock.models import Material, Offer, Supplier, alloy_book
from stock.offer_pages import offer_lines
from stock.web import HtmxRequest, owner_only, row_number


@owner_only
@require_safe
def offer_list(request: HtmxRequest) -> HttpResponse:
    """What the suppliers sell now."""
    return render(request, "stock/offer_list.html", {"offers": offer_lines(house=request.house)})


@owner_only
@require_http_methods(["GET", "POST"])
def offer_form(request: HtmxRequest, offer_id: int | None = None) -> HttpResponse:
    """An offer, new or changed."""
    row = get_object_or_404(Offer, pk=offer_id) if offer_id else None
    initial = offer_initial(row, system=request.house.system) if row else asked_for(request)
    form = OfferForm(request.POST or None, house=request.house, initial=initial, book=alloy_book())
    if request.method == "POST" and form.is_valid():
        with or_say(KeepingError, say=on_form(form)) as attempt:
            saved = price_list.keep_offer(offer=row, **form.values())
        if attempt.is_done:
            messages.success(request, f"The offer of {saved.supplier} is on the list.")
            return redirect("stock:offer-list")
    context = {"form": form, "row": row}
    status = 422 if form.errors else 200
    return render(request, "stock/offer_form.html", context, status=status)


def asked_for(request: HtmxRequest) -> dict[str, str]:
    """The supplier and the material that a link names; what is not there chooses nothing."""
    rows = {"supplier": Supplier.objects.all(), "material": Material.objects.all()}
    given = {name: request.GET.get(name, "") for name in rows}
    return {
        name: key for name, key in given.items() if rows[name].filter(pk=row_number(key)).exists()
    }


@owner_only
@require_POST
def offer_retire(request: HtmxRequest, offer_id: int) -> HttpResponse:
    """An offer that no longer holds."""
    price_list.retire_offer(offer=get_object_or_404(Offer, pk=offer_id))
    messages.success(request, "The offer is retired; buying leaves it out.")
    return redirect("stock:offer-list")
