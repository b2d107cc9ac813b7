"""Forms of a billet's page: its next step, its failure, a heat, its size, the bar it becomes."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from django import forms
from django.http import QueryDict

from billets.billet import reading as billet_reading
from billets.errors import NM_PER_MM, ForgingError, length_words
from billets.forging.calibration import LEAST_BILLETS, Measured, question_about
from billets.forging.drawout import Block
from billets.forging.forecast import stack_block
from billets.history.heat_log import question_about_thickness
from billets.history.writing import HeatTaken
from billets.hours.forms import MinutesField
from billets.layup_editor.forms import missing
from billets.models import Billet, Cause, Layup, StepKind, Work
from stock.house import House
from stock.models import Piece, Saw
from stock.quantities import units
from stock.quantities.named_values import FieldValues
from stock.quantities.units import mass_text
from stock.web.fields import HouseForm, LengthField, TemperatureField, TypedField

if TYPE_CHECKING:
    PieceField = forms.ModelChoiceField[Piece]
    SawField = forms.ModelChoiceField[Saw]
else:  # Django's own class takes no type at run time
    PieceField = SawField = forms.ModelChoiceField

CONFIRMED = "It is so: keep it all the same"
HEATS = "Heats are counted: type a whole number from 1 to 200, or leave it empty."
COLDEST_MDEGC, HOTTEST_MDEGC = 300_000, 1_500_000  # our own limits: anything else is a slip


NOT_KEPT = {"autocomplete": "off"}  # a browser that goes back fills nothing in to be sent again


def note_field() -> forms.CharField:
    """A line of words, as most forms of a billet end with."""
    return forms.CharField(
        label="Note", max_length=300, required=False, widget=forms.TextInput(attrs=NOT_KEPT)
    )


def say_what_is_missing(form: forms.Form) -> None:
    """Let every size of a form say what to type where it was left empty."""
    for field in form.fields.values():
        if isinstance(field, LengthField):
            field.error_messages["required"] = missing(field)


class SecondsField(TypedField):
    """A time in whole seconds."""

    def read(self, text: str) -> int:
        """Whole seconds."""
        return units.seconds(text)

    def show(self, value: int) -> str:
        """Seconds as they are typed."""
        return f"{value} s"


class SpoolChoice(PieceField):
    """Spools with what is left on them."""

    system = "inch"

    def label_from_instance(self, obj: Piece) -> str:
        """Mark, what is left, where it is."""
        left = mass_text(obj.free, system=self.system)
        place = f" · {obj.place}" if obj.place else ""
        return f"{obj.mark} · {obj.material} · {left} left{place}"


class StepForm(HouseForm):
    """The next stage, with its minutes and a note; welding shut also takes wire off a spool."""

    kind = forms.ChoiceField(choices=StepKind.choices, widget=forms.HiddenInput)
    spool = SpoolChoice(
        queryset=Piece.objects.none(),
        required=False,
        label="Wire from spool",
        empty_label="No spool: book no wire",
    )
    minutes = MinutesField(label="Minutes it took", required=False)
    note = note_field()

    def __init__(self, *args: Any, house: House, kind: str, wire_ug: int = 0, **more: Any) -> None:
        more.setdefault("initial", {"kind": kind})
        super().__init__(*args, house=house, **more)
        if kind != StepKind.WELDED or wire_ug <= 0:
            del self.fields["spool"]
            return
        spool = self.fields["spool"]
        assert isinstance(spool, SpoolChoice)
        spool.system, spool.queryset = house.system, billet_reading.spools()
        spool.initial = spool.queryset.first()
        estimate = mass_text(wire_ug, system=house.system)
        spool.help_text = f"About {estimate} goes into its seams; weighing the spool puts it right."


class FailForm(HouseForm):
    """What went wrong, from the list, and a note."""

    cause = forms.ChoiceField(
        label="What went wrong", choices=[("", "Choose a cause"), *Cause.choices]
    )
    note = note_field()


class AskingForm(HouseForm):
    """About one billet; `question` is what is to be confirmed before it is taken."""

    def __init__(self, *args: Any, house: House, billet: Billet, **more: Any) -> None:
        self.billet = billet
        self.question = ""
        super().__init__(*args, house=house, **more)


class HeatForm(AskingForm):
    """One trip to the fire; `number` is the heat that it was shown as."""

    number = forms.IntegerField(
        min_value=1, max_value=10_000, required=False, widget=forms.HiddenInput
    )
    work = forms.ChoiceField(label="What was done", choices=Work.choices)
    temperature_mdegc = TemperatureField(label="Temperature", required=False)
    seconds = SecondsField(label="Out of the fire", required=False, help_text="Such as 30 s.")
    thickness_nm = LengthField(label="Thickness after", required=False)
    note = forms.CharField(
        label="Note", max_length=200, required=False, widget=forms.TextInput(attrs=NOT_KEPT)
    )
    is_confirmed = forms.BooleanField(label=CONFIRMED, required=False)

    def clean(self) -> FieldValues:
        """Ask about a heat that left the billet thicker than it was."""
        given: FieldValues = super().clean() or {}
        thickness_nm = given.get("thickness_nm")
        if thickness_nm is not None:
            self.question = question_about_thickness(
                thickness_nm,
                before_nm=billet_reading.last_thickness_nm(self.billet),
                design=self.billet.design(),
                system=self.house.system,
            )
        if self.question and not given.get("is_confirmed"):
            self.add_error("thickness_nm", self.question)
        return given

    def ask_for(self, taken: HeatTaken) -> None:
        """Say who wrote this heat down; the same form sent again is the heat after it."""
        self.add_error(None, str(taken))
        given = QueryDict(mutable=True)
        given.update(self.data)
        given[self.add_prefix("number")] = str(taken.following)
        self.data = given

    @property
    def heat_number(self) -> int:
        """The heat that the form is shown as."""
        shown = str(self["number"].value() or "")
        return int(shown) if shown.isdecimal() else 1

    def clean_temperature_mdegc(self) -> int | None:
        """Steel is not forged cold, nor above where it melts."""
        given: int | None = self.cleaned_data["temperature_mdegc"]
        if given is None or COLDEST_MDEGC <= given <= HOTTEST_MDEGC:
            return given
        first = self.house.temperature_unit
        coldest, hottest = (
            units.temperature_text(mdegc, first=first) for mdegc in (COLDEST_MDEGC, HOTTEST_MDEGC)
        )
        raise forms.ValidationError(
            f"{units.temperature_text(given, first=first)} is no forging heat. Type what the "
            f"billet had, from {coldest} to {hottest}, or leave it empty."
        )


class SizeForm(AskingForm):
    """A measured size; one that cannot well be true is asked about and kept if confirmed."""

    length_nm = LengthField(label="Length")
    width_nm = LengthField(label="Width")
    thickness_nm = LengthField(label="Thickness")
    heats = forms.IntegerField(
        label="Heats",
        min_value=1,
        max_value=200,
        required=False,
        help_text=f"From {LEAST_BILLETS} measured billets on, the shop's own figures are used.",
        widget=forms.TextInput(attrs={"inputmode": "numeric"}),
        error_messages=dict.fromkeys(("invalid", "min_value", "max_value"), HEATS),
    )
    note = forms.CharField(
        label="Note", max_length=200, required=False, widget=forms.TextInput(attrs=NOT_KEPT)
    )
    is_confirmed = forms.BooleanField(label=CONFIRMED, required=False)

    def __init__(self, *args: Any, house: House, billet: Billet, **more: Any) -> None:
        super().__init__(*args, house=house, billet=billet, **more)
        say_what_is_missing(self)

    def clean(self) -> FieldValues:
        """Ask about a size that the stack's metal does not allow."""
        given: FieldValues = super().clean() or {}
        sizes = [given.get(name) for name in ("length_nm", "width_nm", "thickness_nm")]
        if all(sizes):
            self.question = self.asked([int(nm or 0) for nm in sizes], heats=given.get("heats"))
        if self.question and not given.get("is_confirmed"):
            self.add_error(None, self.question)
        return given

    def asked(self, sizes_nm: list[int], *, heats: int | None) -> str:
        """The question about these sizes; empty when there is none."""
        try:
            start = stack_block(self.billet.design())
        except ForgingError:
            return ""
        finish = Block(*(nm / NM_PER_MM for nm in sizes_nm))
        found = question_about(Measured(self.billet.mark, start, heats or 0, finish))
        return found.sentence(self.house.system) if found else ""


class BarForm(HouseForm):
    """A finished all-steel billet goes on the rack as a bar."""

    name = forms.CharField(
        label="Name of the bar's alloy",
        max_length=60,
        help_text="Such as Folded 1084/15N20. The same name again means the same alloy.",
    )
    thickness_nm = LengthField(label="Thickness")
    width_nm = LengthField(label="Width")
    length_nm = LengthField(label="Length")
    place = forms.CharField(label="Place on the rack", max_length=40, required=False)

    def __init__(self, *args: Any, house: House, billet: Billet, **more: Any) -> None:
        self.billet = billet
        super().__init__(*args, house=house, **more)
        say_what_is_missing(self)

    def clean_name(self) -> str:
        """A name without stray spaces."""
        return " ".join(self.cleaned_data["name"].split())

    def clean(self) -> FieldValues:
        """No bar holds more metal than its stack did."""
        given: FieldValues = super().clean() or {}
        sizes = [given.get(name) for name in ("length_nm", "width_nm", "thickness_nm")]
        if all(sizes):
            finish = Block(*(int(nm or 0) / NM_PER_MM for nm in sizes))
            measured = Measured(self.billet.mark, stack_block(self.billet.design()), 0, finish)
            if measured.kept_ratio > 1:
                longest = length_words(
                    measured.longest_mm, system=self.house.system, rounded=math.floor
                )
                self.add_error(
                    "length_nm",
                    f"All the metal of the stack is {longest} long at that section. Measure again.",
                )
        return given


class MakeBilletForm(HouseForm):
    """A billet outside any class: which layup, what for."""

    layup = forms.ModelChoiceField(
        queryset=Layup.objects.filter(is_retired=False), empty_label="Choose a layup"
    )
    knife = forms.CharField(label="What it is for", max_length=120, required=False)
    note = note_field()


class SawChoice(SawField):
    """Saws with their kerf."""

    system = "inch"

    def label_from_instance(self, obj: Saw) -> str:
        """Name and kerf."""
        if not obj.kerf_nm:
            return f"{obj.name} · no kerf"
        kerf = units.length_text(obj.kerf_nm, system=self.system, style="thou")
        return f"{obj.name} · {kerf} kerf"


class CutForm(HouseForm):
    """A piece for each blank of a billet, and the saw for the bars."""

    saw = SawChoice(queryset=Saw.objects.all(), required=False, empty_label="No kerf")

    def __init__(
        self,
        *args: Any,
        house: House,
        options: dict[int, list[tuple[str, str]]],
        names: dict[int, str],
        usual: dict[int, str],
        **more: Any,
    ) -> None:
        super().__init__(*args, house=house, **more)
        saw = self.fields["saw"]
        assert isinstance(saw, SawChoice)
        saw.system, saw.initial = house.system, Saw.objects.filter(is_usual=True).first()
        for position, choices in options.items():
            self.fields[f"piece-{position}"] = forms.ChoiceField(
                label=names[position],
                choices=[("", "Choose a piece"), *choices],
                initial=usual.get(position, ""),
                error_messages={
                    "required": "Choose the piece that this blank comes from.",
                    "invalid_choice": "This piece has changed since. Choose another.",
                },
            )
        self.fields["minutes"] = MinutesField(label="Minutes it took", required=False)

    def chosen(self) -> dict[int, int]:
        """Id of the piece for each blank, by position."""
        given = self.cleaned_data
        return {
            int(name.removeprefix("piece-")): int(value)
            for name, value in given.items()
            if name.startswith("piece-")
        }
