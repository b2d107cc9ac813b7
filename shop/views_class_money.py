"""The money of a class: terms, what it brings, spares, deposits, planned against real.

Owners only. Each form is a plain POST to an address of its own.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST, require_safe

from shop import class_costs, class_money, money_paper, rates
from shop.class_variance import class_variance
from shop.drawing_profit import profit_plot
from shop.forms_money import PaymentForm, RealForm, TermsForm, real_initial, terms_initial
from shop.models import ForgeClass, SeatPayment
from shop.views_paper import printed
from stock import clock
from stock.acting import in_messages, or_say
from stock.drawing_shapes import DrawingError
from stock.house import House
from stock.money import BASIS_POINTS
from stock.money_text import money_text
from stock.web import HtmxRequest, owner_only, person


def class_row(class_id: int) -> ForgeClass:
    """The class with its layup."""
    return get_object_or_404(ForgeClass.objects.select_related("layup"), pk=class_id)


def money_context(row: ForgeClass, *, house: House, **refused: Any) -> dict[str, Any]:
    """Everything on the page; `refused` holds forms that were not taken."""
    today, terms = clock.today(), class_money.terms_of(row)
    history = rates.history()
    view = class_costs.class_money_view(row, terms=terms, history=history, house=house)
    try:
        plot = profit_plot([line.profit_cents for line in view.rows], taken=view.taken)
    except DrawingError:
        plot = None
    variance = None
    if row.state == ForgeClass.State.HELD:
        variance = class_variance(row, terms=terms, shop=view.shop, house=house)
    seats = row.seats.filter(is_spare=False, is_cancelled=False) | row.seats.exclude(payments=None)
    context: dict[str, Any] = {
        "row": row, "terms": terms, "view": view, "plot": plot, "variance": variance,
        "came_out": replace(view.priced, cost_cents=variance.real_cents) if variance else None,
        "terms_form": TermsForm(house=house, initial=terms_initial(terms)),
        "real_form": RealForm(house=house, initial=real_initial(terms)),
        "payment_form": PaymentForm(
            house=house, seats=seats.distinct(), initial={"day": today, "kind": "deposit"}
        ),
        "wanted_share": terms.margin_bp / BASIS_POINTS,
        "place": "classes",
    }  # fmt: skip
    return context | refused


def refuse(request: HtmxRequest, row: ForgeClass, **forms: Any) -> HttpResponse:
    """The page again with what was typed."""
    context = money_context(row, house=request.house, **forms)
    return render(request, "shop/class_money.html", context, status=422)


@owner_only
@require_safe
def money_page(request: HtmxRequest, class_id: int) -> HttpResponse:
    """What a class costs, brings, and brought."""
    row = class_row(class_id)
    return render(request, "shop/class_money.html", money_context(row, house=request.house))


@owner_only
@require_POST
def money_terms(request: HtmxRequest, class_id: int) -> HttpResponse:
    """Fee, deposit, refunds, costs."""
    row = class_row(class_id)
    form = TermsForm(request.POST, house=request.house)
    if not form.is_valid():
        return refuse(request, row, terms_form=form)
    class_money.set_terms(forge_class=row, changes=form.changes(), by=person(request))
    messages.success(request, "Saved.")
    return redirect("shop:class-money", row.pk)


@owner_only
@require_POST
def money_real(request: HtmxRequest, class_id: int) -> HttpResponse:
    """What it really cost beside the metal."""
    row = class_row(class_id)
    form = RealForm(request.POST, house=request.house)
    if not form.is_valid():
        return refuse(request, row, real_form=form)
    class_money.set_real(forge_class=row, real=form.real(), by=person(request))
    messages.success(request, "Saved.")
    return redirect("shop:class-money", row.pk)


@owner_only
@require_POST
def money_pay(request: HtmxRequest, class_id: int) -> HttpResponse:
    """Write down a payment or a refund."""
    row = class_row(class_id)
    form = PaymentForm(request.POST, house=request.house, seats=row.seats.all())
    if not form.is_valid():
        return refuse(request, row, payment_form=form)
    try:
        paid = class_money.record_payment(by=person(request), **form.cleaned_data)
    except class_money.MoneyRefused as error:
        form.add_error("cents", refused_words(error, house=request.house))
        return refuse(request, row, payment_form=form)
    messages.success(request, f"The {paid.get_kind_display()} is written down.")
    return redirect("shop:class-money", row.pk)


def refused_words(error: class_money.MoneyRefused, *, house: House) -> str:
    """Why a payment was not taken, with the sum that is held."""
    if not isinstance(error, class_money.MoreThanHeld):
        return str(error)
    held = money_text(error.held_cents, currency=house.currency, locale=house.locale)
    advice = f"Give back {held} or less." if error.held_cents else "Nothing is held of it."
    return f"{error} {advice}"


@owner_only
@require_POST
def money_undo(request: HtmxRequest, class_id: int, payment_id: int) -> HttpResponse:
    """Take a wrong payment back."""
    paid = get_object_or_404(SeatPayment, pk=payment_id, seat__forge_class=class_id)
    with or_say(class_money.MoneyRefused, say=in_messages(request)) as attempt:
        class_money.undo_payment(payment=paid, by=person(request))
    if attempt.is_done:
        messages.success(request, "It is taken back; both lines stay in the books.")
    return redirect("shop:class-money", class_id)


@owner_only
@require_safe
def money_pdf(request: HtmxRequest, class_id: int) -> HttpResponse:
    """The summary on one page, for the owner."""
    row = class_row(class_id)
    context = money_context(row, house=request.house)
    return printed(
        request,
        lambda: money_paper.class_summary_html(context, house=request.house),
        name=f"money-class-{row.pk}",
    )
