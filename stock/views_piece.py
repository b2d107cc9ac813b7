"""The page of one piece, and what is done to it there."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.db import transaction
from django.http import Http404, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_POST, require_safe

from stock import marks
from stock.acting import on_form, or_say
from stock.acts import Act, acts_for
from stock.form_amounts import amount_text
from stock.forms_piece import PieceForm
from stock.models import Piece
from stock.piece_pages import last_line, piece_page
from stock.refusals import LedgerError
from stock.web import HtmxRequest, page_or_partial, person, plain_words


def piece_named(mark: str) -> Piece:
    """The piece with a mark, however it was typed."""
    try:
        known = marks.typed_mark(mark)
    except marks.MarkError as error:
        raise Http404(str(error)) from error
    rows = Piece.objects.select_related(
        "material", "cut_from", "line__purchase__supplier", "line__material"
    )
    piece = rows.filter(mark=known).first()
    if piece is None:
        raise Http404(f"No piece has the mark {known}.")
    return piece


@require_safe
def piece_detail(request: HtmxRequest, mark: str) -> HttpResponse:
    """One piece: size, promises, origin, ledger, and what can be done to it."""
    piece = piece_named(mark)
    if piece.mark != mark:
        return redirect("stock:piece-detail", piece.mark)
    return show(request, piece)


@require_POST
def piece_act(request: HtmxRequest, mark: str, act: str) -> HttpResponse:
    """Do one act to a piece, or show its form again with what is wrong."""
    piece = piece_named(mark)
    chosen = next((one for one in acts_of(request, piece) if one.key == act), None)
    if chosen is None:
        messages.error(request, f"That cannot be done to {piece.mark} as it is now.")
        return redirect("stock:piece-detail", piece.mark)
    form = chosen.form(request.POST, piece=piece, house=request.house, prefix=chosen.key)
    if form.is_valid() and done(request, chosen, form):
        fresh = piece_named(piece.mark)
        return show(request, fresh) if request.htmx else redirect("stock:piece-detail", piece.mark)
    look_at_first_error(form)
    return show(request, piece, bound={chosen.key: form}, status=422)


def acts_of(request: HtmxRequest, piece: Piece) -> tuple[Act, ...]:
    """What this person can do to a piece."""
    return acts_for(piece, sees_money=request.house.sees_money)


def look_at_first_error(form: PieceForm) -> None:
    """Bring the reader to what is wrong: the page is long, and the form is far down."""
    wrong = next((name for name in form.fields if name in form.errors), None)
    if wrong is not None:
        form.fields[wrong].widget.attrs["autofocus"] = True


def done(request: HtmxRequest, act: Act, form: PieceForm) -> bool:
    """Carry the act out; a refusal goes beside its field."""
    say = on_form(form, act.field if act.field in form.fields else None)
    with or_say(LedgerError, say=say) as attempt, transaction.atomic():
        if act.key != "place":
            refuse_unseen(form, seen=plain_words(request.POST, "seen", most=18))
        told = act.do(form.piece, form, person(request))
    if not attempt.is_done:
        return False
    messages.success(request, told)
    return True


def refuse_unseen(form: PieceForm, *, seen: str) -> None:
    """Refuse what was sent from a page that is out of date: pressed twice, or sent again.

    Raises:
        LedgerError: the piece has lines in the ledger that the page did not show.
    """
    held = Piece.objects.select_for_update().select_related(None).get(pk=form.piece.pk)
    if seen.isdecimal() and int(seen) < last_line(held):
        there = amount_text(held.on_hand, form=form.piece.form, system=form.house.system)
        raise LedgerError(
            f"{held.mark} was changed after this page was opened; {there} of it is there now. "
            "Is it done already? If not, send it once more."
        )


def show(
    request: HtmxRequest,
    piece: Piece,
    *,
    bound: dict[str, PieceForm] | None = None,
    status: int = 200,
) -> HttpResponse:
    """The page, with an empty form for each act but those that were typed in."""
    typed = bound or {}
    choices: list[dict[str, Any]] = [
        {
            "act": act,
            "form": typed.get(act.key)
            or act.form(piece=piece, house=request.house, prefix=act.key),
            "is_open": act.key in typed,
        }
        for act in acts_of(request, piece)
    ]
    context = piece_page(piece, house=request.house) | {"choices": choices}
    return page_or_partial(request, "stock/piece_detail.html", "piece", context, status=status)
