"""The ledger: every line, newest first; an act undone; the same as a table file."""

from __future__ import annotations

import uuid

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_POST, require_safe

from stock import clock
from stock.ledger import by_hand
from stock.ledger.refusals import LedgerError
from stock.ledger_page import reading as ledger_page_reading
from stock.ledger_page.forms import LedgerFilterForm
from stock.ledger_page.reading import ledger_table
from stock.output.csv_tables import csv_text
from stock.web.acting import in_messages, or_say
from stock.web.requests import HtmxRequest, page_or_partial, person, plain_words

ACTS_A_PAGE = 30
LONGEST_WHY = 200


@require_safe
def ledger_page(request: HtmxRequest) -> HttpResponse:
    """All acts that fit the filter."""
    form = LedgerFilterForm(request.GET)
    asked = form.asked()
    rows = ledger_page_reading.acts_in_order(ledger_page_reading.matching(asked))
    page = Paginator(rows, ACTS_A_PAGE).get_page(request.GET.get("page"))
    query = request.GET.copy()
    query.pop("page", None)
    context = {
        "form": form,
        "asked": asked,
        "page": page,
        "query": query.urlencode(),
        "acts": ledger_page_reading.acts_read([row["act"] for row in page], house=request.house),
    }
    status = 422 if form.errors else 200
    return page_or_partial(request, "stock/ledger_page/page.html", "ledger", context, status=status)


@require_safe
def ledger_file(request: HtmxRequest) -> HttpResponse:
    """The same lines as a table for a spreadsheet; no money for those who see none."""
    rows = ledger_page_reading.matching(LedgerFilterForm(request.GET).asked())
    table = ledger_table(rows, house=request.house)
    response = HttpResponse(csv_text(table), content_type="text/csv; charset=utf-8")
    day = clock.today().isoformat()
    response["Content-Disposition"] = f'attachment; filename="ledger-{day}.csv"'
    return response


@require_POST
def entry_undo(request: HtmxRequest, act: uuid.UUID) -> HttpResponse:
    """Take an act back, with its reason, unless a plan or a billet keeps it."""
    found = ledger_page_reading.acts_read([act], house=request.house)
    keeper = found[0].kept_by if found else None
    why = plain_words(request.POST, "why", most=LONGEST_WHY) or "undone"
    if keeper is not None:
        messages.error(request, f"This belongs to {keeper.text}. Undo it on its own page.")
        return redirect(keeper.url or back_from(request))
    with or_say(LedgerError, say=in_messages(request)) as attempt:
        by_hand.undo(act=act, by=person(request), why=why)
    if attempt.is_done:
        messages.success(request, "Undone. Both lines stay in the ledger.")
    return redirect(back_from(request))


def back_from(request: HtmxRequest) -> str:
    """The page of ours that the undo was asked on; else the ledger."""
    asked = request.POST.get("next", "")
    is_ours = asked.startswith("/") and url_has_allowed_host_and_scheme(asked, allowed_hosts=None)
    return asked if is_ours else reverse("stock:ledger")
