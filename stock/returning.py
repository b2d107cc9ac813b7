"""Metal that goes back to its supplier: out at its value, with what was credited beside it.

With `stock.ledger` a writer of entries. What the books held the metal at may differ from what
the supplier credits; both are kept, and neither changes the other. It is undone as any act is.
"""

from __future__ import annotations

from datetime import date
from typing import Any

from django.db import transaction
from django.db.models import Exists, OuterRef, QuerySet, Subquery, Sum

from stock import clock
from stock.entries import Kind, check_free, locked, new_act, take
from stock.form_amounts import amount_text
from stock.models import Entry, Form, Piece, PurchaseLine, SentBack
from stock.refusals import BadAmount
from stock.who import Person


def line_of(piece: Piece) -> PurchaseLine | None:
    """The line that a piece was bought on, its own or that of what it was cut from."""
    return None if piece.made_by else piece.line


@transaction.atomic
def send_back(
    *, piece: Piece, amount: int, credit_cents: int, why: str, day: date, by: Person
) -> SentBack:
    """Send metal back to the supplier that it was bought from.

    Args:
        piece: bought, or cut from what was.
        amount: in the unit of its form; of a sheet all that is left.
        credit_cents: what the supplier gives for it; nothing where none is given.
        why: the reason, never empty.
        day: it went back.
        by: who sent it.

    Raises:
        BadAmount: it was not bought, a sheet is to go in part, or no reason is given.
        NotEnough: that much is not free.
    """
    held = locked(piece)
    line = line_of(held)
    if line is None:
        raise BadAmount(f"{held.mark} was not bought, so it cannot go back. Scrap it instead.")
    if not why.strip():
        raise BadAmount("Say why it goes back.")
    if day < line_day(line):
        raise BadAmount(
            f"{held.mark} came on {line_day(line):%Y-%m-%d}; it cannot have gone back before."
        )
    check_free(held, amount=amount)
    if held.form == Form.SHEET and amount != held.on_hand:
        whole = amount_text(held.on_hand, form=held.form)
        raise BadAmount(f"{held.mark} has {whole} left; a sheet goes back whole.")
    act = new_act()
    take(act=act, piece=held, kind=Kind.RETURNED, amount=amount, by=by, why=why)
    return SentBack.objects.create(
        act=act, piece=held, line=line, day=day, credit_cents=credit_cents, by=by, at=clock.now()
    )


def line_day(line: PurchaseLine) -> date:
    """The day on which a line came."""
    return line.purchase.received_on or date.min


def standing() -> QuerySet[Any]:
    """What went back and was not undone, each with its `amount`, `value_cents` and `why`."""
    entries = Entry.objects.filter(act=OuterRef("act"), corrects=None)
    gone = entries.filter(corrected_by=None).order_by()
    sums = gone.values("act").annotate(value=-Sum("value_cents"), gone=-Sum("amount"))
    return (
        SentBack.objects.filter(Exists(gone))
        .annotate(
            value_cents=Subquery(sums.values("value")),
            amount=Subquery(sums.values("gone")),
            why=Subquery(gone.values("why")[:1]),
        )
        .select_related("piece__material", "line__purchase__supplier", "by")
    )
