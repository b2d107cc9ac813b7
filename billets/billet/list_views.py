"""The billets of the shop: the list, one more, and cutting one that is in no class."""

from __future__ import annotations

from typing import Any, NotRequired, TypedDict

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods

from billets.billet import origins
from billets.billet import reading as billet_reading
from billets.billet.forms import CutForm, MakeBilletForm
from billets.billet.origins import Origin, Traced
from billets.blanks import choices
from billets.blanks import writing as cutting
from billets.blanks.choices import material_words
from billets.findings import findings
from billets.history import writing as history
from billets.hours import writing as hours
from billets.layup.case import case_of
from billets.models import Billet, Layup, StepKind
from stock.alloys.book import alloy_name
from stock.house import House
from stock.ledger.refusals import LedgerError
from stock.models import Piece, alloy_book
from stock.quantities.units import length_text
from stock.web.acting import on_form, or_say
from stock.web.requests import HtmxRequest, page_or_partial, paged, person


@require_GET
def billet_list(request: HtmxRequest) -> HttpResponse:
    """Billets by stage, layup or mark, newest first."""
    stage = request.GET.get("stage", "")
    layup = request.GET.get("layup", "")
    query = request.GET.get("q", "")
    rows = billet_reading.billets_found(stage=stage, layup=layup, query=query)
    page = paged(request, rows)
    for row in page:
        row.reached_word = StepKind(row.reached or StepKind.PLANNED).label
    asked = request.GET.copy()
    asked.pop("page", None)
    context = {
        "page": page,
        "stages": StepKind.choices,
        "layups": Layup.objects.filter(billets__isnull=False).distinct(),
        "stage": stage,
        "layup": layup,
        "q": query,
        "query": asked.urlencode(),
        "is_filtered": bool(stage or layup or query),
    }
    return page_or_partial(request, "billets/billet/list.html", "billets", context)


@require_http_methods(["GET", "POST"])
def billet_add(request: HtmxRequest) -> HttpResponse:
    """A billet from a layup, outside any class."""
    initial = {"layup": request.GET.get("layup", "")}
    form = MakeBilletForm(request.POST or None, house=request.house, initial=initial)
    if request.method == "POST" and form.is_valid():
        given = form.cleaned_data
        sentence = unanswered_stop(given["layup"], house=request.house)
        if not sentence:
            billet = history.make_billet(by=person(request), **given)
            messages.success(request, f"Billet {billet} is planned. Choose its metal.")
            return redirect("billets:billet-cut", billet.mark)
        form.add_error("layup", sentence)
    status = 422 if form.errors else 200
    return render(request, "billets/billet/add.html", {"form": form}, status=status)


def unanswered_stop(layup: Layup, *, house: House) -> str:
    """The first stop of a layup that the owner has not answered for; empty if there is none."""
    if layup.override_reason:
        return ""
    found = findings.findings(case_of(layup.design(), alloys=alloy_book(), house=house))
    stops = [one.sentence(house.system) for one in found if one.level == "stop"]
    if not stops:
        return ""
    return f"{stops[0]} Mend the layup, or let the owner write down why it is made all the same."


@require_http_methods(["GET", "POST"])
def billet_cut(request: HtmxRequest, mark: str) -> HttpResponse:
    """Choose a piece for each blank and cut them all at once."""
    billet = get_object_or_404(Billet, mark=billet_reading.mark_typed(mark))
    form = cut_form(request, billet)
    if request.method == "POST" and form.is_valid():
        chosen = form.chosen()
        pieces = {
            piece.pk: piece
            for piece in Piece.objects.select_related("material").filter(pk__in=chosen.values())
        }
        saw = form.cleaned_data["saw"]
        with or_say(
            LedgerError, history.WorkshopError, hours.HoursRefused, say=on_form(form)
        ) as attempt:
            cutting.cut_blanks(
                billet=billet,
                pieces={place: pieces[pk] for place, pk in chosen.items() if pk in pieces},
                kerf_nm=saw.kerf_nm if saw else 0,
                house=request.house,
                by=person(request),
                minutes=form.cleaned_data["minutes"],
            )
        if attempt.is_done:
            messages.success(request, f"The blanks of {billet} are cut and booked.")
            return redirect(billet)
    bare, promised = billet_reading.waiting_blanks(billet)
    context = {
        "billet": billet,
        "form": form,
        "bare": bare,
        "promised": promised,
        "place": "billets",
        "missing": missing(form),
    }
    return render(request, "billets/billet/cut.html", context, status=422 if form.errors else 200)


def cut_form(request: HtmxRequest, billet: Billet) -> CutForm:
    """The form with every piece that a blank could come from."""
    house, alloys = request.house, alloy_book()
    found = choices.choices_for(billet)
    names: dict[int, str] = {}
    for one in found:
        blank = one.blank
        alloy = alloy_name(blank.alloy, book=alloys)
        size = length_text(blank.thickness_nm, system=house.system)
        cut = length_text(blank.length_nm, system=house.system)
        names[blank.position] = f"Layer {blank.position + 1}: {alloy}, {size}, cut {cut} long"
    return CutForm(
        request.POST or None,
        house=house,
        options={
            one.blank.position: [
                (
                    str(piece.pk),
                    f"{choices.piece_words(piece, house=house)}"
                    f" · {material_words(piece.material, alloys=alloys, system=house.system)}",
                )
                for piece in one.pieces
            ]
            for one in found
        },
        names=names,
        usual={one.blank.position: str(one.usual.pk) for one in found if one.usual},
    )


def missing(form: CutForm) -> list[Any]:
    """Names of the blanks that nothing on the rack is long or thick enough for."""
    return [
        field.label
        for name, field in form.fields.items()
        if name.startswith("piece-") and len(getattr(field, "choices", [])) < 2
    ]


LONGEST = 60


class TracePage(TypedDict):
    """Where metal went; what was found stands in it once something is asked."""

    q: str
    place: str
    billet: NotRequired[Billet | None]
    origins: NotRequired[tuple[Origin, ...]]
    found: NotRequired[Traced]
    is_nothing: NotRequired[bool]


@require_GET
def trace(request: HtmxRequest) -> HttpResponse:
    """Type a heat, a lot or a mark; see every billet it went into, and where a billet is from."""
    typed = request.GET.get("q", "")[:LONGEST]
    query = "".join(one for one in typed if one.isprintable()).strip()
    context = TracePage(q=query, place="billets")
    if query:
        billet = origins.billet_named(query)
        pieces = origins.pieces_named(query)
        context |= {
            "billet": billet,
            "origins": origins.origins_of(billet) if billet else (),
            "found": origins.traced(pieces),
            "is_nothing": billet is None and not pieces,
        }
    return page_or_partial(request, "billets/billet/trace.html", "traced", context)
