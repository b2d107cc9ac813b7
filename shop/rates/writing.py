"""The shop's dated rates: written here, and read as of a day. The only writer of rate sheets.

A sheet holds from its first day until the next one begins; a change never reaches back, so that
old jobs keep their old rates.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db import transaction
from django.db.models.functions import Coalesce, TruncDate
from django.utils import timezone

from billets.models import Billet
from shop.costing.lines import NoRatesYetError
from shop.costing.rate_values import ShopRates, shop_rates
from shop.models import ForgeClass, RateSheet
from stock import clock
from stock.who import Person


class DayTaken(ValueError):
    """Rates cannot be moved to a day that has some."""

    def __init__(self) -> None:
        super().__init__("That day has rates of its own. Choose another day, or put those right.")


@dataclass(frozen=True)
class History:
    """All sheets, the newest first, read once for many days."""

    sheets: tuple[tuple[date, ShopRates], ...]

    def on(self, day: date) -> ShopRates:
        """The rates that held on a day.

        Raises:
            NoRatesYetError: none had begun.
        """
        for first_day, rates in self.sheets:
            if first_day <= day:
                return rates
        raise NoRatesYetError(day=day, first_day=self.sheets[-1][0] if self.sheets else None)

    def begun_on(self, day: date) -> date | None:
        """The first day of the rates that hold on a day; nothing when none had begun."""
        return next((first for first, _ in self.sheets if first <= day), None)

    def words_on(self, day: date) -> str:
        """Which rates a job of a day is reckoned with, or why it has none, in a sentence."""
        if (since := self.begun_on(day)) is not None:
            return f"Reckoned with the rates that hold from {dated(since)}."
        if not self.sheets:
            return "No rates are written down yet: hours, fuel and power count as nothing."
        return (
            f"No rates hold on {dated(day)}, the first ones from {dated(self.sheets[-1][0])}: "
            "hours, fuel and power count as nothing."
        )

    def words_for_knife(self, day: date) -> str:
        """The same for a knife that was begun on a day: its hours go by their own days."""
        if (since := self.begun_on(day)) is None:
            if not self.sheets:
                return self.words_on(day)
            return f"{self.words_on(day)} Hours of a day that has rates are reckoned with those."
        return (
            "Each line of hours is reckoned with the rates of its own day, all else with those "
            f"that hold from {dated(since)}."
        )

    def on_or_none(self, day: date) -> ShopRates | None:
        """The rates that held on a day; nothing when none had begun."""
        try:
            return self.on(day)
        except NoRatesYetError:
            return None


def history() -> History:
    """Every rate sheet, in one query."""
    rows = RateSheet.objects.order_by("-from_date")
    return History(tuple((row.from_date, shop_rates(row.values)) for row in rows))


@transaction.atomic
def set_rates(
    *,
    from_date: date,
    values: Mapping[str, Any],
    by: Person,
    note: str = "",
    instead_of: RateSheet | None = None,
) -> RateSheet:
    """Write down the rates that hold from a day on; a sheet of the same day is put right.

    Args:
        from_date: the first day they hold.
        values: whole numbers by name, as `shop.costing.rate_values.shop_rates` reads them.
        by: who wrote them.
        note: why they change.
        instead_of: a sheet that is put right, and moved where its day was wrong.

    Raises:
        DayTaken: a sheet is moved to a day that has rates of its own.
    """
    if instead_of is not None and instead_of.from_date != from_date:
        if RateSheet.objects.filter(from_date=from_date).exists():
            raise DayTaken
        RateSheet.objects.filter(pk=instead_of.pk).update(from_date=from_date)
    row, _ = RateSheet.objects.update_or_create(
        from_date=from_date,
        defaults={"values": dict(values), "note": note, "by": by, "at": clock.now()},
    )
    return row


def resting_on(sheet: RateSheet) -> tuple[int, int]:
    """Classes and billets that are reckoned with a sheet: of its days, until the next one."""
    later = RateSheet.objects.filter(from_date__gt=sheet.from_date).order_by("from_date").first()
    classes = ForgeClass.objects.filter(ends_on__gte=sheet.from_date).exclude(
        state=ForgeClass.State.CANCELLED
    )
    reckoned = Coalesce("seat__forge_class__ends_on", TruncDate("made_at"))
    made = Billet.objects.filter(is_withdrawn=False)
    billets = made.annotate(day=reckoned).filter(day__gte=sheet.from_date)
    if later is not None:
        classes = classes.filter(ends_on__lt=later.from_date)
        billets = billets.filter(day__lt=later.from_date)
    return classes.count(), billets.count()


def dated(day: date) -> str:
    """A day without its weekday, such as "30 Jun 2025"."""
    return f"{day.day} {day:%b %Y}"


def day_of(billet: Billet) -> date:
    """The day whose rates a billet is reckoned with: the last of its class, else its planning."""
    seat = getattr(billet, "seat", None)
    if seat is None:
        return timezone.localdate(billet.made_at)
    day: date = seat.forge_class.ends_on
    return day


def sheet_on(day: date) -> RateSheet | None:
    """The sheet that holds on a day."""
    return RateSheet.objects.filter(from_date__lte=day).first()
