"""The form of the shop's hours: minutes a weekday, closed days, days kept free before a class."""

from __future__ import annotations

import re
from datetime import date
from typing import Any

from django import forms

from shop.calendar.opening import Opening, OpeningError
from shop.calendar.reading import Hours
from shop.words.fields import NumberField
from stock.quantities.named_values import FieldValues

WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
MINUTES = 60
MOST_CLOSED = 400


class OpeningForm(forms.Form):
    """Hours of work on each weekday; empty is closed."""

    clear_days = forms.IntegerField(
        label="Days kept free before a class",
        min_value=0,
        max_value=60,
        help_text="Nothing is prepared on them.",
        error_messages={"invalid": "Write a whole number of days, such as 1."},
        widget=forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off"}),
    )
    closed = forms.CharField(
        label="Closed days",
        required=False,
        max_length=6000,
        help_text="One a line, as 2026-12-24, or from and to: 2026-12-24 2027-01-01.",
        widget=forms.Textarea(attrs={"rows": 4, "spellcheck": "false"}),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for number, name in enumerate(WEEKDAYS):
            self.fields[f"day_{number}"] = NumberField(label=f"{name}, hours", most=24, places=2)

    def day_fields(self) -> list[forms.BoundField]:
        """The seven weekdays."""
        return [self[f"day_{number}"] for number in range(7)]

    def clean_closed(self) -> list[date]:
        """Closed days, each bad line named."""
        days: list[date] = []
        for line in self.cleaned_data["closed"].splitlines():
            if line.strip():
                days += closed_days(line)
        if len(days) > MOST_CLOSED:
            raise forms.ValidationError(
                f"{len(days)} closed days are more than the {MOST_CLOSED} there is room for."
            )
        return days

    def clean(self) -> FieldValues:
        """At least one weekday is open."""
        given: FieldValues = super().clean() or {}
        try:
            Opening(self.minutes())
        except OpeningError as error:
            self.add_error(None, str(error))
        return given

    def minutes(self) -> tuple[int, ...]:
        """Minutes of work on each weekday, Monday first."""
        hours = (self.cleaned_data.get(f"day_{number}") or 0 for number in range(7))
        return tuple(round(one * MINUTES) for one in hours)


def closed_days(line: str) -> list[date]:
    """One day, or each of a stretch."""
    found = re.findall(r"\d{4}-\d{2}-\d{2}", line)
    try:
        days = [date.fromisoformat(one) for one in found]
    except ValueError:
        days = []
    if not 1 <= len(days) <= 2 or days != sorted(days):
        raise forms.ValidationError(
            f"'{line.strip()[:60]}' is not a day. Write it as 2026-12-24, or two of them, the "
            "earlier first."
        )
    first, last = days[0], days[-1]
    if (last - first).days >= MOST_CLOSED:
        raise forms.ValidationError("More than a year in one stretch; is the year right?")
    return [date.fromordinal(day) for day in range(first.toordinal(), last.toordinal() + 1)]


def opening_initial(hours: Hours) -> FieldValues:
    """The hours as their form shows them."""
    found: FieldValues = {
        f"day_{number}": f"{minutes / MINUTES:g}" if minutes else ""
        for number, minutes in enumerate(hours.opening.minutes)
    }
    closed = "\n".join(day.isoformat() for day in sorted(hours.opening.closed))
    return found | {"closed": closed, "clear_days": hours.clear_days}
