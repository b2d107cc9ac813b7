"""The after-class form: one row a billet, typed from its sheet, strange sizes questioned."""

from __future__ import annotations

from typing import Any

from django import forms

from billets.errors import ForgingError
from billets.history import writing as history
from billets.models import Billet, Cause, Measurement, StepKind
from shop.after_class.writing import ENDS, Outcome, Size, question
from stock.house import House
from stock.quantities.named_values import FieldValues
from stock.web.fields import PLAIN, HouseForm, LengthField

MOST_HEATS = 60
BARE_NOTE = (
    "A note is kept with a size or an outcome. Write one of them too, or put the note on the "
    "billet's own page."
)
ALL_SIZES = "Write length, width and thickness, or none of them."
SIZES = ("length_nm", "width_nm", "thickness_nm")


class OutcomeForm(HouseForm):
    """One billet's row."""

    reached = forms.ChoiceField(label="Outcome", required=False)
    cause = forms.ChoiceField(
        label="If it failed: why", required=False, choices=[("", "—"), *Cause.choices]
    )
    length_nm = LengthField(label="Length", required=False)
    width_nm = LengthField(label="Width", required=False)
    thickness_nm = LengthField(label="Thickness", required=False)
    heats = forms.IntegerField(
        label="Heats",
        required=False,
        min_value=0,
        max_value=MOST_HEATS,
        widget=forms.TextInput(attrs=PLAIN | {"inputmode": "numeric"}),
        error_messages={
            "invalid": "Write a whole number of heats, such as 7.",
            "min_value": "Heats cannot be fewer than 0.",
            "max_value": f"{MOST_HEATS} heats are the most we take; check the number.",
        },
    )
    note = forms.CharField(label="Note", required=False, max_length=200)
    is_confirmed = forms.BooleanField(label="It is so: keep this size", required=False)

    def __init__(
        self,
        *args: Any,
        billet: Billet,
        stage: StepKind,
        latest: Measurement | None,
        who: str,
        house: House,
        **kwargs: Any,
    ) -> None:
        self.billet, self.stage, self.latest, self.who = billet, stage, latest, who
        initial = {name: getattr(latest, name) for name in (*SIZES, "heats")} if latest else {}
        super().__init__(*args, prefix=f"b{billet.pk}", initial=initial, house=house, **kwargs)
        if stage in ENDS:
            del self.fields["reached"], self.fields["cause"]
        else:
            field = self.fields["reached"]
            assert isinstance(field, forms.ChoiceField)
            field.choices = outcome_choices(stage)

    def clean(self) -> FieldValues:
        """All three sizes or none; a failure has a cause; a strange size is asked about."""
        given: FieldValues = super().clean() or {}
        if given.get("reached") == StepKind.FAILED and not given.get("cause"):
            self.add_error("cause", "Choose what went wrong from the list.")
        if given.get("cause") and given.get("reached") != StepKind.FAILED:
            self.add_error("cause", "There is a cause, but the outcome is not 'failed'.")
        sizes = [given.get(name) for name in SIZES]
        has_errors = any(name in self.errors for name in SIZES)
        if any(sizes) and not all(sizes) and not has_errors:
            missing = next(name for name in SIZES if not given.get(name))
            self.add_error(missing, ALL_SIZES)
        elif all(sizes) and self.is_new_size():
            self.ask_about(given)
        if given.get("note") and not (given.get("reached") or (all(sizes) and self.is_new_size())):
            self.add_error("note", BARE_NOTE)
        return given

    @property
    def needs_wire(self) -> bool:
        """Whether its seams are still to be welded, and their wire to be booked."""
        before = history.ORDER[: history.ORDER.index(StepKind.WELDED)]
        return self.stage in before

    def is_new_size(self) -> bool:
        """Whether the sizes or heats differ from what is written down already."""
        return any(name in self.changed_data for name in (*SIZES, "heats"))

    def ask_about(self, given: FieldValues) -> None:
        """Question a size that volume does not allow, unless it was confirmed."""
        try:
            strange = question(self.billet, self.size(given))
        except ForgingError as error:
            self.add_error("length_nm", error.sentence(self.house.system))
            return
        if strange is not None and not given.get("is_confirmed"):
            self.add_error("is_confirmed", strange.sentence(self.house.system))

    def size(self, given: FieldValues) -> Size:
        """The size as typed."""
        return Size(
            length_nm=given["length_nm"],
            width_nm=given["width_nm"],
            thickness_nm=given["thickness_nm"],
            heats=given.get("heats"),
            is_confirmed=bool(given.get("is_confirmed")),
        )

    def outcome(self) -> Outcome:
        """What the row says; only what is new."""
        given = self.cleaned_data
        is_measured = given["length_nm"] is not None and self.is_new_size()
        note = str(given["note"])
        reached = given.get("reached", "")
        if reached == StepKind.FAILED and given["heats"] and not is_measured:
            note = f"after {given['heats']} heats. {note}".strip()
        return Outcome(
            billet=self.billet,
            reached=reached,
            cause=given.get("cause", ""),
            note=note,
            size=self.size(given) if is_measured else None,
        )


def outcome_choices(stage: StepKind) -> list[tuple[str, str]]:
    """What a billet may have come to since the stage it is at."""
    later = history.ORDER[history.ORDER.index(stage) + 1 :]
    failed = StepKind.FAILED
    return [
        ("", f"as it is: {stage.label}"),
        *((kind.value, str(kind.label)) for kind in reversed(later)),
        (failed.value, str(failed.label)),
    ]


class SpoolForm(forms.Form):
    """Where the wire of seams that are not booked yet is taken from."""

    spool = forms.ChoiceField(
        label="Wire for seams not booked yet",
        required=False,
        help_text="Estimated from the bead; weighing the spool puts it right.",
    )

    def __init__(self, *args: Any, spools: list[tuple[str, str]], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = self.fields["spool"]
        assert isinstance(field, forms.ChoiceField)
        field.choices = [*spools, ("", "do not book any")]
        field.initial = spools[0][0] if spools else ""
