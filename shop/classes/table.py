"""The billets of a class as a table: who gets which, what it is made of, how far it is."""

from __future__ import annotations

from collections.abc import Iterable

from babel.numbers import get_currency_precision
from django.db.models import Sum

from shop.classes.reading import SeatLine, seat_lines
from shop.models import ForgeClass
from shop.planning import metal
from stock.house import House
from stock.models import Entry
from stock.output.csv_tables import Cell, Column, Table, length_cell, money_cell


def metal_cents(jobs: Iterable[str]) -> dict[str, int]:
    """What each job's metal was worth in the books, undone cuts taken off."""
    rows = Entry.objects.filter(job__in=set(jobs)).values("job").annotate(sum=Sum("value_cents"))
    return {row["job"]: -row["sum"] for row in rows}


def billets_table(forge_class: ForgeClass, *, house: House) -> Table:
    """One row a seat; the metal's cost only for those who see money."""
    lines = seat_lines(metal.active_seats(forge_class))
    columns = [
        Column("Seat"), Column("Student"), Column("E-mail"), Column("Billet"), Column("Layup"),
        Column("Knife"), Column("Blank length", house.unit), Column("Blank width", house.unit),
        Column("Layers"), Column("Stage"), Column("Blanks cut"), Column("Blanks without metal"),
    ]  # fmt: skip
    rows = [cells(line, house=house) for line in lines]
    if house.sees_money:
        columns.append(Column("Metal cost", house.currency))
        digits = get_currency_precision(house.currency)
        worth = metal_cents(line.billet.job for line in lines if line.billet)
        rows = [
            (*row, money_cell(worth.get(line.billet.job if line.billet else ""), digits=digits))
            for row, line in zip(rows, lines, strict=True)
        ]
    return Table(tuple(columns), tuple(rows))


def cells(line: SeatLine, *, house: House) -> tuple[Cell, ...]:
    """One row, without money."""
    seat = line.seat
    return (
        "spare" if seat.is_spare else seat.number,
        seat.student,
        seat.email,
        line.billet.mark if line.billet else "",
        line.layup_name,
        seat.knife,
        length_cell(line.length_nm, system=house.system),
        length_cell(line.width_nm, system=house.system),
        len(metal.design_of(seat).layers),
        line.stage,
        line.cuts.cut,
        line.cuts.unplanned,
    )
