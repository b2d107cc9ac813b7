"""The form of one step of a blade's heat treatment, and of a blade that came to nothing."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any

from django import forms

from shop.knives.recipe import LEAST_HRC, MOST_HRC, MOST_MEDIUM, Recipe, held_text
from shop.knives.treatment import COLDEST_MDEGC, HOTTEST_MDEGC, MOST_TIMES
from shop.models import TreatmentStep
from shop.rates.forms import NumberField
from stock.quantities import units
from stock.web.fields import PLAIN, HouseForm, TemperatureField, TypedField

BARE = re.compile(r"\d+([.,]\d+)?\Z")


class HeldField(TypedField):
    """A time at heat in whole seconds; a bare number is minutes."""

    def read(self, text: str) -> int:
        """Whole seconds."""
        bare = text.strip()
        return units.seconds(f"{bare} min" if BARE.match(bare) else bare)

    def show(self, value: int) -> str:
        """As it is typed."""
        return held_text(value)


class TreatmentForm(HouseForm):
    """One step as it was done; it starts with the steel's own figures."""

    step = forms.ChoiceField(choices=TreatmentStep.choices, widget=forms.HiddenInput)
    temperature_mdegc = TemperatureField(label="Temperature", required=False)
    seconds = HeldField(
        label="Held, each time", required=False, help_text="Minutes, such as 10; or 2 h."
    )
    times = forms.IntegerField(
        label="How often", min_value=1, max_value=MOST_TIMES, initial=1,
        help_text="2 where it was done twice, all alike.",
        error_messages=dict.fromkeys(
            ("required", "invalid", "min_value", "max_value"),
            f"Write a whole number from 1 to {MOST_TIMES}.",
        ),
        widget=forms.TextInput(attrs=PLAIN | {"inputmode": "numeric"}),
    )  # fmt: skip
    medium = forms.CharField(
        label="Quenched or cooled in", max_length=MOST_MEDIUM, required=False,
        help_text="Such as: canola oil at 50 °C, still air.",
    )  # fmt: skip
    hrc = NumberField(
        label="Hardness measured after it, HRC", most=MOST_HRC, places=1,
        help_text="Leave it empty where none was measured.",
    )  # fmt: skip
    note = forms.CharField(label="Note", max_length=200, required=False)

    def clean_temperature_mdegc(self) -> int | None:
        """No blade is treated hotter than steel melts, nor colder than liquid nitrogen."""
        given: int | None = self.cleaned_data["temperature_mdegc"]
        if given is None or COLDEST_MDEGC <= given <= HOTTEST_MDEGC:
            return given
        said, coldest, hottest = (
            units.temperature_text(one, first=self.house.temperature_unit)
            for one in (given, COLDEST_MDEGC, HOTTEST_MDEGC)
        )
        raise forms.ValidationError(
            f"{said} is no heat for a blade. Write it from {coldest} to {hottest}."
        )

    def clean_hrc(self) -> Decimal | None:
        """What the C scale is used for."""
        given: Decimal | None = self.cleaned_data["hrc"]
        if given is not None and given < LEAST_HRC:
            raise forms.ValidationError(
                f"Rockwell C runs from {LEAST_HRC} to {MOST_HRC} for steel. Write what was "
                "measured, or leave it empty."
            )
        return given

    def clean(self) -> dict[str, Any]:
        """At least one thing is said of the step."""
        given: dict[str, Any] = super().clean() or {}
        said = ("temperature_mdegc", "seconds", "medium", "hrc")
        if not self.errors and all(given.get(name) in (None, "") for name in said):
            self.add_error(
                "temperature_mdegc",
                "Write at least one of temperature, time, what it was cooled in, or hardness.",
            )
        return given

    def values(self) -> dict[str, Any]:
        """What `shop.knives.treatment.write_step` takes."""
        given = dict(self.cleaned_data)
        hrc = given.pop("hrc")
        return given | {"hrc_tenths": None if hrc is None else round(hrc * 10)}


def treatment_initial(step: str, recipe: Recipe) -> dict[str, Any]:
    """A step's form as it starts."""
    return {
        "step": step,
        "times": 1,
        "temperature_mdegc": recipe.temperature_mdegc,
        "medium": recipe.medium,
    }


class LostForm(forms.Form):
    """Why nothing came of a knife."""

    why = forms.CharField(
        label="What happened", max_length=200, help_text="Such as: cracked in the quench.",
        error_messages={"required": "Say what happened, such as: cracked in the quench."},
    )  # fmt: skip
