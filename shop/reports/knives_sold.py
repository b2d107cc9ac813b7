"""Reads the knives that were sold in some days: price, cost, what they brought; and their total."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import TypedDict

from billets.layup.work_time import hours_text
from shop.costing.lines import total_cents
from shop.costing.pricing import Priced
from shop.knives.cost import knife_cost
from shop.models import Knife
from shop.rates.writing import history
from shop.reports.hours import decimal_hours
from shop.reports.span import ALL_DAYS, Span
from shop.reports.tables import PLACES
from stock.house import House
from stock.output.csv_tables import Column, Table, money_cell
from stock.quantities.money import SECONDS_PER_HOUR, currency_digits


@dataclass(frozen=True)
class SoldRow:
    """One knife that was sold, or all of them together."""

    money: Priced
    seconds: int
    labour_cents: int
    worked_profit_cents: int  # profit of those knives that hours were written down for

    @property
    def hours(self) -> str:
        """Hours at it, in words; nothing where none were written down."""
        return hours_text(self.seconds) if self.seconds else ""

    @property
    def earned_cents_per_hour(self) -> int | None:
        """What an hour at it brought, rounded down; of knives without hours nothing is known."""
        if not self.seconds:
            return None
        brought = self.worked_profit_cents + self.labour_cents
        return brought * SECONDS_PER_HOUR // self.seconds


@dataclass(frozen=True)
class SoldKnife(SoldRow):
    """One of them."""

    knife: Knife
    day: date


def sold_knives(*, house: House, span: Span = ALL_DAYS) -> list[SoldKnife]:
    """Knives sold in some days with a price, the latest first."""
    rows = Knife.objects.sold().exclude(price_cents=None)
    if span.first is not None:
        rows = rows.filter(sold_on__gte=span.first)
    if span.last is not None:
        rows = rows.filter(sold_on__lte=span.last)
    known, found = history(), []
    for knife in rows.select_related("billet").order_by("-sold_on", "-id"):
        cost = knife_cost(knife, history=known, house=house, with_rest=False)
        if cost.brought is not None and knife.sold_on is not None:
            labour = total_cents(line for line in cost.lines if line.key == "labour")
            profit = cost.brought.profit_cents if cost.seconds else 0
            found.append(
                SoldKnife(cost.brought, cost.seconds, labour, profit, knife, knife.sold_on)
            )
    return found


def together(rows: Sequence[SoldRow]) -> SoldRow:
    """The sum; its margin and mark-up are those of all the money together."""
    money = Priced(
        price_cents=sum(row.money.price_cents for row in rows),
        cost_cents=sum(row.money.cost_cents for row in rows),
        card_fee_cents=sum(row.money.card_fee_cents for row in rows),
    )
    return SoldRow(
        money,
        sum(row.seconds for row in rows),
        sum(row.labour_cents for row in rows),
        sum(row.worked_profit_cents for row in rows),
    )


class SoldPart(TypedDict):
    """The part of the page about knives that were sold."""

    sold_knives: list[SoldKnife]
    sold_total: SoldRow | None


def sold_context(*, house: House, span: Span) -> SoldPart:
    """Knives sold in some days, and their sum."""
    rows = sold_knives(house=house, span=span)
    return SoldPart(sold_knives=rows, sold_total=together(rows) if rows else None)


def sold_table(rows: Sequence[SoldKnife], *, house: House) -> Table:
    """A row for each knife; shares are numbers, such as 0.25."""
    digits, unit = currency_digits(house.currency), house.currency
    columns = (
        Column("Day"),
        Column("Knife"),
        Column("Pattern"),
        Column("Price without tax", unit),
        Column("Cost", unit),
        Column("Card fee", unit),
        Column("Profit", unit),
        Column("Margin"),
        Column("Mark-up"),
        Column("Time", "h"),
        Column("Earned an hour", unit),
    )
    return Table(
        columns,
        tuple(
            (
                row.day.isoformat(),
                str(row.knife),
                row.knife.pattern,
                *(
                    money_cell(cents, digits=digits)
                    for cents in (
                        row.money.price_cents,
                        row.money.cost_cents,
                        row.money.card_fee_cents,
                        row.money.profit_cents,
                    )
                ),
                share_cell(row.money.margin),
                share_cell(row.money.markup),
                decimal_hours(row.seconds),
                money_cell(row.earned_cents_per_hour, digits=digits),
            )
            for row in rows
        ),
    )


def share_cell(share: Fraction | None) -> Decimal | None:
    """A share as a number; empty where there is none."""
    return None if share is None else Decimal(f"{float(share):.{PLACES}f}")
