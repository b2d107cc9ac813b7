"""Forms of a class and its seats: typed text into dates, counts and lengths, with the sentences."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

from django import forms

from billets.models import Layup
from shop.classes.pasted import Pasted, read_students
from shop.models import ForgeClass, Seat
from stock.quantities.named_values import FieldValues
from stock.quantities.units import length_text
from stock.web.fields import PLAIN, DayField, HouseForm, LengthField

MOST_SEATS = 60
LEAST_BLANK_NM = 6_350_000  # 1/4 in; our own choice, less is a slip
MOST_DAYS = 60  # a longer class is a slip in one of its dates
NO_SEAT = "A class needs at least 1 seat; write how many students can come."


def layups_for(current: Layup | None) -> Any:
    """Layups that can be chosen: those in use, and the one that is chosen already."""
    rows = Layup.objects.filter(is_retired=False)
    return rows | Layup.objects.filter(pk=current.pk) if current else rows


if TYPE_CHECKING:
    LayupField = forms.ModelChoiceField[Layup]
else:
    LayupField = forms.ModelChoiceField


class LayupChoice(LayupField):
    """A layup with layers; one without cannot be built."""

    def clean(self, value: Any) -> Any:
        """The layup, if there is something in it."""
        layup = super().clean(value)
        if layup is not None and not layup.layers.exists():
            raise forms.ValidationError(
                f"{layup} has no layers yet. Add its layers first, or choose another layup."
            )
        return layup


class ClassForm(HouseForm):
    """Title, days, place, seats, layup, spares, notes."""

    title = forms.CharField(label="Title", max_length=100)
    starts_on = DayField(label="First day")
    ends_on = DayField(label="Last day")
    place = forms.CharField(label="Place", max_length=100, required=False)
    seat_count = forms.IntegerField(
        label="Seats",
        min_value=1,
        max_value=MOST_SEATS,
        error_messages={
            "min_value": NO_SEAT,
            "max_value": f"{MOST_SEATS} seats are the most one class can have.",
            "invalid": "Write a whole number of seats, such as 8.",
        },
        widget=forms.TextInput(attrs=PLAIN | {"inputmode": "numeric"}),
    )
    spares = forms.IntegerField(
        label="Spare billets",
        min_value=0,
        max_value=20,
        required=False,
        help_text="Built beside those of the students, for the one that fails.",
        error_messages={
            "min_value": "Spares cannot be fewer than 0.",
            "max_value": "20 spares are the most.",
            "invalid": "Write a whole number of spares, such as 2.",
        },
        widget=forms.TextInput(attrs=PLAIN | {"inputmode": "numeric"}),
    )
    layup = LayupChoice(label="Layup of every seat that has none of its own", queryset=None)
    note = forms.CharField(
        label="Notes", max_length=6000, required=False, widget=forms.Textarea(attrs={"rows": 3})
    )

    def __init__(self, *args: Any, forge_class: ForgeClass | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.is_new = forge_class is None
        choice = self.fields["layup"]
        assert isinstance(choice, LayupChoice)
        choice.queryset = layups_for(forge_class.layup if forge_class else None)
        choice.empty_label = "Choose a layup"

    def clean_spares(self) -> int:
        """No spares when the field is empty."""
        return self.cleaned_data["spares"] or 0

    def clean(self) -> FieldValues:
        """The last day is not before the first."""
        given: FieldValues = super().clean() or {}
        first, last = given.get("starts_on"), given.get("ends_on")
        if first and last and last < first:
            self.add_error(
                "ends_on",
                f"The class starts on {first:%Y-%m-%d} and would end on {last:%Y-%m-%d}, before "
                "that. Write the same day or a later one.",
            )
        elif first and last and (last - first).days >= MOST_DAYS:
            self.add_error(
                "ends_on",
                f"From {first:%Y-%m-%d} to {last:%Y-%m-%d} are {(last - first).days + 1} days; a "
                f"class has {MOST_DAYS} at most. Check both days.",
            )
        elif self.is_new and first and is_there(given.get("title"), first):
            self.add_error(
                "title",
                f"{given['title']} on {first:%Y-%m-%d} is there already; was the button pressed "
                "twice? For a second class on that day, choose another title.",
            )
        return given


def is_there(title: str | None, starts_on: date) -> bool:
    """Whether a class of this title begins on this day, and was not cancelled."""
    rows = ForgeClass.objects.filter(title=title or "", starts_on=starts_on)
    return rows.exclude(state=ForgeClass.State.CANCELLED).exists()


CLASS_FIELDS = ("title", "starts_on", "ends_on", "place", "seat_count", "spares", "layup", "note")
SEAT_FIELDS = (
    "student",
    "email",
    "layup",
    "blank_length_nm",
    "blank_width_nm",
    "knife",
    "note",
)


def class_initial(row: ForgeClass) -> FieldValues:
    """A class as its form shows it."""
    return {name: getattr(row, name) for name in CLASS_FIELDS}


class SeatForm(HouseForm):
    """One seat: who sits there, and what billet they get."""

    student = forms.CharField(
        label="Student",
        max_length=100,
        required=False,
        help_text="Leave it empty for a seat that is not sold yet, or for a spare.",
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    email = forms.EmailField(
        label="E-mail",
        required=False,
        error_messages={"invalid": "That is not an e-mail address. Write it as name@example.org."},
        widget=forms.EmailInput(attrs={"autocomplete": "off"}),
    )
    layup = LayupChoice(label="Layup", queryset=None, required=False)
    blank_length_nm = LengthField(label="Blank length", required=False)
    blank_width_nm = LengthField(label="Blank width", required=False)
    knife = forms.CharField(
        label="Knife, in words",
        max_length=120,
        required=False,
        help_text="Such as: drop-point hunter, 4 in blade.",
    )
    note = forms.CharField(label="Note", max_length=200, required=False)
    is_spare = forms.BooleanField(label="This is a spare billet, nobody's seat", required=False)
    makes_room = forms.BooleanField(label="Make the class one seat larger for it", required=False)

    def __init__(
        self, *args: Any, forge_class: ForgeClass, seat: Seat | None = None, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.seat, self.forge_class = seat, forge_class
        choice = self.fields["layup"]
        assert isinstance(choice, LayupChoice)
        choice.queryset = layups_for(seat.layup if seat else None)
        choice.empty_label = f"the class's: {forge_class.layup}"
        if seat is not None:
            del self.fields["is_spare"]
            del self.fields["makes_room"]

    def clean(self) -> FieldValues:
        """Nobody is seated twice by a button that was pressed twice."""
        given: FieldValues = super().clean() or {}
        name = given.get("student")
        if self.seat is None and name:
            same = self.forge_class.seats.active().filter(
                student__iexact=name, email__iexact=given.get("email", "")
            )
            if same.exists():
                self.add_error(
                    "student",
                    f"{name} has a seat in this class already. For somebody else of the same "
                    "name, add a second name or an e-mail address.",
                )
        for size in ("blank_length_nm", "blank_width_nm"):
            if given.get(size) and given[size] < LEAST_BLANK_NM:
                least = length_text(LEAST_BLANK_NM, system=self.house.system)
                typed = length_text(given[size], system=self.house.system)
                self.add_error(
                    size, f"{typed} is too small to be forged. Write {least} or more, or nothing."
                )
        return given

    def choices(self) -> FieldValues:
        """What the seat is to be, by the names of its row."""
        return {name: self.cleaned_data[name] for name in SEAT_FIELDS}


def seat_initial(seat: Seat) -> FieldValues:
    """A seat as its form shows it."""
    return {name: getattr(seat, name) for name in SEAT_FIELDS}


class PasteForm(forms.Form):
    """Students as lines of text; what to do when there are more of them than seats."""

    students = forms.CharField(
        label="Students, one a line",
        max_length=20_000,
        help_text="Ana Ruiz · Ana Ruiz <ana@example.org> · Ana Ruiz, ana@example.org",
        widget=forms.Textarea(attrs={"rows": 10, "spellcheck": "false", "autocomplete": "off"}),
        error_messages={"required": "Write or paste at least one name."},
    )
    over = forms.ChoiceField(
        label="There are more students than seats",
        required=False,
        choices=[
            ("room", "Make the class larger, so that all of them have a seat"),
            ("wait", "Seat the first ones, and keep the others as a waiting list in the notes"),
        ],
        widget=forms.RadioSelect,
    )

    def __init__(self, *args: Any, forge_class: ForgeClass, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.forge_class = forge_class
        self.pasted = Pasted((), ())

    def clean_students(self) -> str:
        """Read the lines; each bad one is told with its number."""
        text = str(self.cleaned_data["students"])
        rows = self.forge_class.seats.active().exclude(student="")
        self.pasted = read_students(text, seated=list(rows.values_list("student", "email")))
        if self.pasted.bad:
            raise forms.ValidationError(
                [f"Line {one.line}, “{one.text[:80]}”: {one.sentence}" for one in self.pasted.bad]
            )
        return text
