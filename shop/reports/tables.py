"""The shop's reports as tables: for the page and, the same rows, for a file."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

from shop.reports.metal_used import UsedCell, Valued
from shop.reports.reading import Return, Went, YieldRow
from stock.house import House
from stock.output.csv_tables import Cell, Column, Table, mass_cell, money_cell
from stock.quantities.money import currency_digits

PLACES = 4  # decimals of a share in a file


def used_table(found: Sequence[UsedCell], *, house: House) -> Table:
    """Metal used, a row for each month, alloy and user; money only for those who see it."""
    unit = "lb" if house.system == "inch" else "kg"
    columns = [
        Column("Month"),
        Column("Alloy"),
        Column("Used for"),
        Column("Mass", unit),
        Column("of it scrap and kerf", unit),
        Column("of it in failed billets", unit),
    ]
    if house.sees_money:
        columns.append(Column("Value", house.currency))
    rows = []
    for cell in found:
        row: list[Cell] = [
            cell.month,
            cell.alloy,
            cell.user,
            mass_cell(cell.mass_ug, system=house.system),
            mass_cell(cell.scrap_ug, system=house.system),
            mass_cell(cell.failed_ug, system=house.system),
        ]
        if house.sees_money:
            row.append(money_cell(cell.cents, digits=currency_digits(house.currency)))
        rows.append(tuple(row))
    return Table(tuple(columns), tuple(rows))


def yield_table(rows: Sequence[YieldRow]) -> Table:
    """Outcomes by layup, shares as numbers from 0 to 1."""
    columns = ("Layup", "Made", "Sound", "Failed", "Share sound", "from", "to")

    def share(value: Fraction) -> Decimal:
        return Decimal(f"{float(value):.{PLACES}f}")

    return Table(
        tuple(Column(name) for name in columns),
        tuple(
            (
                row.layup,
                row.record.made,
                row.record.sound,
                row.failed,
                share(row.share),
                share(row.low),
                share(row.high),
            )
            for row in rows
        ),
    )


def money_table(
    paid: int, went: Sequence[Went], rack: int, *, house: House, before: int = 0
) -> Table:
    """Where the money went: all else adds up to what was there before and what was paid."""
    digits = currency_digits(house.currency)
    parts = [(one.name, one.cents) for one in went]
    begun = [("On the rack before", before)] if before else []
    rows = [*begun, ("Paid for metal", paid), *parts, ("On the rack", rack)]
    return Table(
        (Column("Where"), Column("Value", house.currency)),
        tuple((name, money_cell(cents, digits=digits)) for name, cents in rows),
    )


def returns_table(rows: Sequence[Return], *, house: House) -> Table:
    """What went back to suppliers, with what it was worth and what was credited."""
    digits = currency_digits(house.currency)
    columns = (
        Column("Day"),
        Column("Supplier"),
        Column("Piece"),
        Column("Amount"),
        Column("Reason"),
        Column("Value", house.currency),
        Column("Credited", house.currency),
        Column("Less than its value", house.currency),
    )
    return Table(
        columns,
        tuple(
            (
                row.day.isoformat(),
                row.supplier,
                row.mark,
                row.amount,
                row.why,
                *(
                    money_cell(cents, digits=digits)
                    for cents in (row.value_cents, row.credit_cents, row.lost_cents)
                ),
            )
            for row in rows
        ),
    )


def valuation_table(found: Valued, *, house: House) -> Table:
    """The three methods beside each other."""
    digits = currency_digits(house.currency)
    return Table(
        (
            Column("Method"),
            Column("Cost of what was used", house.currency),
            Column("Left on the rack", house.currency),
            Column("More than in the books", house.currency),
        ),
        tuple(
            (
                one.found.method,
                money_cell(one.found.used_total_cents, digits=digits),
                money_cell(one.found.left_cents, digits=digits),
                money_cell(one.more_cents, digits=digits),
            )
            for one in found.rows
        ),
    )
