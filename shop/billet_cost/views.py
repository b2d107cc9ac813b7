"""What one billet costs; for the owner."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_safe

from billets.billet.reading import mark_typed
from billets.models import Billet
from shop.billet_cost.reading import billet_cost
from shop.rates import writing as rates
from stock.web.requests import HtmxRequest, owner_only


@owner_only
@require_safe
def billet_cost_page(request: HtmxRequest, mark: str) -> HttpResponse:
    """Planned beside real, and what a sound billet costs."""
    billets = Billet.objects.select_related("seat__forge_class")
    billet = get_object_or_404(billets, mark=mark_typed(mark))
    if billet.mark != mark:
        return redirect("shop:billet-cost", billet.mark)
    history = rates.history()
    context = {
        "billet": billet,
        "cost": billet_cost(billet, history=history, house=request.house),
        "has_rates": history.on_or_none(rates.day_of(billet)) is not None,
        "rates_words": history.words_on(rates.day_of(billet)),
        "place": "billets",
    }
    return render(request, "shop/billet_cost.html", context)
