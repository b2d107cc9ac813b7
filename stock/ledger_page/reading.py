"""Reads the ledger act by act, as its page, a piece's page and a table file show it."""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from django.db.models import Count, Exists, Max, OuterRef, QuerySet
from django.utils import timezone

from stock.house import House
from stock.ledger import jobs, marks
from stock.ledger.jobs import JobWords
from stock.materials.names import material_title
from stock.models import Entry, Form, Piece, alloy_book
from stock.output import csv_tables
from stock.output.csv_tables import Cell, Column, Table
from stock.quantities.areas import amount_text
from stock.quantities.money import credit_words, currency_digits

MINUS, PLUS = "−", "+"


@dataclass(frozen=True)
class LineWords:
    """One entry as it is shown."""

    mark: str
    kind: str
    amount: str  # signed
    value_cents: int
    job: JobWords | None
    why: str


@dataclass(frozen=True)
class ActWords:
    """Entries that were written together."""

    act: uuid.UUID
    at: datetime
    by: str
    lines: tuple[LineWords, ...]
    is_off: bool  # undone since
    is_correction: bool
    kept_by: JobWords | None  # a page of a higher floor that this act belongs to
    can_undo: bool
    others: int = 0  # pieces that the act moved besides the one whose page this is


@dataclass(frozen=True)
class LedgerFilter:
    """What somebody wants to see of the ledger; empty is all of it."""

    mark: str = ""
    kind: str = ""
    job: str = ""
    since: date | None = None
    until: date | None = None
    by: str = ""

    @property
    def is_narrow(self) -> bool:
        """Whether anything is left out."""
        return self != LedgerFilter()


def read_entries() -> QuerySet[Entry]:
    """Entries with all that a page says of them, newest first."""
    corrected = Entry.objects.filter(corrects=OuterRef("pk"))
    return (
        Entry.objects.select_related("piece__material", "by", "set_aside")
        .annotate(is_corrected=Exists(corrected))
        .order_by("-id")
    )


def matching(asked: LedgerFilter) -> QuerySet[Entry]:
    """The entries that fit a filter."""
    rows = Entry.objects.all()
    if asked.mark:
        try:
            rows = rows.filter(piece__mark=marks.typed_mark(asked.mark))
        except marks.MarkError:
            rows = rows.none()
    if asked.kind:
        rows = rows.filter(kind=asked.kind)
    if asked.job:
        rows = rows.filter(job__icontains=asked.job)
    if asked.since:
        rows = rows.filter(at__date__gte=asked.since)
    if asked.until:
        rows = rows.filter(at__date__lte=asked.until)
    if asked.by:
        rows = rows.filter(by=int(asked.by))
    return rows


def acts_in_order(rows: QuerySet[Entry]) -> QuerySet[Any, Any]:
    """One row an act, the latest first."""
    return rows.order_by().values("act").annotate(last=Max("id")).order_by("-last")


def acts_read(acts: Sequence[uuid.UUID], *, house: House) -> list[ActWords]:
    """Acts with all their entries, in the order given."""
    return grouped(read_entries().filter(act__in=acts), house=house)


def grouped(rows: Iterable[Entry], *, house: House) -> list[ActWords]:
    """Entries, newest first, put together by act; inside an act the first comes first."""
    entries = list(rows)
    asked = [entry.job for entry in entries]
    asked += [entry.set_aside.plan for entry in entries if entry.set_aside]
    words = jobs.words_of(asked)
    acts: dict[uuid.UUID, list[Entry]] = {}
    for entry in entries:
        acts.setdefault(entry.act, []).insert(0, entry)
    return [act_words(act, lines, words=words, house=house) for act, lines in acts.items()]


def acts_of_piece(piece: Piece, *, house: House) -> list[ActWords]:
    """A piece's own lines, each act with how many other pieces it moved."""
    acts = grouped(read_entries().filter(piece=piece), house=house)
    others = dict(
        Entry.objects.filter(act__in=[act.act for act in acts])
        .exclude(piece=piece)
        .order_by()
        .values_list("act")
        .annotate(pieces=Count("piece", distinct=True))
    )
    return [replace(act, others=others.get(act.act, 0)) for act in acts]


def act_words(
    act: uuid.UUID, entries: Sequence[Entry], *, words: dict[str, JobWords], house: House
) -> ActWords:
    """One act in words."""
    is_off = any(getattr(entry, "is_corrected", False) for entry in entries)
    is_correction = any(entry.corrects_id for entry in entries)
    keeper = keeper_of(entries, words=words)
    return ActWords(
        act=act,
        at=entries[0].at,
        by=str(entries[0].by),
        lines=tuple(line_words(entry, words=words, house=house) for entry in entries),
        is_off=is_off,
        is_correction=is_correction,
        kept_by=keeper,
        can_undo=not (is_off or is_correction or keeper),
    )


def keeper_of(entries: Sequence[Entry], *, words: dict[str, JobWords]) -> JobWords | None:
    """Where an act has to be undone when it belongs to a plan or to a billet's history."""
    for entry in entries:
        if entry.set_aside is not None:
            return words.get(entry.set_aside.plan, JobWords(entry.set_aside.plan))
        if entry.job and (jobs.split(entry.job) or entry.kind == Entry.Kind.MADE):
            return words[entry.job]
    return None


def line_words(entry: Entry, *, words: dict[str, JobWords], house: House) -> LineWords:
    """One entry in words."""
    sign = MINUS if entry.amount < 0 else PLUS
    form = entry.piece.material.form
    return LineWords(
        mark=entry.piece.mark,
        kind=entry.get_kind_display(),
        amount=f"{sign}{amount_text(abs(entry.amount), form=form, system=house.system)}",
        value_cents=entry.value_cents,
        job=words.get(entry.job),
        why=entry.why,
    )


NM2_PER_IN2, NM2_PER_MM2 = 25_400_000**2, 10**12


def amount_cell(amount: int, *, form: str, system: str) -> tuple[Cell, str]:
    """An amount as a number and the unit that it is in."""
    is_inch = system == "inch"
    if form in (Form.FLAT, Form.ROUND, Form.ROLL):
        return csv_tables.length_cell(amount, system=system), "in" if is_inch else "mm"
    if form == Form.WIRE:
        return csv_tables.mass_cell(amount, system=system), "lb" if is_inch else "kg"
    if form == Form.SHEET:
        one = NM2_PER_IN2 if is_inch else NM2_PER_MM2
        return (Decimal(amount) / one).quantize(Decimal("0.0001")), "in²" if is_inch else "mm²"
    return amount, "pieces"


def columns(*, house: House) -> tuple[Column, ...]:
    """The heading."""
    names = ["line", "act", "time", "by", "piece", "material", "kind", "amount", "unit"]
    money = [Column("value", house.currency)] if house.sees_money else []
    rest = [Column(name) for name in ("job", "why", "corrects line")]
    return (*(Column(name) for name in names), *money, *rest)


def ledger_table(rows: QuerySet[Entry], *, house: House) -> Table:
    """All lines that fit a filter, the oldest first."""
    book = alloy_book()
    found = list(rows.select_related("piece__material", "by").order_by("id"))
    words = jobs.words_of(entry.job for entry in found)
    digits = currency_digits(house.currency)
    titles = {
        entry.piece.material_id: material_title(
            entry.piece.material, book=book, system=house.system
        )
        for entry in found
    }

    def row(entry: Entry) -> tuple[Cell, ...]:
        amount, unit = amount_cell(
            entry.amount, form=entry.piece.material.form, system=house.system
        )
        value = (
            [csv_tables.money_cell(entry.value_cents, digits=digits)] if house.sees_money else []
        )
        job = words[entry.job].text if entry.job else ""
        return (
            entry.pk,
            str(entry.act),
            timezone.localtime(entry.at),
            str(entry.by),
            entry.piece.mark,
            titles[entry.piece.material_id],
            entry.get_kind_display(),
            amount,
            unit,
            *value,
            job,
            entry.why,
            entry.corrects_id,
        )

    return Table(columns=columns(house=house), rows=tuple(row(entry) for entry in found))


@dataclass(frozen=True)
class ReturnWords:
    """What went back to a supplier, and what was credited for it."""

    row: Any  # an entry with what `stock.ledger.receiving.standing` adds up
    amount: str
    credit: str


def return_words(row: Any, *, house: House) -> ReturnWords:
    """One return of `stock.ledger.receiving.standing`, in words."""
    return ReturnWords(
        row=row,
        amount=amount_text(row.amount, form=row.piece.form, system=house.system),
        credit=credit_words(
            row.value_cents,
            credit_cents=row.credit_cents,
            currency=house.currency,
            locale=house.locale,
        ),
    )
