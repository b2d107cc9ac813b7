"""The layup editor: a plain form that a live panel follows.

Every button of a row is a submit button, so that all of it works without a script; with one, only
the bench (form and panel) or the panel alone comes back.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from billets.layup_editor import editing
from billets.layup_editor import reading as layup_editor_reading
from billets.layup_editor import writing as layup_editor
from billets.layup_editor.forms import NO_LAYERS, rows_sent
from billets.layup_editor.rows import act_of, acted
from billets.layup_editor.writing import DraftLayer
from billets.models import Layup
from stock.web.requests import HtmxRequest, page_or_partial, person

EDIT = "billets/layup_editor/page.html"
STAYS = {  # what a button says that found nothing to do
    "up": "That layer is the top one already.",
    "down": "That layer is the bottom one already.",
    "mirror": "Both sides of the core are the same already.",
}


@require_http_methods(["GET", "POST"])
def layup_add(request: HtmxRequest) -> HttpResponse:
    """A new layup, begun from five plain layers; kept only when it is saved."""
    return edit(request, None)


@require_http_methods(["GET", "POST"])
def layup_edit(request: HtmxRequest, layup_id: int) -> HttpResponse:
    """One layup: its layers, its sizes, and everything that follows from them."""
    rows = Layup.objects.select_related("override_by").prefetch_related("layers")
    return edit(request, get_object_or_404(rows, pk=layup_id))


class LivePanel(editing.Bench):
    """The panel alone, for a form that is being typed."""

    is_live: bool


@require_POST
def layup_panel(request: HtmxRequest) -> HttpResponse:
    """The live panel for a form as it stands; writes nothing."""
    editor = editing.sent(request.POST.dict(), layup=None, house=request.house)
    editor.forget_blanks()  # said when it is saved, not while it is typed
    editor.form.errors.pop("name", None)  # nor whose name it is: the panel knows of no layup
    context = LivePanel(**editor.context(), is_live=True)
    return render(request, f"{EDIT}#answer", context, status=200)


def edit(request: HtmxRequest, layup: Layup | None) -> HttpResponse:
    """Show the editor, do what a button of it says, or keep the layup."""
    if request.method == "GET":
        query = request.GET.dict()
        return shown(request, editing.opened(layup=layup, house=request.house, query=query))
    data = request.POST.dict()
    act = act_of(data)
    if act is not None:
        given = rows_sent(data)
        moved = acted(given, act=act[0], place=act[1], new=editing.NEW_ROW)
        editor = editing.sent(data, layup=layup, house=request.house, rows=list(moved.rows))
        editor.forget_blanks()
        if act[0] in ("add-row", "copy") and moved.place is not None:
            editor.rows.forms[moved.place].fields["metal"].widget.attrs["autofocus"] = True
        stays = STAYS.get(act[0], "") if list(moved.rows) == list(given) else ""
        return shown(request, editor, act=act[0], place=moved.place, stays=stays)
    editor = editing.sent(data, layup=layup, house=request.house)
    if "show" in data:
        return shown(request, editor)
    return keep(request, editor)


def keep(request: HtmxRequest, editor: editing.Editor) -> HttpResponse:
    """Write the layup down, or say beside each field why not."""
    form, rows = editor.form, editor.rows
    if not rows.forms:
        form.add_error(None, NO_LAYERS)
    if not (form.is_valid() and rows.is_valid()):
        editor.is_refused = True
        editor.lead_to_what_is_wrong()
        return shown(request, editor, status=422)
    layers = [
        DraftLayer(layer.alloy, layer.thickness_nm, layer.role, row.material_id)
        for layer, row in zip(rows.layers(), rows.bottom_up(), strict=True)
    ]
    fields = form.fields_kept()
    if (said := outgrown(editor, fields)) is not None:
        fields["override_reason"] = ""
        messages.warning(request, said)
    saved = layup_editor.save_layup(
        layup=editor.layup, fields=fields, layers=layers, by=person(request)
    )
    messages.success(request, f"{saved} is saved.")
    return redirect(saved)


def outgrown(editor: editing.Editor, fields: Mapping[str, Any]) -> str | None:
    """What to say where an owner's reason stands that was written before a new stop came in."""
    layup, design = editor.layup, editor.design
    if layup is None or design is None or not layup.override_reason:
        return None
    if fields.get("override_reason", layup.override_reason) != layup.override_reason:
        return None
    stops = editing.new_stops(layup, design, house=editor.house)
    if not stops:
        return None
    return (
        f"The owner's reason was not written for this stop and is taken off. {stops[0]} "
        "Mend the layup, or let the owner write down why it is made all the same."
    )


class EditorPage(editing.Bench):
    """The editor's page: its bench, and the button that was pressed."""

    act: str
    place_pressed: int | None
    place: str
    stays: str  # why the button changed nothing


def shown(
    request: HtmxRequest,
    editor: editing.Editor,
    *,
    act: str = "",
    place: int | None = None,
    stays: str = "",
    status: int = 200,
) -> HttpResponse:
    """The editor's page, or its bench alone; the button that was pressed keeps the focus."""
    context = EditorPage(
        **editor.context(), act=act, place_pressed=place, place="layups", stays=stays
    )
    return page_or_partial(request, EDIT, "bench", context, status=status)


@require_GET
def layup_list(request: HtmxRequest) -> HttpResponse:
    """Every layup with a small drawing of its stack; retired ones behind a click."""
    shows_retired = request.GET.get("retired") == "1"
    context = {
        "cards": layup_editor_reading.cards(house=request.house, shows_retired=shows_retired),
        "shows_retired": shows_retired,
        "retired_count": Layup.objects.filter(is_retired=True).count(),
    }
    return render(request, "billets/layup_editor/list.html", context)


@require_POST
def layup_copy(request: HtmxRequest, layup_id: int) -> HttpResponse:
    """The same stack under another name, opened for changing."""
    copy = layup_editor.copy_layup(layup=get_object_or_404(Layup, pk=layup_id))
    messages.success(request, f"This is a copy: {copy.name}. Give it its own name.")
    return redirect(copy)


@require_POST
def layup_retire(request: HtmxRequest, layup_id: int) -> HttpResponse:
    """Put a layup away, or take it out again."""
    layup = get_object_or_404(Layup, pk=layup_id)
    is_retired = not layup.is_retired
    layup_editor.set_retired(layup=layup, is_retired=is_retired)
    word = "put away; billets made from it stay as they are" if is_retired else "back in use"
    messages.success(request, f"{layup} is {word}.")
    return redirect("billets:layup-list")
