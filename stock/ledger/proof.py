"""Proves the books: every total is the sum of its entries, metal and money are conserved.

Reads only. It names each piece or act that breaks a law, and leaves mending to a person.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from uuid import UUID

from django.db.models import Q, Sum

from stock.ledger import receiving, triggers
from stock.models import Entry, Form, Piece, Purchase, SentBack, SetAside

Kind = Entry.Kind


@dataclass(frozen=True)
class Proof:
    """What was looked at, what the books say in money, and what is wrong."""

    pieces: int
    entries: int
    bought_cents: int  # less what went back
    returned_cents: int
    credited_cents: int  # by suppliers for it
    on_rack_cents: int
    in_work_cents: int
    scrap_cents: int
    corrected_cents: int
    faults: tuple[str, ...]


def proved() -> Proof:
    """Check every law over all of the books."""
    money = money_by_kind()
    faults = [
        *(f"the database has lost its trigger {name}" for name in triggers.missing()),
        *total_faults(),
        *aside_faults(),
        *parting_faults(),
        *correction_faults(),
        *purchase_faults(),
        *return_faults(),
    ]
    bought = money[Kind.RECEIVED] + money[Kind.RETURNED]
    in_work = -(money[Kind.BLANK] + money[Kind.KERF] + money[Kind.USED] + money[Kind.MADE])
    on_rack = Piece.objects.aggregate(all=Sum("value_cents"))["all"] or 0
    scrap, corrected = -money[Kind.SCRAP], -money[Kind.COUNTED]
    if bought - in_work - scrap - corrected != on_rack:
        faults.append(
            f"purchases {bought} less work {in_work}, scrap {scrap} and corrections {corrected} "
            f"make {bought - in_work - scrap - corrected}, but the rack says {on_rack}"
        )
    return Proof(
        pieces=Piece.objects.count(),
        entries=Entry.objects.count(),
        bought_cents=bought,
        returned_cents=-money[Kind.RETURNED],
        credited_cents=sum(row.credit_cents for row in receiving.standing()),
        on_rack_cents=on_rack,
        in_work_cents=in_work,
        scrap_cents=scrap,
        corrected_cents=corrected,
        faults=tuple(faults),
    )


def money_by_kind() -> dict[str, int]:
    """Value of all entries by kind."""
    rows = Entry.objects.order_by().values("kind").annotate(total=Sum("value_cents"))
    money: dict[str, int] = defaultdict(int)
    money.update({row["kind"]: row["total"] for row in rows})
    return money


def total_faults() -> list[str]:
    """Pieces whose totals are not the sum of their entries."""
    sums = {
        row["piece"]: (row["entered"], row["worth"])
        for row in Entry.objects.order_by()
        .values("piece")
        .annotate(entered=Sum("amount"), worth=Sum("value_cents"))
    }
    faults = []
    for row in Piece.objects.only("mark", "on_hand", "value_cents"):
        entered, worth = sums.get(row.pk, (0, 0))
        if (entered, worth) != (row.on_hand, row.value_cents):
            faults.append(
                f"piece {row.mark}: its entries add up to {entered} worth {worth}, "
                f"but it says {row.on_hand} worth {row.value_cents}"
            )
        if row.on_hand < 0 or row.value_cents < 0:
            faults.append(f"piece {row.mark} is below nothing")
    return faults


def aside_faults() -> list[str]:
    """Pieces whose set-aside is not the sum of what stands, or is more than there is."""
    standing = dict(
        SetAside.objects.filter(state=SetAside.State.STANDING)
        .order_by()
        .values_list("piece_id")
        .annotate(total=Sum("amount"))
    )
    faults = []
    for row in Piece.objects.only("mark", "on_hand", "set_aside"):
        if standing.get(row.pk, 0) != row.set_aside:
            faults.append(
                f"piece {row.mark}: {standing.get(row.pk, 0)} stands set aside, "
                f"but it says {row.set_aside}"
            )
        if row.set_aside > row.on_hand:
            faults.append(f"piece {row.mark} has more set aside than there is of it")
    return faults


def volume(entry: Entry) -> int:
    """An entry's amount where pieces of unlike form can be compared: nm², or its own unit."""
    material = entry.piece.material
    if material.form == Form.ROLL:
        return entry.amount * material.width_nm
    return entry.amount


def parting_faults() -> list[str]:
    """Acts that part metal and lose or gain some of it, or of its value."""
    metal: dict[UUID, int] = defaultdict(int)
    value: dict[UUID, int] = defaultdict(int)
    marks: dict[UUID, set[str]] = defaultdict(set)
    for entry in Entry.objects.filter(kind=Kind.PARTED).select_related("piece__material"):
        metal[entry.act] += volume(entry)
        value[entry.act] += entry.value_cents
        marks[entry.act].add(entry.piece.mark)
    return [
        f"parting of {', '.join(sorted(marks[act]))}: metal {metal[act]:+}, value {value[act]:+}"
        for act in metal
        if metal[act] or value[act]
    ]


def correction_faults() -> list[str]:
    """Corrections that are not the exact opposite of what they correct."""
    rows = Entry.objects.exclude(corrects=None).select_related("corrects", "piece")
    return [
        f"piece {row.piece.mark}: entry {row.pk} does not undo entry {row.corrects_id}"
        for row in rows
        if row.corrects is not None
        and (row.amount, row.value_cents, row.piece_id)
        != (-row.corrects.amount, -row.corrects.value_cents, row.corrects.piece_id)
    ]


def purchase_faults() -> list[str]:
    """Received purchases whose pieces do not add up to what was paid."""
    faults = []
    rows = Purchase.objects.filter(state=Purchase.State.RECEIVED).annotate(
        booked=Sum(
            "lines__pieces__entries__value_cents",
            filter=_received_filter(),
        )
    )
    for row in rows.prefetch_related("lines"):
        lines = row.lines.all()
        paid = sum(line.price_cents + line.delivery_share_cents for line in lines)
        spread = sum(line.delivery_share_cents for line in lines)
        if paid != (row.booked or 0) or spread != row.delivery_cents:
            faults.append(f"purchase {row.pk}: {paid} paid, {row.booked or 0} booked")
    return faults


def return_faults() -> list[str]:
    """Metal sent back without a word of its credit, or a credit for metal that did not go."""
    gone = dict(
        Entry.objects.filter(kind=Kind.RETURNED, corrects=None).values_list("act", "piece__mark")
    )
    credited = dict(SentBack.objects.values_list("act", "piece__mark"))
    return [
        f"piece {gone.get(act) or credited[act]}: what went back and its credit do not belong "
        "together"
        for act in gone.keys() | credited.keys()
        if gone.get(act) != credited.get(act)
    ]


def _received_filter() -> Q:
    return Q(
        lines__pieces__entries__kind=Kind.RECEIVED,
        lines__pieces__entries__corrects=None,
        lines__pieces__entries__corrected_by=None,
    )
