"""Buying: what is short and why, the cheapest way to buy it, orders from it."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_http_methods, require_POST

from shop.buying import reading as buying_reading
from shop.buying import writing as buying_writing
from shop.models import BuyingRun, ForgeClass
from stock.ledger.refusals import BadAmount
from stock.web.requests import HtmxRequest, owner_only, page_or_partial, person, row_number


@require_http_methods(["GET", "POST"])
def buying(request: HtmxRequest) -> HttpResponse:
    """The latest look at what is short; POST looks again."""
    if request.method == "POST":
        buying_writing.start(house=request.house, by=person(request))
        return redirect("shop:buying")
    return show(request)


class BuyingContext(buying_reading.BuyingPage):
    """The page, with why nothing was ordered and the class that somebody came from."""

    error: str
    asked_for: ForgeClass | None


def show(request: HtmxRequest, *, error: str = "", status: int = 200) -> HttpResponse:
    """The page, or only its changing part for htmx."""
    context = BuyingContext(
        **buying_reading.buying_page(house=request.house),
        error=error,
        asked_for=class_asked_for(request),
    )
    return page_or_partial(request, "shop/buying/page.html", "buying", context, status=status)


def class_asked_for(request: HtmxRequest) -> ForgeClass | None:
    """The class that somebody came from."""
    return ForgeClass.objects.filter(pk=row_number(request.GET.get("class", ""))).first()


@require_POST
def buying_stop(request: HtmxRequest) -> HttpResponse:
    """Take the best so far."""
    buying_writing.ask_to_stop()
    return redirect("shop:buying")


@owner_only
@require_POST
def buying_order(request: HtmxRequest) -> HttpResponse:
    """One supplier's part becomes an order; pressed twice, it is the same order."""
    run = get_object_or_404(BuyingRun, pk=row_number(request.POST.get("run", "")))
    way, supplier = request.POST.get("way", ""), request.POST.get("supplier", "")
    try:
        purchase = buying_writing.place_order(
            run=run, way=way, supplier=supplier, house=request.house, by=person(request)
        )
    except buying_writing.AlreadyOrdered as error:
        messages.warning(request, str(error))
        return redirect("stock:purchase-detail", error.purchase_id)
    except (buying_writing.OrderingError, BadAmount) as error:
        return show(request, error=f"Nothing was ordered. {error}", status=422)
    due = f", due {purchase.due_on.day} {purchase.due_on:%B}" if purchase.due_on else ""
    messages.success(request, f"Written down as ordered from {supplier}{due}.")
    return redirect(purchase)
