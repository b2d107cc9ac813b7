"""The ledger as a table that leaves the app: one row a line, money only for who may see it."""

from __future__ import annotations

from decimal import Decimal

from django.db.models import QuerySet
from django.utils import timezone

from stock.house import House
from stock.ledger import jobs
from stock.materials.names import material_title
from stock.models import Entry, Form, alloy_book
from stock.output import csv_tables
from stock.output.csv_tables import Cell, Column, Table
from stock.quantities.money import currency_digits

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
            entry.pk, str(entry.act), timezone.localtime(entry.at), str(entry.by),
            entry.piece.mark, titles[entry.piece.material_id], entry.get_kind_display(),
            amount, unit, *value, job, entry.why, entry.corrects_id,
        )  # fmt: skip

    return Table(columns=columns(house=house), rows=tuple(row(entry) for entry in found))
