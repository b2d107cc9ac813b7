"""Knives: the list, one knife, and all that is done at it. Helpers work, and see no money."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypedDict, Unpack
from uuid import UUID

from django.contrib import messages
from django.db.models import QuerySet
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from billets.hours.forms import StopForm
from shop.knives import reading as knives_reading
from shop.knives import writing as knives
from shop.knives.card import knife_card_html
from shop.knives.cost import KnifeCost, knife_cost
from shop.knives.forms import (
    BarForm,
    KnifeForm,
    LostForm,
    MinutesForm,
    PartForm,
    SaleForm,
    ServiceForm,
    TreatmentForm,
    knife_initial,
    sale_form,
    treatment_initial,
)
from shop.knives.recipe import recipe_of
from shop.knives.writing import CARE
from shop.models import Knife, KnifeService, KnifeStep, KnifeTime, KnifeTreatment, TreatmentStep
from shop.rates.writing import history
from shop.sheets.pdf_answer import printed
from stock.ledger.refusals import LedgerError
from stock.materials import saw
from stock.web.acting import Say, in_messages, on_form, or_say
from stock.web.requests import HtmxRequest, owner_only, paged, person

DETAIL = "shop/knives/detail.html"


def knife_of(knife_id: int) -> Knife:
    """The knife with its billet."""
    return get_object_or_404(Knife.objects.select_related("billet", "by"), pk=knife_id)


@require_safe
def knife_list(request: HtmxRequest) -> HttpResponse:
    """Knives in work, or sold."""
    which = request.GET.get("which", "work")
    page = paged(request, knives_reading.knives(which=which))
    lines = knives_reading.knife_lines(list(page))
    context = {"page": page, "lines": lines, "which": which, "place": "knives"}
    return render(request, "shop/knives/list.html", context)


@require_http_methods(["GET", "POST"])
def knife_add(request: HtmxRequest) -> HttpResponse:
    """Begin a knife."""
    form = KnifeForm(
        request.POST or None, house=request.house, initial={"care": CARE, "margin": "30"}
    )
    if request.method == "POST" and form.is_valid():
        with or_say(knives.TooLong, knives.IsSold, say=on_blade_length(form)) as attempt:
            made = knives.make_knife(by=person(request), **form.changes())
        if attempt.is_done:
            messages.success(request, f"{made} is begun.")
            return redirect(made)
    status = 422 if form.errors else 200
    context = {"form": form, "place": "knives"}
    return render(request, "shop/knives/form.html", context, status=status)


@require_http_methods(["GET", "POST"])
def knife_change(request: HtmxRequest, knife_id: int) -> HttpResponse:
    """Pattern, blade, handle, heat treatment, care."""
    knife = knife_of(knife_id)
    form = KnifeForm(
        request.POST or None, house=request.house, knife=knife, initial=knife_initial(knife)
    )
    if request.method == "POST" and form.is_valid():
        with or_say(knives.TooLong, knives.IsSold, say=on_blade_length(form)) as attempt:
            knives.change_knife(knife=knife, changes=form.changes())
        if attempt.is_done:
            messages.success(request, "Saved.")
            return redirect(knife)
    status = 422 if form.errors else 200
    context = {"form": form, "knife": knife, "place": "knives"}
    return render(request, "shop/knives/form.html", context, status=status)


def on_blade_length(form: KnifeForm) -> Say:
    """Say it beside the length of the blade, in the shop's own unit."""

    def say(refusal: Exception) -> None:
        words = str(refusal)
        if isinstance(refusal, knives.TooLong):
            words = refusal.sentence(form.house.system)
        form.add_error("length_nm", words)

    return say


class Refused(TypedDict, total=False):
    """A form of the page that was not taken."""

    part_form: PartForm
    bar_form: BarForm
    minutes_form: MinutesForm
    stop_form: StopForm
    lost_form: LostForm
    service_form: ServiceForm
    sale_form: SaleForm


class KnifePage(knives_reading.KnifeWork):
    """One knife with the forms of its work."""

    steps: list[tuple[str, str]]
    part_form: PartForm
    bar_form: BarForm
    minutes_form: MinutesForm
    stop_form: StopForm
    lost_form: LostForm


class PricedKnifePage(KnifePage):
    """The page with what a knife costs and brought, for those who see money."""

    service_form: ServiceForm
    sale_form: SaleForm
    services: QuerySet[KnifeService]
    cost: KnifeCost
    rates_words: str


def shown(
    request: HtmxRequest, knife: Knife, *, status: int = 200, **refused: Unpack[Refused]
) -> HttpResponse:
    """One knife; a form of `refused` shows what was typed."""
    house = request.house
    context = KnifePage(
        **knives_reading.knife_context(knife, person=person(request), house=house),
        steps=KnifeStep.choices,
        part_form=refused.get("part_form") or PartForm(house=house),
        bar_form=refused.get("bar_form") or BarForm(house=house),
        minutes_form=refused.get("minutes_form") or MinutesForm(),
        stop_form=refused.get("stop_form") or StopForm(),
        lost_form=refused.get("lost_form") or LostForm(),
    )
    if not house.sees_money:
        return render(request, DETAIL, context, status=status)
    known = history()
    priced = PricedKnifePage(
        **context,
        service_form=refused.get("service_form") or ServiceForm(house=house),
        sale_form=refused.get("sale_form") or sale_form(knife, house=house),
        services=knife.services.filter(struck_at=None).select_related("by"),
        cost=knife_cost(knife, history=known, house=house),
        rates_words=known.words_for_knife(timezone.localdate(knife.made_at)),
    )
    return render(request, DETAIL, priced, status=status)


@require_safe
def knife_detail(request: HtmxRequest, knife_id: int) -> HttpResponse:
    """One knife: clock, hours, parts; for the owner its money."""
    return shown(request, knife_of(knife_id))


def answered(
    request: HtmxRequest, knife: Knife, act: Callable[[], object], words: str
) -> HttpResponse:
    """Do it, and say so; or say why not."""
    with or_say(knives.KnifeRefused, LedgerError, say=in_messages(request)) as attempt:
        act()
    if attempt.is_done:
        messages.success(request, words)
    return redirect(knife)


@require_POST
def knife_start(request: HtmxRequest, knife_id: int) -> HttpResponse:
    """Start one's clock at a step."""
    knife, step = knife_of(knife_id), request.POST.get("step", "")
    return answered(
        request,
        knife,
        lambda: knives.start_clock(knife=knife, step=step, person=person(request)),
        "The clock runs.",
    )


@require_POST
def knife_stop(request: HtmxRequest, knife_id: int) -> HttpResponse:
    """Stop one's clock at knives, now or after the minutes that it really was."""
    knife, form = knife_of(knife_id), StopForm(request.POST)
    if not form.is_valid():
        return shown(request, knife, status=422, stop_form=form)
    with or_say(knives.KnifeRefused, say=in_messages(request)) as attempt:
        stopped = knives.stop_clock(person=person(request), minutes=form.cleaned_data["minutes"])
    if attempt.is_done:
        messages.success(request, "The clock is stopped." if stopped else "No clock was running.")
    return redirect(knife)


@require_POST
def knife_minutes(request: HtmxRequest, knife_id: int) -> HttpResponse:
    """Write down time that no clock ran for."""
    knife, form = knife_of(knife_id), MinutesForm(request.POST)
    if not form.is_valid():
        return shown(request, knife, status=422, minutes_form=form)
    given = form.cleaned_data
    return answered(
        request,
        knife,
        lambda: knives.add_minutes(knife=knife, person=person(request), **given),
        "Written down.",
    )


@require_POST
def knife_time_strike(request: HtmxRequest, knife_id: int, time_id: int) -> HttpResponse:
    """Strike a wrong line of hours."""
    time = get_object_or_404(KnifeTime.objects.select_related("knife"), pk=time_id, knife=knife_id)
    return answered(
        request,
        time.knife,
        lambda: knives.strike_time(time=time, by=person(request)),
        "The line is struck.",
    )


@require_POST
def knife_part(request: HtmxRequest, knife_id: int) -> HttpResponse:
    """Take counted things for the knife."""
    knife = knife_of(knife_id)
    form = PartForm(request.POST, house=request.house)
    if form.is_valid():
        with or_say(LedgerError, say=on_form(form, "count")):
            knives.use_parts(knife=knife, by=person(request), **form.cleaned_data)
    if form.errors:
        return shown(request, knife, status=422, part_form=form)
    messages.success(request, "Taken off the rack for this knife.")
    return redirect(knife)


@require_POST
def knife_bar(request: HtmxRequest, knife_id: int) -> HttpResponse:
    """Cut a bought bar for the blade."""
    knife = knife_of(knife_id)
    form = BarForm(request.POST, house=request.house)
    if form.is_valid():
        with or_say(knives.KnifeRefused, LedgerError, say=on_form(form, "length_nm")):
            knives.cut_blade(
                knife=knife, kerf_nm=saw.kerf_nm(), by=person(request), **form.cleaned_data
            )
    if form.errors:
        return shown(request, knife, status=422, bar_form=form)
    messages.success(request, "Cut for this knife.")
    return redirect(knife)


@require_POST
def knife_put_back(request: HtmxRequest, knife_id: int, act: UUID) -> HttpResponse:
    """Put back what was taken by mistake."""
    knife = knife_of(knife_id)
    return answered(
        request,
        knife,
        lambda: knives.put_back(knife=knife, act=act, by=person(request)),
        "It is back on the rack.",
    )


@require_safe
def knife_card(request: HtmxRequest, knife_id: int) -> HttpResponse:
    """The knife's card for its owner; no money is on it."""
    knife = knife_of(knife_id)
    return printed(
        request, lambda: knife_card_html(knife, house=request.house), name=f"knife-{knife.pk}"
    )


@owner_only
@require_POST
def knife_service(request: HtmxRequest, knife_id: int) -> HttpResponse:
    """Write down outside work."""
    knife, form = knife_of(knife_id), ServiceForm(request.POST, house=request.house)
    if not form.is_valid():
        return shown(request, knife, status=422, service_form=form)
    knives.add_service(knife=knife, by=person(request), **form.cleaned_data)
    messages.success(request, "Written down.")
    return redirect(knife)


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
    return redirect(knife)


@require_http_methods(["GET", "POST"])
def treatment_step(request: HtmxRequest, knife_id: int, step: str) -> HttpResponse:
    """One step's form, started with the steel's own figures."""
    if step not in TreatmentStep.values:
        return redirect("shop:knife-detail", knife_id)
    knife, house = knife_of(knife_id), request.house
    card = knives.card_of(knife, house=house)
    recipe = recipe_of(card, step=step, system=house.system)
    form = TreatmentForm(request.POST or None, house=house, initial=treatment_initial(step, recipe))
    if request.method == "POST" and form.is_valid():
        values = form.values() | {"step": step}
        knives.write_step(knife=knife, by=person(request), **values)
        messages.success(request, "Written down.")
        return redirect(knife)
    context = {
        "knife": knife,
        "form": form,
        "recipe": recipe,
        "card": card,
        "place": "knives",
        "step": step,
        "word": TreatmentStep(step).label,
    }
    status = 422 if form.errors else 200
    return render(request, "shop/knives/treatment.html", context, status=status)


@require_POST
def treatment_strike(request: HtmxRequest, knife_id: int, row_id: int) -> HttpResponse:
    """Strike a wrong line."""
    row = get_object_or_404(KnifeTreatment, pk=row_id, knife=knife_id)
    knives.strike_step(row=row)
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
        request, knife, lambda: knives.lose(knife=knife, why=why), f"{knife} came to nothing."
    )


@require_POST
def knife_unlose(request: HtmxRequest, knife_id: int) -> HttpResponse:
    """It is in work after all."""
    knife = knife_of(knife_id)
    return answered(
        request, knife, lambda: knives.unlose(knife=knife), f"{knife} is in work again."
    )
