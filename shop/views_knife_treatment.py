"""The heat treatment of a blade, written down step by step; a blade that came to nothing."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from shop import knife_lost, knife_treatment
from shop.forms_knife_treatment import LostForm, TreatmentForm, treatment_initial
from shop.knife_recipe import recipe_of
from shop.models import KnifeTreatment, TreatmentStep
from shop.views_knife import answered, knife_of, shown
from stock.web import HtmxRequest, person


@require_http_methods(["GET", "POST"])
def treatment_step(request: HtmxRequest, knife_id: int, step: str) -> HttpResponse:
    """One step's form, started with the steel's own figures."""
    if step not in TreatmentStep.values:
        return redirect("shop:knife-detail", knife_id)
    knife, house = knife_of(knife_id), request.house
    card = knife_treatment.card_of(knife, house=house)
    recipe = recipe_of(card, step=step, system=house.system)
    form = TreatmentForm(request.POST or None, house=house, initial=treatment_initial(step, recipe))
    if request.method == "POST" and form.is_valid():
        values = form.values() | {"step": step}
        knife_treatment.write_step(knife=knife, by=person(request), **values)
        messages.success(request, "Written down.")
        return redirect("shop:knife-detail", knife.pk)
    context = {
        "knife": knife, "form": form, "recipe": recipe, "card": card, "place": "knives",
        "step": step, "word": TreatmentStep(step).label,
    }  # fmt: skip
    status = 422 if form.errors else 200
    return render(request, "shop/knife_treatment.html", context, status=status)


@require_POST
def treatment_strike(request: HtmxRequest, knife_id: int, row_id: int) -> HttpResponse:
    """Strike a wrong line."""
    row = get_object_or_404(KnifeTreatment, pk=row_id, knife=knife_id)
    knife_treatment.strike_step(row=row)
    messages.success(request, "The line is struck.")
    return redirect("shop:knife-detail", knife_id)


@require_POST
def knife_lose(request: HtmxRequest, knife_id: int) -> HttpResponse:
    """Nothing came of it."""
    knife, form = knife_of(knife_id), LostForm(request.POST)
    if not form.is_valid():
        return shown(request, knife, status=422, lost_form=form)
    why = form.cleaned_data["why"]
    return answered(
        request, knife, lambda: knife_lost.lose(knife=knife, why=why), f"{knife} came to nothing."
    )


@require_POST
def knife_unlose(request: HtmxRequest, knife_id: int) -> HttpResponse:
    """It is in work after all."""
    knife = knife_of(knife_id)
    return answered(
        request, knife, lambda: knife_lost.unlose(knife=knife), f"{knife} is in work again."
    )
