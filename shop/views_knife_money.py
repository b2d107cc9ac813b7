"""The money of a knife: outside work and its sale. Owners only."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_POST

from shop import knives
from shop.forms_knife import SaleForm, ServiceForm
from shop.models import KnifeService
from shop.views_knife import answered, knife_of, shown
from stock.web import HtmxRequest, owner_only, person


@owner_only
@require_POST
def knife_service(request: HtmxRequest, knife_id: int) -> HttpResponse:
    """Write down outside work."""
    knife, form = knife_of(knife_id), ServiceForm(request.POST, house=request.house)
    if not form.is_valid():
        return shown(request, knife, status=422, service_form=form)
    knives.add_service(knife=knife, by=person(request), **form.cleaned_data)
    messages.success(request, "Written down.")
    return redirect("shop:knife-detail", knife.pk)


@owner_only
@require_POST
def knife_service_strike(request: HtmxRequest, knife_id: int, service_id: int) -> HttpResponse:
    """Strike a wrong line of outside work."""
    service = get_object_or_404(KnifeService, pk=service_id, knife=knife_id)
    knives.strike_service(service=service)
    messages.success(request, "The line is struck.")
    return redirect("shop:knife-detail", knife_id)


@owner_only
@require_POST
def knife_sell(request: HtmxRequest, knife_id: int) -> HttpResponse:
    """Write down the sale."""
    knife, form = knife_of(knife_id), SaleForm(request.POST, house=request.house)
    if not form.is_valid():
        return shown(request, knife, status=422, sale_form=form)
    given = form.cleaned_data
    return answered(
        request,
        knife,
        lambda: knives.sell(knife=knife, **given),
        f"{knife} is sold to {given['sold_to']}.",
    )


@owner_only
@require_POST
def knife_unsell(request: HtmxRequest, knife_id: int) -> HttpResponse:
    """Take the sale back."""
    knife = knife_of(knife_id)
    knives.take_sale_back(knife=knife)
    messages.success(request, f"{knife} counts as not sold.")
    return redirect("shop:knife-detail", knife.pk)
