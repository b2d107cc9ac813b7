"""The shop's rates: the sheets one under the other, and a form for the next. Owners only."""

from __future__ import annotations

from datetime import date

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from shop import rates
from shop.forms_rates import RatesForm, rates_initial
from shop.models import Person, RateSheet
from shop.rate_values import shop_rates
from shop.remedies import day_text
from stock import clock
from stock.web import HtmxRequest, owner_only, person


@owner_only
@require_http_methods(["GET", "POST"])
def rates_page(request: HtmxRequest) -> HttpResponse:
    """What the shop pays, and since when; a new sheet begins with the figures of the last."""
    today = clock.today()
    chosen = chosen_sheet(request.GET.get("from", ""))
    base = chosen or rates.sheet_on(today) or RateSheet.objects.last()
    initial = rates_initial(base.values if base else {}, house=request.house)
    initial |= {"from_date": chosen.from_date if chosen else today}
    initial |= {"note": chosen.note if chosen else ""}
    people = Person.objects.filter(is_active=True).order_by("first_name", "pk")
    form = RatesForm(request.POST or None, initial=initial, house=request.house, people=people)
    if request.method == "POST" and form.is_valid():
        row = rates.set_rates(
            from_date=form.cleaned_data["from_date"], values=form.values(),
            note=form.cleaned_data["note"], by=person(request),
        )  # fmt: skip
        messages.success(request, f"These rates hold from {day_text(row.from_date)}.")
        return redirect("shop:rates")
    now = rates.sheet_on(today)
    context = {
        "form": form,
        "sheets": RateSheet.objects.select_related("by"),
        "now": now,
        "rates": shop_rates(now.values) if now else None,
        "chosen": chosen,
        "today": today,
    }
    return render(request, "shop/rates.html", context, status=422 if form.errors else 200)


def chosen_sheet(text: str) -> RateSheet | None:
    """The sheet of a day, to be put right."""
    try:
        return RateSheet.objects.filter(from_date=date.fromisoformat(text)).first()
    except ValueError:
        return None
