"""The money of a class: its terms, and what was paid for its seats. The only writer of both.

No card is processed here; it records what was agreed and what changed hands. Payments are only
ever added: a wrong one is undone by a second row that names it.

MoneyRefused   the sum stays as it is, with the sentence
MoreThanHeld   as a refund is more than was paid
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any, Literal, cast

from django.db import transaction

from shop.costing.deposits import Payment, seat_money
from shop.models import ClassTerms, ForgeClass, Seat, SeatPayment
from stock import clock
from stock.who import Person

Kind = Literal["deposit", "balance", "refund"]
REAL = (
    "place_cents",
    "helper_cents",
    "other_cents",
    "seats_cents",
    "prepare_minutes",
    "teach_minutes",
)


class MoneyRefused(ValueError):
    """The books of a class's money stay as they are."""


class MoreThanHeld(MoneyRefused):
    """A refund of more than the shop holds of a seat; fact: `held_cents`."""

    def __init__(self, held_cents: int) -> None:
        super().__init__("No more can go back than was paid for this seat and not given back yet.")
        self.held_cents = held_cents


@transaction.atomic
def set_terms(*, forge_class: ForgeClass, changes: Mapping[str, Any], by: Person) -> ClassTerms:
    """Write down fee, deposit, costs and refund rule of a class; later ones replace them."""
    row, _ = ClassTerms.objects.update_or_create(
        forge_class=forge_class, defaults=dict(changes) | {"by": by, "at": clock.now()}
    )
    return row


@transaction.atomic
def set_real(*, forge_class: ForgeClass, real: Mapping[str, int | None], by: Person) -> ClassTerms:
    """Write down what a class really cost beside its metal; what is empty counts as planned."""
    known = {name: real[name] for name in REAL if real.get(name) is not None}
    return set_terms(forge_class=forge_class, changes={"real": known}, by=by)


@transaction.atomic
def record_payment(
    *, seat: Seat, kind: str, cents: int, day: date, by: Person, note: str = ""
) -> SeatPayment:
    """Write down money that changed hands for a seat.

    Raises:
        MoneyRefused: it is nothing.
        MoreThanHeld: it is a refund of more than is held.
    """
    held = Seat.objects.select_for_update(of=("self",)).get(pk=seat.pk)
    if kind not in SeatPayment.Kind.values:
        raise MoneyRefused("Choose a deposit, a balance or a refund.")
    if cents <= 0:
        raise MoneyRefused("Give a sum above nothing.")
    if kind == SeatPayment.Kind.REFUND and cents > (kept := kept_cents(held)):
        raise MoreThanHeld(kept)
    return SeatPayment.objects.create(
        seat=held,
        who=held.student,
        day=day,
        kind=kind,
        cents=cents,
        note=note,
        by=by,
        at=clock.now(),
    )


@transaction.atomic
def undo_payment(*, payment: SeatPayment, by: Person) -> SeatPayment:
    """Take a wrong payment back by a second row; both stay readable.

    Raises:
        MoneyRefused: it is undone already or itself an undoing, or a refund rests on it.
    """
    Seat.objects.select_for_update(of=("self",)).get(pk=payment.seat_id)
    held = SeatPayment.objects.select_for_update(of=("self",)).get(pk=payment.pk)
    if held.undoes_id or SeatPayment.objects.filter(undoes=held).exists():
        raise MoneyRefused("This was undone already.")
    is_refund = held.kind == SeatPayment.Kind.REFUND
    if not is_refund and kept_cents(held.seat) < held.cents:
        raise MoneyRefused("Part of it was given back since. Undo that refund first.")
    return SeatPayment.objects.create(
        seat=held.seat,
        who=held.who,
        day=held.day,
        kind=held.kind,
        cents=held.cents,
        undoes=held,
        by=by,
        at=clock.now(),
    )


def standing(rows: Iterable[SeatPayment]) -> list[SeatPayment]:
    """Payments that were not undone."""
    listed = list(rows)
    undone = {row.undoes_id for row in listed if row.undoes_id}
    return [row for row in listed if not row.undoes_id and row.pk not in undone]


def kept_cents(seat: Seat) -> int:
    """What the shop holds of a seat's money now [minor units]."""
    payments = [
        Payment(row.day, row.cents, cast(Kind, row.kind)) for row in standing(seat.payments.all())
    ]
    return seat_money(fee_cents=0, payments=payments).kept_cents
