"""The page of one piece, and what is done to it there."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from django.contrib import messages
from django.contrib.staticfiles import finders
from django.db import transaction
from django.http import Http404, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.template.loader import render_to_string
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from stock.ledger import marks
from stock.ledger.refusals import LedgerError
from stock.models import Piece, alloy_book
from stock.output import pdf
from stock.quantities.areas import amount_text
from stock.rack.acts import Act, acts_for
from stock.rack.forms import PieceForm
from stock.rack.rack_reading import rack_page
from stock.rack.reading import (
    MOST_LABELS,
    Label,
    PiecePage,
    labels_for,
    last_line,
    piece_page,
)
from stock.web.acting import on_form, or_say
from stock.web.requests import HtmxRequest, page_or_partial, person, plain_words


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
        return redirect(piece)
    return show(request, piece)


@require_POST
def piece_act(request: HtmxRequest, mark: str, act: str) -> HttpResponse:
    """Do one act to a piece, or show its form again with what is wrong."""
    piece = piece_named(mark)
    chosen = next((one for one in acts_of(request, piece) if one.key == act), None)
    if chosen is None:
        messages.error(request, f"That cannot be done to {piece.mark} as it is now.")
        return redirect(piece)
    form = chosen.form(request.POST, piece=piece, house=request.house, prefix=chosen.key)
    if form.is_valid() and done(request, chosen, form):
        fresh = piece_named(piece.mark)
        return show(request, fresh) if request.htmx else redirect(piece)
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


@dataclass(frozen=True)
class ActChoice:
    """One act with its form, open where it was typed in."""

    act: Act
    form: PieceForm
    is_open: bool


class PieceContext(PiecePage):
    """The page of a piece: what it is, and what can be done to it."""

    choices: list[ActChoice]


def show(
    request: HtmxRequest,
    piece: Piece,
    *,
    bound: dict[str, PieceForm] | None = None,
    status: int = 200,
) -> HttpResponse:
    """The page, with an empty form for each act but those that were typed in."""
    typed = bound or {}
    choices = [
        ActChoice(
            act=act,
            form=typed.get(act.key) or act.form(piece=piece, house=request.house, prefix=act.key),
            is_open=act.key in typed,
        )
        for act in acts_of(request, piece)
    ]
    context = PieceContext(**piece_page(piece, house=request.house), choices=choices)
    return page_or_partial(request, "stock/rack/piece.html", "piece", context, status=status)


@require_safe
def rack(request: HtmxRequest) -> HttpResponse:
    """What is there and what of it is free, by alloy and section."""
    context = rack_page(request.GET, house=request.house)
    return page_or_partial(request, "stock/rack/page.html", "rack", context)


@require_safe
def mark_page(request: HtmxRequest, mark: str) -> HttpResponse:
    """Open what a mark is painted on: a piece, else a billet."""
    try:
        known = marks.typed_mark(mark)
    except marks.MarkError as error:
        raise Http404(str(error)) from error
    if Piece.objects.filter(mark=known).exists():
        return redirect("stock:piece-detail", known)
    return redirect("billets:billet-detail", known)


LONGEST_ADDRESS = 4000  # characters of marks: more labels than one page has
PAPER_STYLE = "shop/labels-paper.css"


def chosen_pieces(given: QueryDict) -> list[Piece]:
    """Pieces by mark, of a purchase, or all that stand, in the order of the rack."""
    rows = Piece.objects.standing().select_related("material")
    typed = plain_words(given, "marks", most=LONGEST_ADDRESS).replace(",", " ").split()
    if typed:
        rows = rows.filter(mark__in=[known_mark(mark) for mark in typed])
    purchase = plain_words(given, "purchase", most=18)
    if purchase.isdecimal():
        rows = rows.filter(line__purchase=int(purchase))
    return list(rows[:MOST_LABELS])


def known_mark(typed: str) -> str:
    """A mark as the books have it; one that cannot be is left as it is and finds nothing."""
    try:
        return marks.typed_mark(typed)
    except marks.MarkError:
        return typed


def labels_asked(request: HtmxRequest) -> list[Label]:
    """The labels that the address of the page asks for."""
    return labels_for(
        chosen_pieces(request.GET),
        address=lambda mark: request.build_absolute_uri(reverse("stock:mark", args=[mark])),
        book=alloy_book(),
        house=request.house,
    )


@require_safe
def label_list(request: HtmxRequest) -> HttpResponse:
    """Labels as they print, a field to choose them, and the way to the PDF."""
    context = {
        "labels": labels_asked(request),
        "marks": request.GET.get("marks", ""),
        "query": request.GET.urlencode(),
        "most": MOST_LABELS,
    }
    return render(request, "stock/rack/labels.html", context)


@require_safe
def label_file(request: HtmxRequest) -> HttpResponse:
    """The labels as a PDF; where none can be made, the page that prints as well."""
    labels = labels_asked(request)
    html = render_to_string("pdf/labels.html", {"labels": labels, "house": request.house})
    style = finders.find(PAPER_STYLE)
    try:
        made = pdf.pdf(html, stylesheets=(Path(str(style)),))
    except pdf.PaperError as error:
        messages.error(request, f"{error} You can print this page instead.")
        return redirect(f"{reverse('stock:label-list')}?{request.GET.urlencode()}")
    response = HttpResponse(made, content_type="application/pdf")
    response["Content-Disposition"] = 'inline; filename="labels.pdf"'
    return response
