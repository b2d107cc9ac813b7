"""The layups of the shop: the list, copy, retire."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_POST

from billets.layup_editor import reading as layup_pages
from billets.layup_editor import writing as drafting
from billets.models import Layup
from stock.web.requests import HtmxRequest


@require_GET
def layup_list(request: HtmxRequest) -> HttpResponse:
    """Every layup with a small drawing of its stack; retired ones behind a click."""
    shows_retired = request.GET.get("retired") == "1"
    context = {
        "cards": layup_pages.cards(house=request.house, shows_retired=shows_retired),
        "shows_retired": shows_retired,
        "retired_count": Layup.objects.filter(is_retired=True).count(),
    }
    return render(request, "billets/layup_list.html", context)


@require_POST
def layup_copy(request: HtmxRequest, layup_id: int) -> HttpResponse:
    """The same stack under another name, opened for changing."""
    copy = drafting.copy_layup(layup=get_object_or_404(Layup, pk=layup_id))
    messages.success(request, f"This is a copy: {copy.name}. Give it its own name.")
    return redirect("billets:layup-edit", copy.pk)


@require_POST
def layup_retire(request: HtmxRequest, layup_id: int) -> HttpResponse:
    """Put a layup away, or take it out again."""
    layup = get_object_or_404(Layup, pk=layup_id)
    is_retired = not layup.is_retired
    drafting.set_retired(layup=layup, is_retired=is_retired)
    word = "put away; billets made from it stay as they are" if is_retired else "back in use"
    messages.success(request, f"{layup} is {word}.")
    return redirect("billets:layup-list")
