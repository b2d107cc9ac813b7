"""Forms for what is done to one piece: cut, part, use, count, measure, scrap, put away."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django import forms

from stock import clock
from stock.house import House
from stock.models import Form, Piece, Saw
from stock.quantities import units
from stock.quantities.named_values import FieldValues
from stock.web.fields import CountField, HouseForm, LengthField, MassField, MoneyField, use_house

DAY = forms.DateInput(attrs={"type": "date"})
NO_SAW = "Shears, no kerf"


class JobField(forms.CharField):
    """A job in words; a colon is kept for the jobs that the app itself writes."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(max_length=40, **kwargs)

    def clean(self, value: Any) -> str:
        """The words."""
        text: str = super().clean(value)
        if ":" in text:
            raise forms.ValidationError("Write the job in words, without a colon.")
        return text


if TYPE_CHECKING:
    SawChoice = forms.ModelChoiceField[Saw]
else:  # Django's own class takes no type at run time
    SawChoice = forms.ModelChoiceField


class SawField(SawChoice):
    """What parts the metal; nothing chosen is shears."""

    def __init__(self) -> None:
        super().__init__(Saw.objects.all(), label="Parted with", required=False, empty_label=NO_SAW)


class PieceForm(HouseForm):
    """A form about one piece; `prefix` keeps the fields of several on one page apart."""

    def __init__(self, *args: Any, piece: Piece, house: House, **kwargs: Any) -> None:
        self.piece = piece
        super().__init__(*args, house=house, **kwargs)
        if "saw" in self.fields and piece.form != Form.ROLL and not self.is_bound:
            self.initial.setdefault("saw", Saw.objects.filter(is_usual=True).first())

    def kerf_nm(self) -> int:
        """What the chosen saw takes."""
        saw = self.cleaned_data["saw"]
        return int(saw.kerf_nm) if saw else 0


class CutForm(PieceForm):
    """A length off a bar or a roll, for a job in words or for scrap."""

    length_nm = LengthField(label="Length")
    saw = SawField()
    job = JobField(
        label="For", required=False, help_text="A job in words. Leave empty if it is scrap."
    )
    why = forms.CharField(label="Note", max_length=200, required=False)


class PartForm(PieceForm):
    """In two; the part cut off gets a mark of its own."""

    length_nm = LengthField(label="Length of the part cut off")
    saw = SawField()
    why = forms.CharField(label="Note", max_length=200, required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.piece.form == Form.SHEET:
            del self.fields["saw"]
            self.fields["length_nm"].help_text = "Sheared across; both parts get new marks."

    def kerf_nm(self) -> int:
        """Sheets are sheared."""
        return 0 if self.piece.form == Form.SHEET else super().kerf_nm()


class UseForm(PieceForm):
    """Wire or counted things, used up in a job."""

    amount = MassField(label="How much")
    job = JobField(label="For", help_text="A job in words.")
    why = forms.CharField(label="Note", max_length=200, required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.piece.form == Form.COUNTED:
            self.fields["amount"] = CountField(label="How many")


class CountForm(PieceForm):
    """What is really there: a length, a number, or what the spool weighs."""

    counted = LengthField(label="Length that is there", allows_zero=True)
    tare = MassField(
        label="Empty spool",
        required=False,
        help_text="What the spool weighs without wire; taken off.",
    )
    why = forms.CharField(
        label="Reason", max_length=200, help_text="Why the books may be off, such as: stock-take."
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.piece.form == Form.WIRE:
            self.fields["counted"] = MassField(label="What the scale shows")
        else:
            del self.fields["tare"]
        if self.piece.form == Form.COUNTED:
            self.fields["counted"] = CountField(label="How many are there", zero_ok=True)
        use_house(self, self.house)

    def clean(self) -> FieldValues:
        """Wire is what the scale shows without the spool."""
        given: FieldValues = super().clean() or {}
        tare = given.get("tare") or 0
        if tare and given.get("counted") is not None:
            if tare > given["counted"]:
                self.add_error("tare", "The empty spool weighs more than the scale shows.")
            given["counted"] -= tare
        return given


class ScrapForm(PieceForm):
    """Thrown away: some of it, or all that is free."""

    amount = LengthField(label="How much", required=False, help_text="Empty: all that is free.")
    why = forms.CharField(label="Reason", max_length=200)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        options: dict[str, Any] = {
            "label": "How much",
            "required": False,
            "help_text": "Empty: all that is free.",
        }
        if self.piece.form == Form.SHEET:
            del self.fields["amount"]
        elif self.piece.form == Form.WIRE:
            self.fields["amount"] = MassField(**options)
        elif self.piece.form == Form.COUNTED:
            self.fields["amount"] = CountField(**options)
        use_house(self, self.house)

    def scrapped(self) -> int:
        """What was typed, or all that is free."""
        given = self.cleaned_data.get("amount")
        return self.piece.free if given is None else int(given)


class SendBackForm(ScrapForm):
    """Back to its supplier: how much, why, and what is credited for it."""

    amount = LengthField(label="How much", required=False, help_text="Empty: all that is free.")
    credit_cents = MoneyField(
        label="Credited for it",
        help_text="What the supplier gives back; 0 if nothing. It may differ from what it is "
        "worth in the books.",
    )
    day = forms.DateField(label="Sent on", widget=DAY)
    why = forms.CharField(label="Reason", max_length=200)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not self.is_bound:
            self.initial.setdefault("day", clock.today())
        self.order_fields(["amount", "credit_cents", "day", "why"])


class MeasureForm(PieceForm):
    """What is left of a part-cut sheet, one rectangle a line."""

    sizes = forms.CharField(
        label="Rectangles that are left",
        required=False,
        widget=forms.Textarea(attrs={"rows": 3, "spellcheck": "false", "autocomplete": "off"}),
        help_text="One a line: width × length, along the grain last. The rest is scrap. "
        "Nothing written: all of it is scrap.",
    )

    def clean_sizes(self) -> list[tuple[int, int]]:
        """Width and length [nm] of each line."""
        sizes = []
        for line in self.cleaned_data["sizes"].splitlines():
            if line.strip():
                sizes.append(self.size(line))
        return sizes

    def size(self, line: str) -> tuple[int, int]:
        """One rectangle."""
        try:
            found = units.section_nm(line, unit=self.house.unit)
        except units.UnitsError as error:
            raise forms.ValidationError(str(error)) from error
        if len(found) != 2:
            raise forms.ValidationError(
                f"'{line.strip()[:40]}' has {len(found)} sizes. Write width × length, "
                "such as 4 × 6 in."
            )
        return found[0], found[1]


class PlaceForm(PieceForm):
    """Where it lies, and what to know about it."""

    place = forms.CharField(label="Place", max_length=40, required=False)
    note = forms.CharField(label="Note", max_length=200, required=False)

    def __init__(self, *args: Any, piece: Piece, **kwargs: Any) -> None:
        kwargs.setdefault("initial", {"place": piece.place, "note": piece.note})
        super().__init__(*args, piece=piece, **kwargs)
