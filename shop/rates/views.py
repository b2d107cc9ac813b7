"""The shop's rates: the sheets one under the other, and a form for the next. Owners only."""

from __future__ import annotations

from datetime import date

from django.contrib import messages
from django.db.models import Q
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from shop.costing.rate_values import shop_rates
from shop.models import Person, RateSheet
from shop.rates import writing as rates
from shop.rates.burner_words import burner_words
from shop.rates.forms import RatesForm, rates_initial
from shop.rates.own_minutes import own_minutes
from shop.words.days import day_text
from stock import clock
from stock.web.acting import on_form, or_say
from stock.web.requests import HtmxRequest, owner_only, person


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
    own = own_minutes()
    initial |= own.typed() if request.GET.get("own") else {}
    paid = list((base.values.get("people") or {}) if base else {})  # some may have left since
    people = Person.objects.filter(Q(is_active=True) | Q(pk__in=paid)).order_by("first_name", "pk")
    form = RatesForm(request.POST or None, initial=initial, house=request.house, people=people)
    if request.method == "POST" and form.is_valid() and (row := saved_sheet(request, form, chosen)):
        messages.success(request, saved_words(row))
        return redirect("shop:rates")
    now = rates.sheet_on(today)
    context = {
        "form": form,
        "sheets": RateSheet.objects.select_related("by"),
        "now": now,
        "rates": shop_rates(now.values) if now else None,
        "burner": burner_words(now.values, house=request.house) if now else "",
        "chosen": chosen,
        "rest_words": rest_words(chosen) if chosen else "",
        "today": today,
        "own": own,
    }
    return render(request, "shop/rates/page.html", context, status=422 if form.errors else 200)


def saved_sheet(
    request: HtmxRequest, form: RatesForm, chosen: RateSheet | None
) -> RateSheet | None:
    """The sheet as it was written down; nothing where its day was refused."""
    with or_say(rates.DayTaken, say=on_form(form, "from_date")) as attempt:
        row = rates.set_rates(
            from_date=form.cleaned_data["from_date"],
            values=form.values(),
            note=form.cleaned_data["note"],
            by=person(request),
            instead_of=chosen,
        )
    return row if attempt.is_done else None


def saved_words(row: RateSheet) -> str:
    """What a saved sheet does."""
    words = f"These rates hold from {day_text(row.from_date)}."
    resting = rest_words(row)
    return f"{words} {resting}" if resting else words


def rest_words(row: RateSheet) -> str:
    """Which jobs a sheet is for, in a sentence; nothing where there are none."""
    classes, billets = rates.resting_on(row)
    parts = [
        f"{count} {word}{plural if count != 1 else ''}"
        for count, word, plural in ((classes, "class", "es"), (billets, "billet", "s"))
        if count
    ]
    verb = "is" if classes + billets == 1 else "are"
    return f"{' and '.join(parts)} of those days {verb} reckoned with them." if parts else ""


def chosen_sheet(text: str) -> RateSheet | None:
    """The sheet of a day, to be put right."""
    try:
        return RateSheet.objects.filter(from_date=date.fromisoformat(text)).first()
    except ValueError:
        return None
