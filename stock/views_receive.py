"""Metal coming in: a purchase typed in, its marks to paint, orders received or dropped."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.contrib import messages
from django.db import transaction
from django.forms import BaseFormSet
from django.http import HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from stock import clock, materials, receiving
from stock.acting import in_messages, on_form, or_say
from stock.forms_receive import NEW, LineChoices, LineForm, LineFormSet, PurchaseForm
from stock.models import Purchase, alloy_book
from stock.purchase_pages import orders_to_come, purchase_list_page, purchase_page
from stock.refusals import BadAmount
from stock.web import HtmxRequest, owner_only, person, plain_words, row_number

if TYPE_CHECKING:
    Lines = BaseFormSet[LineForm]
else:
    Lines = BaseFormSet
PREFIX = "lines"


@require_http_methods(["GET", "POST"])
def receive(request: HtmxRequest) -> HttpResponse:
    """A purchase and its lines; helpers receive orders, since prices are the owner's."""
    if not request.house.sees_money:
        context = {"orders": orders_to_come(house=request.house)}
        return render(request, "stock/receive.html", context)
    data = request.POST or None
    form = PurchaseForm(data, house=request.house)
    if data and "add-row" in data:
        return show(request, form, lines_of(request, one_more(request.POST)), asks=True)
    lines = lines_of(request, data)
    if data and form.is_valid() and lines.is_valid() and is_news(request, form):
        purchase = received(request, form, lines)
        if purchase is not None:
            return redirect("stock:purchase-detail", purchase.pk)
    return show(request, form, lines)


def is_news(request: HtmxRequest, form: PurchaseForm) -> bool:
    """Whether the form is not sent a second time: pressed twice, or gone back to and sent again."""
    last = Purchase.objects.filter(by=person(request).pk).select_related("supplier").first()
    seen = plain_words(request.POST, "seen", most=18)
    if last is None or not seen.isdecimal() or int(seen) >= last.pk:
        return True
    form.add_error(
        None,
        f"You wrote down a purchase from {last.supplier} after this page was opened. "
        "If this is another one, send it once more.",
    )
    return False


def last_purchase(request: HtmxRequest) -> int:
    """Number of the last purchase that this person wrote down: how new the page is."""
    numbers = Purchase.objects.filter(by=person(request).pk).values_list("pk", flat=True)
    return int(numbers.first() or 0)


def lines_of(request: HtmxRequest, data: Any) -> Lines:
    """The lines of the form, all with the same choices."""
    choices = LineChoices(book=alloy_book(), system=request.house.system)
    kwargs = {"house": request.house, "choices": choices}
    lines: Lines = LineFormSet(data, prefix=PREFIX, form_kwargs=kwargs)
    return lines


def one_more(data: QueryDict) -> QueryDict:
    """What was typed, with one more line."""
    more = data.copy()
    name = f"{PREFIX}-TOTAL_FORMS"
    number = row_number(more.get(name, "1")) or 1
    more[name] = str(min(number, 59) + 1)
    more[f"{PREFIX}-{min(number, 59)}-count"] = "1"
    return more


def show(
    request: HtmxRequest, form: PurchaseForm, lines: Lines, *, asks: bool = False
) -> HttpResponse:
    """The form; after "add a line" without a word on what is not filled in yet."""
    has_errors = bool(form.errors or any(lines.errors) or lines.non_form_errors())
    if asks:
        has_errors = False
        lines.non_form_errors().data.clear()
        for one in (form, *lines):
            one.errors.clear()
    context = {
        "form": form,
        "lines": lines,
        "seen": last_purchase(request),
        "orders": orders_to_come(house=request.house),
    }
    status = 422 if has_errors else 200
    return render(request, "stock/receive.html", context, status=status)


def received(request: HtmxRequest, form: PurchaseForm, lines: Lines) -> Purchase | None:
    """Write the purchase down; nothing is kept when the books refuse a line."""
    given = form.cleaned_data
    with or_say(BadAmount, say=on_form(form)) as attempt, transaction.atomic():
        if given["supplier"] == NEW:
            supplier = materials.supplier_for(name=given["new_supplier"])
        else:
            supplier = form.suppliers[given["supplier"]]
        bought = receiving.order(
            supplier=supplier, lines=[line_of(one) for one in typed(lines)],
            delivery_cents=given["delivery_cents"], on=given["on"],
            due=given["due"] if given["is_ordered"] else given["on"],
            reference=given["reference"], note=given["note"], by=person(request),
        )  # fmt: skip
        if not given["is_ordered"]:
            places = [one.cleaned_data["place"] for one in typed(lines)]
            receiving.receive(purchase=bought, on=given["on"], by=person(request), places=places)
    if not attempt.is_done:
        return None
    said = "The order is written down." if given["is_ordered"] else "The metal is on the books."
    messages.success(request, said)
    return bought


def typed(lines: Lines) -> list[LineForm]:
    """Lines that were filled in and not removed."""
    return [one for one in lines if one.cleaned_data and not one.cleaned_data.get("DELETE")]


def line_of(form: LineForm) -> receiving.Line:
    """A line with its material, made when it is new."""
    chosen = form.cleaned_data["material"]
    if chosen == NEW:
        return form.line(materials.material_for(**form.new_material()))
    return form.line(form.rows[chosen])


@require_safe
def purchase_list(request: HtmxRequest) -> HttpResponse:
    """Orders to come, and what came."""
    return render(request, "stock/purchase_list.html", purchase_list_page(request))


@require_safe
def purchase_detail(request: HtmxRequest, purchase_id: int) -> HttpResponse:
    """One purchase: its lines, and the marks to paint once it is here."""
    row = get_object_or_404(Purchase.objects.select_related("supplier", "by"), pk=purchase_id)
    context = purchase_page(row, house=request.house)
    return render(request, "stock/purchase_detail.html", context)


@require_POST
def purchase_receive(request: HtmxRequest, purchase_id: int) -> HttpResponse:
    """Put an order on the rack."""
    row = get_object_or_404(Purchase, pk=purchase_id)
    ids = list(row.lines.values_list("pk", flat=True))
    places, lots = (
        [request.POST.get(f"{word}-{pk}", "").strip()[:40] for pk in ids]
        for word in ("place", "lot")
    )
    with or_say(BadAmount, say=in_messages(request)) as attempt:
        receiving.receive(
            purchase=row, on=clock.today(), by=person(request), places=places, heat_lots=lots
        )
    if attempt.is_done:
        messages.success(request, "The metal is on the books. Paint these marks.")
    return redirect("stock:purchase-detail", row.pk)


@owner_only
@require_POST
def purchase_drop(request: HtmxRequest, purchase_id: int) -> HttpResponse:
    """An order that will not come."""
    row = get_object_or_404(Purchase, pk=purchase_id)
    with or_say(BadAmount, say=in_messages(request)) as attempt:
        receiving.drop(purchase=row)
    if attempt.is_done:
        messages.success(request, "The order is dropped.")
    return redirect("stock:purchase-list")
