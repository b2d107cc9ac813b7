"""Forms of hours: minutes that no clock ran for, and how long a clock really ran."""

from __future__ import annotations

from typing import Any

from django import forms

from billets.hours.writing import LONGEST_MINUTES
from billets.models import WorkStep
from stock import clock
from stock.web.fields import PLAIN

WHOLE = "Write whole minutes, such as 45."


class MinutesField(forms.IntegerField):
    """Whole minutes, from one to a day."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("label", "Minutes")
        super().__init__(
            min_value=1,
            max_value=LONGEST_MINUTES,
            error_messages={
                "invalid": WHOLE,
                "required": WHOLE,
                "min_value": "Write at least 1 minute.",
                "max_value": "A day is the most at a time.",
            },
            widget=forms.TextInput(attrs=PLAIN | {"inputmode": "numeric"}),
            **kwargs,
        )


class WorkDayField(forms.DateField):
    """The day that hours belong to; empty is today."""

    def __init__(self) -> None:
        super().__init__(
            label="On",
            required=False,
            initial=clock.today,
            widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
            error_messages={"invalid": "That is not a day. Write it as 2026-05-09."},
        )


class StopForm(forms.Form):
    """How long a clock really ran that was left on; empty stops it now."""

    minutes = MinutesField(required=False, label="Minutes it really was")


class MinutesForm(forms.Form):
    """Time at billets that no clock ran for."""

    step = forms.ChoiceField(label="Step", choices=WorkStep.choices)
    minutes = MinutesField()
    day = WorkDayField()
