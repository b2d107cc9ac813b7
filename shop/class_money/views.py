"""The money of a class: terms, what it brings, spares, deposits, planned against real.

Owners only. Each form is a plain POST to an address of its own.
"""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST, require_safe

from shop.class_money import summary
from shop.class_money import writing as class_money
from shop.class_money.figures import ClassFigures, class_figures
from shop.class_money.forms import PaymentForm, RealForm, TermsForm, real_initial, terms_initial
from shop.class_money.reading import books_of
from shop.models import ForgeClass, SeatPayment
from shop.sheets.pdf_answer import printed
from stock import clock
from stock.house import House
from stock.quantities.money import money_text
from stock.web.acting import in_messages, or_say
from stock.web.requests import HtmxRequest, owner_only, person


def class_row(class_id: int) -> ForgeClass:
    """The class with its layup."""
    return get_object_or_404(ForgeClass.objects.select_related("layup"), pk=class_id)


class MoneyContext(ClassFigures):
    """The page: its figures, and the forms below them."""

    row: ForgeClass
    terms_form: TermsForm
    real_form: RealForm
    payment_form: PaymentForm
    place: str


def money_context(
    row: ForgeClass,
    *,
    house: House,
    terms_form: TermsForm | None = None,
    real_form: RealForm | None = None,
    payment_form: PaymentForm | None = None,
) -> MoneyContext:
    """Everything on the page; a form that is given was not taken."""
    figures = class_figures(books_of(row, house=house))
    terms = figures["terms"]
    return MoneyContext(
        **figures,
        row=row,
        terms_form=terms_form or TermsForm(house=house, initial=terms_initial(terms)),
        real_form=real_form or RealForm(house=house, initial=real_initial(terms)),
        payment_form=payment_form or new_payment(row, house=house),
        place="classes",
    )


def new_payment(row: ForgeClass, *, house: House) -> PaymentForm:
    """An empty form for a payment: seats of today's students, and those with payments."""
    seats = row.seats.students() | row.seats.exclude(payments=None)
    first = {"day": clock.today(), "kind": "deposit"}
    return PaymentForm(house=house, seats=seats.distinct(), initial=first)


def refuse(request: HtmxRequest, context: MoneyContext) -> HttpResponse:
    """The page again with what was typed."""
    return render(request, "shop/class_money/page.html", context, status=422)


@owner_only
@require_safe
def money_page(request: HtmxRequest, class_id: int) -> HttpResponse:
    """What a class costs, brings, and brought."""
    row = class_row(class_id)
    return render(request, "shop/class_money/page.html", money_context(row, house=request.house))


@owner_only
@require_POST
def money_terms(request: HtmxRequest, class_id: int) -> HttpResponse:
    """Fee, deposit, refunds, costs."""
    row = class_row(class_id)
    form = TermsForm(request.POST, house=request.house)
    if not form.is_valid():
        return refuse(request, money_context(row, house=request.house, terms_form=form))
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
        return refuse(request, money_context(row, house=request.house, real_form=form))
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
        return refuse(request, money_context(row, house=request.house, payment_form=form))
    try:
        paid = class_money.record_payment(by=person(request), **form.cleaned_data)
    except class_money.MoneyRefused as error:
        form.add_error("cents", refused_words(error, house=request.house))
        return refuse(request, money_context(row, house=request.house, payment_form=form))
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
    figures = class_figures(books_of(row, house=request.house))
    return printed(
        request,
        lambda: summary.class_summary_html(row, figures, house=request.house),
        name=f"money-class-{row.pk}",
    )
