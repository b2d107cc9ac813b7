"""Forms of a knife: what it is, what is taken for it, hours, outside work, its sale."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from django import forms
from django.db.models import QuerySet

from billets.hours.forms import MinutesField, WorkDayField
from billets.models import Billet, StepKind
from shop.knives import reading as knives_reading
from shop.knives.recipe import LEAST_HRC, MOST_HRC, MOST_MEDIUM, Recipe, held_text
from shop.knives.writing import COLDEST_MDEGC, HOTTEST_MDEGC, MOST_TIMES
from shop.models import Knife, KnifeStep, TreatmentStep
from shop.words.fields import NumberField
from stock import clock
from stock.house import House
from stock.models import Piece
from stock.quantities import units
from stock.quantities.areas import amount_text
from stock.quantities.named_values import FieldValues
from stock.web.fields import (
    PLAIN,
    DayField,
    HouseForm,
    LengthField,
    MoneyField,
    TemperatureField,
    TypedField,
)

if TYPE_CHECKING:
    PieceField = forms.ModelChoiceField[Piece]
    BilletField = forms.ModelChoiceField[Billet]
else:
    PieceField = BilletField = forms.ModelChoiceField


BLADES_READY = (StepKind.DRAWN, StepKind.FINISHED)
MOST_OFFERED = 200


class PieceChoice(PieceField):
    """A piece with its mark and what is left of it."""

    system = "inch"

    def label_from_instance(self, obj: Piece) -> str:
        """Such as "brass pin 1/8 x 6 in, KT7: 24 left"."""
        left = amount_text(obj.free, form=obj.form, system=self.system)
        return f"{obj.material}, {obj.mark}: {left} left"


class BilletChoice(BilletField):
    """A billet with its layup."""

    def label_from_instance(self, obj: Billet) -> str:
        """Mark and layup."""
        return f"{obj.mark}, {obj.layup_name}"


def ready_billets(current: Billet | None) -> QuerySet[Billet]:
    """Billets that are drawn out or finished, the latest ones, and the one that is chosen."""
    rows: QuerySet[Any] = Billet.objects.with_stage()
    ready = rows.filter(reached__in=BLADES_READY, is_withdrawn=False).order_by("-id")
    ids = list(ready.values_list("pk", flat=True)[:MOST_OFFERED])
    if current is not None:
        ids.append(current.pk)
    return Billet.objects.filter(pk__in=ids)


class KnifeForm(HouseForm):
    """Pattern, blade, handle, heat treatment, care; the margin is the owner's."""

    pattern = forms.CharField(
        label="Pattern", max_length=120, help_text="Such as: bird and trout, 4 in."
    )
    billet = BilletChoice(
        label="Blade from billet",
        queryset=None,
        required=False,
        empty_label="none: bar is cut for it",
    )
    length_nm = LengthField(
        label="Length of the billet that went into it",
        required=False,
        help_text="Where one billet gives several blades. Empty is an equal share of what the "
        "others leave.",
    )
    handle = forms.CharField(label="Handle and fittings", max_length=200, required=False)
    heat_treatment = forms.CharField(
        label="More about its heat treatment",
        required=False,
        max_length=1000,
        help_text="Its steps are written down on the knife's page. This is printed under them.",
        widget=forms.Textarea(attrs={"rows": 3}),
    )
    care = forms.CharField(
        label="Care notes for its owner",
        required=False,
        max_length=1000,
        widget=forms.Textarea(attrs={"rows": 3}),
    )
    note = forms.CharField(label="Note", max_length=300, required=False)
    margin = NumberField(
        label="Margin you want, %", most=95, places=1, help_text="Profit over price."
    )

    def __init__(self, *args: Any, knife: Knife | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        choice = self.fields["billet"]
        assert isinstance(choice, BilletChoice)
        choice.queryset = ready_billets(knife.billet if knife else None)
        if not self.house.is_owner:
            del self.fields["margin"]

    def changes(self) -> FieldValues:
        """What the knife is to be."""
        given = dict(self.cleaned_data)
        margin = given.pop("margin", None)
        given["length_nm"] = given["length_nm"] or 0
        if margin is not None:
            given["margin_bp"] = round(margin * 100)
        return given


def knife_initial(knife: Knife) -> FieldValues:
    """A knife as its form shows it."""
    names = ("pattern", "billet", "handle", "heat_treatment", "care", "note")
    return {name: getattr(knife, name) for name in names} | {
        "length_nm": knife.length_nm or None,
        "margin": f"{knife.margin_bp / 100:g}",
    }


class PartForm(HouseForm):
    """Counted things off the rack."""

    piece = PieceChoice(label="What", queryset=None)
    count = forms.IntegerField(
        label="How many",
        min_value=1,
        max_value=100_000,
        initial=1,
        error_messages={
            "invalid": "Write a whole number, such as 2.",
            "min_value": "Take at least 1.",
        },
        widget=forms.TextInput(attrs=PLAIN | {"inputmode": "numeric"}),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        offer(self, knives_reading.parts(), house=self.house)


class BarForm(HouseForm):
    """A length of bought bar."""

    piece = PieceChoice(label="Bar", queryset=None)
    length_nm = LengthField(label="Length")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        offer(self, knives_reading.bars(), house=self.house)


def offer(form: forms.Form, pieces: QuerySet[Piece], *, house: House) -> None:
    """Fill a form's choice of pieces."""
    choice = form.fields["piece"]
    assert isinstance(choice, PieceChoice)
    choice.system, choice.queryset = house.system, pieces


class MinutesForm(forms.Form):
    """Time that no clock ran for."""

    step = forms.ChoiceField(label="Step", choices=KnifeStep.choices)
    minutes = MinutesField()
    day = WorkDayField()


class ServiceForm(HouseForm):
    """Work outside the shop."""

    name = forms.CharField(label="What was done, by whom", max_length=100)
    cents = MoneyField(label="Paid for it")


class SaleForm(HouseForm):
    """Who has it now, since when, for how much."""

    sold_to = forms.CharField(label="Sold to", max_length=100)
    sold_on = DayField(label="On")
    price_cents = MoneyField(label="Price, without tax")


def sale_form(knife: Knife, *, house: House) -> SaleForm:
    """The sale of a knife, as it was written down or as it is today."""
    sale = {
        "sold_to": knife.sold_to,
        "sold_on": knife.sold_on or clock.today(),
        "price_cents": knife.price_cents,
    }
    return SaleForm(house=house, initial=sale)


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
        label="How often",
        min_value=1,
        max_value=MOST_TIMES,
        initial=1,
        help_text="2 where it was done twice, all alike.",
        error_messages=dict.fromkeys(
            ("required", "invalid", "min_value", "max_value"),
            f"Write a whole number from 1 to {MOST_TIMES}.",
        ),
        widget=forms.TextInput(attrs=PLAIN | {"inputmode": "numeric"}),
    )
    medium = forms.CharField(
        label="Quenched or cooled in",
        max_length=MOST_MEDIUM,
        required=False,
        help_text="Such as: canola oil at 50 °C, still air.",
    )
    hrc = NumberField(
        label="Hardness measured after it, HRC",
        most=MOST_HRC,
        places=1,
        help_text="Leave it empty where none was measured.",
    )
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

    def clean(self) -> FieldValues:
        """At least one thing is said of the step."""
        given: FieldValues = super().clean() or {}
        said = ("temperature_mdegc", "seconds", "medium", "hrc")
        if not self.errors and all(given.get(name) in (None, "") for name in said):
            self.add_error(
                "temperature_mdegc",
                "Write at least one of temperature, time, what it was cooled in, or hardness.",
            )
        return given

    def values(self) -> FieldValues:
        """What `shop.knives.writing.write_step` takes."""
        given = dict(self.cleaned_data)
        hrc = given.pop("hrc")
        return given | {"hrc_tenths": None if hrc is None else round(hrc * 10)}


def treatment_initial(step: str, recipe: Recipe) -> FieldValues:
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
        label="What happened",
        max_length=200,
        help_text="Such as: cracked in the quench.",
        error_messages={"required": "Say what happened, such as: cracked in the quench."},
    )
