"""Metal coming in: a purchase typed in, its marks to paint, orders received or dropped."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.contrib import messages
from django.db import transaction
from django.forms import BaseFormSet
from django.http import HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from stock import clock
from stock.catalogue.reading import alloy_list_page
from stock.ledger import receiving
from stock.ledger.refusals import BadAmount
from stock.materials import offer_writing
from stock.materials import writing as materials
from stock.materials.writing import KeepingError
from stock.models import Material, Offer, OwnAlloy, Purchase, Supplier, alloy_book
from stock.purchases.forms import (
    NEW,
    AlloyForm,
    LineChoices,
    LineForm,
    LineFormSet,
    OfferForm,
    PurchaseForm,
    SupplierForm,
    alloy_initial,
    offer_initial,
    supplier_initial,
)
from stock.purchases.reading import offer_lines, orders_to_come, past_purchases, purchase_page
from stock.web.acting import in_messages, on_form, or_say
from stock.web.requests import HtmxRequest, owner_only, paged, person, plain_words, row_number

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
        return render(request, "stock/purchases/receive.html", context)
    data = request.POST or None
    form = PurchaseForm(data, house=request.house)
    if data and "add-row" in data:
        return show(request, form, lines_of(request, one_more(request.POST)), asks=True)
    lines = lines_of(request, data)
    if data and form.is_valid() and lines.is_valid() and is_news(request, form):
        purchase = received(request, form, lines)
        if purchase is not None:
            return redirect(purchase)
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
    return render(request, "stock/purchases/receive.html", context, status=status)


def received(request: HtmxRequest, form: PurchaseForm, lines: Lines) -> Purchase | None:
    """Write the purchase down; nothing is kept when the books refuse a line."""
    given = form.cleaned_data
    with or_say(BadAmount, say=on_form(form)) as attempt, transaction.atomic():
        if given["supplier"] == NEW:
            supplier = materials.supplier_for(name=given["new_supplier"])
        else:
            supplier = form.suppliers[given["supplier"]]
        bought = receiving.order(
            supplier=supplier,
            lines=[line_of(one) for one in typed(lines)],
            delivery_cents=given["delivery_cents"],
            on=given["on"],
            due=given["due"] if given["is_ordered"] else given["on"],
            reference=given["reference"],
            note=given["note"],
            by=person(request),
        )
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
    context = {
        "orders": orders_to_come(house=request.house),
        "page": paged(request, past_purchases()),
    }
    return render(request, "stock/purchases/list.html", context)


@require_safe
def purchase_detail(request: HtmxRequest, purchase_id: int) -> HttpResponse:
    """One purchase: its lines, and the marks to paint once it is here."""
    row = get_object_or_404(Purchase.objects.select_related("supplier", "by"), pk=purchase_id)
    context = purchase_page(row, house=request.house)
    return render(request, "stock/purchases/detail.html", context)


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
    return redirect(row)


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


@owner_only
@require_safe
def offer_list(request: HtmxRequest) -> HttpResponse:
    """What the suppliers sell now."""
    return render(
        request, "stock/purchases/offer_list.html", {"offers": offer_lines(house=request.house)}
    )


@owner_only
@require_http_methods(["GET", "POST"])
def offer_form(request: HtmxRequest, offer_id: int | None = None) -> HttpResponse:
    """An offer, new or changed."""
    row = get_object_or_404(Offer, pk=offer_id) if offer_id else None
    initial = offer_initial(row, system=request.house.system) if row else asked_for(request)
    form = OfferForm(request.POST or None, house=request.house, initial=initial, book=alloy_book())
    if request.method == "POST" and form.is_valid():
        with or_say(KeepingError, say=on_form(form)) as attempt:
            saved = offer_writing.keep_offer(offer=row, **form.values())
        if attempt.is_done:
            messages.success(request, f"The offer of {saved.supplier} is on the list.")
            return redirect("stock:offer-list")
    context = {"form": form, "row": row}
    status = 422 if form.errors else 200
    return render(request, "stock/purchases/offer_form.html", context, status=status)


def asked_for(request: HtmxRequest) -> dict[str, str]:
    """The supplier and the material that a link names; what is not there chooses nothing."""
    rows = {"supplier": Supplier.objects.all(), "material": Material.objects.all()}
    given = {name: request.GET.get(name, "") for name in rows}
    return {
        name: key for name, key in given.items() if rows[name].filter(pk=row_number(key)).exists()
    }


@owner_only
@require_POST
def offer_retire(request: HtmxRequest, offer_id: int) -> HttpResponse:
    """An offer that no longer holds."""
    offer_writing.retire_offer(offer=get_object_or_404(Offer, pk=offer_id))
    messages.success(request, "The offer is retired; buying leaves it out.")
    return redirect("stock:offer-list")


@owner_only
@require_safe
def supplier_list(request: HtmxRequest) -> HttpResponse:
    """Who sells metal, how fast and at what charge."""
    return render(
        request, "stock/purchases/supplier_list.html", {"suppliers": Supplier.objects.all()}
    )


@owner_only
@require_http_methods(["GET", "POST"])
def supplier_form(request: HtmxRequest, supplier_id: int | None = None) -> HttpResponse:
    """A supplier, new or changed."""
    row = get_object_or_404(Supplier, pk=supplier_id) if supplier_id else None
    initial = supplier_initial(row) if row else {"days_to_deliver": 7}
    form = SupplierForm(request.POST or None, house=request.house, initial=initial)
    if request.method == "POST" and form.is_valid():
        with or_say(materials.KeepingError, say=on_form(form)) as attempt:
            saved = materials.keep_supplier(supplier=row, **form.values())
        if attempt.is_done:
            messages.success(request, f"{saved} is on the list.")
            return redirect("stock:supplier-list")
    context = {"form": form, "row": row}
    status = 422 if form.errors else 200
    return render(request, "stock/purchases/supplier_form.html", context, status=status)


@require_safe
def alloy_list(request: HtmxRequest) -> HttpResponse:
    """Every alloy with each figure's source and mark."""
    return render(request, "stock/catalogue/alloy_list.html", alloy_list_page(house=request.house))


@require_http_methods(["GET", "POST"])
def alloy_form(request: HtmxRequest, alloy_id: int | None = None) -> HttpResponse:
    """An alloy of the shop's own, new or changed."""
    row = get_object_or_404(OwnAlloy, pk=alloy_id) if alloy_id else None
    initial = alloy_initial(row) if row else {"density_kg_m3": 7850}
    form = AlloyForm(request.POST or None, house=request.house, initial=initial)
    if request.method == "POST" and form.is_valid():
        with or_say(materials.KeepingError, say=on_form(form)) as attempt:
            saved = materials.keep_alloy(alloy=row, **form.values())
        if attempt.is_done:
            messages.success(request, f"{saved} is in the book, marked as the shop's own.")
            return redirect("stock:alloy-list")
    context = {"form": form, "row": row, "place": "rack"}
    status = 422 if form.errors else 200
    return render(request, "stock/catalogue/alloy_form.html", context, status=status)
