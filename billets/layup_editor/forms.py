"""The editor's form: a layup's own fields. Its layers are `billets.layup_editor.layer_forms`'."""

from __future__ import annotations

from typing import Any

from django import forms

from billets.models import Layup
from billets.models.choices import Grind, LeftGrind
from stock.house import House
from stock.web.fields import HouseForm, LengthField

FOLDS = "A bar is folded 0 to 12 times. Type a whole number in between."
TWO_ARE_ENOUGH = (
    "A width and a length are set, and a thickness as well; any two of them give the third. "
    "Empty one."
)
NEEDS_TWO = (
    "Type the thickness, such as 3/16 in or 5 mm. It may stay empty where a width and a length are "
    "both set, for then the metal gives it."
)
BEVEL, WHEEL, BULGE = "Height of the bevel", "Radius of the wheel", "Bulge of the face"
BEVEL_HINT = "Edge to plunge line. Empty: what is usual for the grind."
WHEEL_HINT = "Hollow grind. Empty: half of a 10 in (254 mm) wheel."
BULGE_HINT = (
    "Convex grind: how far it stands out from a straight bevel. Empty: half of what it can be."
)


def missing(field: forms.Field) -> str:
    """What to say of a size that was left empty."""
    return f"Type a size for '{field.label}', such as 1-1/4 in or 32 mm."


class NeededLengthField(LengthField):
    """A length that is asked for, though other fields may stand in for it."""

    is_needed = True


class NeededChoiceField(forms.ChoiceField):
    """A choice that always has one, the empty one among them."""

    is_needed = True


class LayupForm(HouseForm):
    """Everything of a layup but its layers; names are those of the model."""

    name = forms.CharField(
        label="Name", max_length=80,
        error_messages={"required": "Give the layup a name, such as Five layers, one line."},
    )  # fmt: skip
    blank_length_nm = LengthField(label="Blank length")
    blank_width_nm = LengthField(label="Blank width")
    cut_allowance_nm = LengthField(
        label="Cut allowance", allows_zero=True, required=False,
        help_text="Added to the length of every blank, trimmed before welding.",
    )  # fmt: skip
    cleaning_loss_nm = LengthField(
        label="Lost in cleaning", allows_zero=True, required=False,
        help_text="Ground from each face of each layer but the lines.",
    )  # fmt: skip
    seam_closed = forms.BooleanField(label="All four edges welded shut", required=False)
    finish_thickness_nm = NeededLengthField(
        label="Draw to thickness", required=False,
        help_text="Empty only with a width and a length: then it follows from them.",
    )  # fmt: skip
    finish_width_nm = LengthField(
        label="Draw to width", required=False, help_text="Empty: it spreads, or follows."
    )
    finish_length_nm = LengthField(
        label="Draw to length", required=False, help_text="Empty: it follows."
    )
    spine_nm = LengthField(label="Spine of the blade")
    blade_height_nm = LengthField(label="Height of the blade", help_text="Edge to spine.")
    grind = forms.ChoiceField(label="Grind", choices=Grind.choices)
    bevel_height_nm = LengthField(label=BEVEL, required=False, help_text=BEVEL_HINT)
    wheel_radius_nm = LengthField(label=WHEEL, required=False, help_text=WHEEL_HINT)
    bulge_nm = LengthField(label=BULGE, required=False, help_text=BULGE_HINT)
    left_grind = NeededChoiceField(
        label="The other face", choices=LeftGrind.choices, required=False,
        help_text="The left face, towards the bottom of the stack.",
    )  # fmt: skip
    left_bevel_height_nm = LengthField(label=f"{BEVEL}, left", required=False, help_text=BEVEL_HINT)
    left_wheel_radius_nm = LengthField(label=f"{WHEEL}, left", required=False, help_text=WHEEL_HINT)
    left_bulge_nm = LengthField(label=f"{BULGE}, left", required=False, help_text=BULGE_HINT)
    edge_off_nm = LengthField(
        label="Edge off the middle", allows_zero=True, required=False,
        help_text="Towards the left face. Empty: the edge is in the middle.",
    )  # fmt: skip
    blade_length_nm = LengthField(
        label="Length of the blade", required=False,
        help_text="Heel to tip. Empty: two thirds of the drawn billet.",
    )  # fmt: skip
    bar_folds = forms.IntegerField(
        label="Folds", min_value=0, max_value=12, required=False,
        help_text="For a bar: how often it is cut, stacked and welded again.",
        error_messages=dict.fromkeys(("invalid", "min_value", "max_value"), FOLDS),
    )  # fmt: skip
    zinc_control = forms.CharField(
        label="How zinc fume is controlled", max_length=200, required=False,
        help_text="Only for stacks with brass or another zinc-bearing alloy.",
    )  # fmt: skip
    note = forms.CharField(
        label="Note", max_length=1000, required=False, widget=forms.Textarea(attrs={"rows": 3})
    )
    override_reason = forms.CharField(
        label="Why it is made all the same", max_length=300, required=False,
        help_text="The owner's reason where a stop stands; it is printed on every sheet.",
    )  # fmt: skip

    def __init__(self, *args: Any, house: House, layup: Layup | None = None, **kwargs: Any) -> None:
        self.layup = layup
        super().__init__(*args, house=house, **kwargs)
        if not house.is_owner:
            del self.fields["override_reason"]
        for name, field in self.fields.items():
            hint = f"id_{name}_helptext " if field.help_text else ""
            field.widget.attrs["aria-describedby"] = f"{hint}{self.slot(name)}"
            if isinstance(field, LengthField):
                field.error_messages["required"] = missing(field)

    def slot(self, name: str) -> str:
        """Id of the place where a field's sentence stands, wrong or not."""
        return f"{self.add_prefix(name)}-error"

    def clean_name(self) -> str:
        """No two layups have one name."""
        given: str = " ".join(self.cleaned_data["name"].split())
        others = Layup.objects.filter(name__iexact=given)
        if self.layup is not None:
            others = others.exclude(pk=self.layup.pk)
        if others.exists():
            raise forms.ValidationError(f"There is a layup named '{given}'. Choose another name.")
        return given

    def clean(self) -> dict[str, Any]:
        """Any two of thickness, width and length, or the thickness alone."""
        given: dict[str, Any] = super().clean() or {}
        names = ("finish_thickness_nm", "finish_width_nm", "finish_length_nm")
        if any(name not in given for name in names):
            return given
        thickness, width, length = (given[name] is not None for name in names)
        if thickness and width and length:
            self.add_error("finish_length_nm", TWO_ARE_ENOUGH)
        elif not thickness and not (width and length):
            self.add_error("finish_thickness_nm", NEEDS_TWO)
        return given

    def fields_kept(self) -> dict[str, Any]:
        """What is written down, under the model's names; empty sizes that may be nought are 0."""
        given = dict(self.cleaned_data)
        for name in ("cut_allowance_nm", "cleaning_loss_nm", "bar_folds"):
            given[name] = given.get(name) or 0
        return given
