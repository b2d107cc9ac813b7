"""The editor's form: a layup's own fields, and one small form a layer, top face first."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from django import forms
from django.forms.utils import ErrorDict

from billets import layup as stack
from billets.layup_rows import MOST_LAYERS, Row
from billets.models import Grind, Layup, Role
from billets.stock_choices import StockChoices
from stock import units
from stock.drawing_shapes import metal_kind
from stock.forms import HouseForm, LengthField
from stock.house import House
from stock.matching import THICKNESS_TOLERANCE_NM

PREFIX = "layer"
ROW_FIELDS = ("metal", "role", "thickness")
FOLDS = "A bar is folded 0 to 12 times. Type a whole number in between."
TWO_ARE_ENOUGH = (
    "A width and a length are set; with the thickness, one of them gives the other. Empty one."
)
NO_LAYERS = "A layup needs at least one layer. Add a layer, choose its metal, type its thickness."


def missing(field: forms.Field) -> str:
    """What to say of a size that was left empty."""
    return f"Type a size for '{field.label}', such as 1-1/4 in or 32 mm."


class MetalSelect(forms.Select):
    """Choices whose stock says its own thickness, so that the page can fill it in."""

    def __init__(self, *, choices_read: StockChoices, house: House) -> None:
        self.read, self.house = choices_read, house
        super().__init__(attrs={"data-metal": ""})

    def create_option(self, name: str, value: Any, *args: Any, **kwargs: Any) -> dict[str, Any]:
        """One option; a material carries its thickness."""
        option = super().create_option(name, value, *args, **kwargs)
        material = self.read.material_of(str(value))
        if material is not None:
            thickness = units.field_text(material.thickness_nm, system=self.house.system)
            option["attrs"]["data-thickness"] = thickness
        return option


class LayerForm(HouseForm):
    """One layer: what it is made of, its part, how thick it is bought."""

    metal = forms.ChoiceField(
        label="Metal",
        error_messages={
            "required": "Choose what this layer is made of.",
            "invalid_choice": "This metal is not in the list any more. Choose another.",
        },
    )
    role = forms.ChoiceField(label="Part", choices=Role.choices)
    thickness = LengthField(label="Thickness", required=False)

    def __init__(self, *args: Any, house: House, choices: StockChoices, **kwargs: Any) -> None:
        super().__init__(*args, house=house, **kwargs)
        self.choices = choices
        metal = self.fields["metal"]
        assert isinstance(metal, forms.ChoiceField)
        metal.widget = MetalSelect(choices_read=choices, house=house)
        metal.choices = [("", "Choose a metal"), *choices.groups]
        thickness = self.fields["thickness"]
        assert isinstance(thickness, LengthField)
        thickness.gauge = self.gauge()
        for name, field in self.fields.items():
            field.widget.attrs |= {"aria-label": field.label, "aria-describedby": self.slot(name)}

    def slot(self, name: str) -> str:
        """Id of the place where a field's sentence stands, wrong or not."""
        return f"{self.add_prefix(name)}-error"

    def gauge(self) -> str | None:
        """The gauge table that "18 ga" or "16 oz" refers to in this row."""
        choice = str(self["metal"].value() or "")
        material = self.choices.material_of(choice)
        if material is not None and material.gauge:
            return material.gauge
        return "copper-oz" if self.choices.family_of(choice) == "copper" else None

    @property
    def kind(self) -> str:
        """Class of the metal chosen in a drawing, for the row's own colour."""
        family = self.choices.colour_of(str(self["metal"].value() or ""))
        return metal_kind(family=family, role=str(self["role"].value() or ""))

    def clean(self) -> dict[str, Any]:
        """Stock of a known size fills in its thickness, and another thickness is refused."""
        given: dict[str, Any] = super().clean() or {}
        material = self.choices.material_of(str(given.get("metal", "")))
        if "thickness" not in given:
            return given
        typed = given["thickness"]
        if typed is None and material is None:
            self.add_error("thickness", "Type how thick this layer is bought, such as 1/8 in.")
        elif typed is None and material is not None:
            given["thickness"] = material.thickness_nm
        elif material and abs(typed - material.thickness_nm) > THICKNESS_TOLERANCE_NM:
            own = units.length_text(material.thickness_nm, system=self.house.system)
            self.add_error(
                "thickness",
                f"{self.choices.words(material)} is {own} thick. Leave the thickness empty to take "
                "that, or choose other stock.",
            )
        return given

    @property
    def alloy(self) -> str:
        """Key of the alloy chosen."""
        found = self.choices.alloy_of(self.cleaned_data["metal"])
        return found.key if found else ""

    @property
    def material_id(self) -> int | None:
        """The stock chosen, if it is to be that and nothing else."""
        found = self.choices.material_of(self.cleaned_data["metal"])
        return found.pk if found else None

    def layer(self) -> stack.Layer:
        """The layer as numbers."""
        given = self.cleaned_data
        return stack.Layer(self.alloy, given["thickness"], given["role"])


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
    finish_thickness_nm = LengthField(label="Draw to thickness")
    finish_width_nm = LengthField(
        label="Draw to width", required=False, help_text="Gives the length. Empty: it spreads."
    )
    finish_length_nm = LengthField(
        label="Draw to length", required=False, help_text="Gives the width. Empty: as it comes."
    )
    spine_nm = LengthField(label="Spine of the blade")
    blade_height_nm = LengthField(label="Height of the blade", help_text="Edge to spine.")
    grind = forms.ChoiceField(label="Grind", choices=Grind.choices)
    bevel_height_nm = LengthField(
        label="Height of the bevel", required=False,
        help_text="Edge to plunge line. Empty: what is usual for the grind.",
    )  # fmt: skip
    wheel_radius_nm = LengthField(
        label="Radius of the wheel", required=False,
        help_text="Hollow grind. Empty: half of a 10 in (254 mm) wheel.",
    )  # fmt: skip
    bulge_nm = LengthField(
        label="Bulge of the face", required=False,
        help_text="Convex grind: how far it stands out from a straight bevel. Empty: half of "
        "what it can be.",
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

    def clean_finish_length_nm(self) -> int | None:
        """Thickness and width give the length already."""
        given: int | None = self.cleaned_data["finish_length_nm"]
        if given is not None and self.cleaned_data.get("finish_width_nm") is not None:
            raise forms.ValidationError(TWO_ARE_ENOUGH)
        return given

    def fields_kept(self) -> dict[str, Any]:
        """What is written down, under the model's names; empty sizes that may be nought are 0."""
        given = dict(self.cleaned_data)
        for name in ("cut_allowance_nm", "cleaning_loss_nm", "bar_folds"):
            given[name] = given.get(name) or 0
        return given


class LayerForms:
    """All rows of the editor, in the order of the page."""

    def __init__(
        self, *, house: House, choices: StockChoices, rows: Sequence[Row], is_bound: bool
    ) -> None:
        self.forms = [
            LayerForm(
                {f"{PREFIX}-{place}-{name}": row.get(name, "") for name in ROW_FIELDS}
                if is_bound
                else None,
                prefix=f"{PREFIX}-{place}",
                initial=dict(row),
                house=house,
                choices=choices,
            )
            for place, row in enumerate(rows)
        ]
        self.is_bound = is_bound

    @property
    def total(self) -> int:
        """How many rows there are."""
        return len(self.forms)

    def numbered(self) -> list[tuple[int, LayerForm]]:
        """Each row with its number counted from the bottom face, as the smith stacks."""
        return [(self.total - place, form) for place, form in enumerate(self.forms)]

    def is_valid(self) -> bool:
        """Whether every row can be read, and there is one."""
        found = [form.is_valid() for form in self.forms]  # each of them, for its sentence
        return bool(found) and all(found)

    @property
    def errors(self) -> list[ErrorDict]:
        """What is wrong, row by row."""
        return [form.errors for form in self.forms]

    def bottom_up(self) -> list[LayerForm]:
        """The rows as the smith stacks them."""
        return self.forms[::-1]

    def layers(self) -> tuple[stack.Layer, ...]:
        """The layers as numbers, from the bottom face up."""
        return tuple(form.layer() for form in self.bottom_up())


def rows_sent(data: Mapping[str, str]) -> list[Row]:
    """The rows of the editor as they were sent, sound or not."""
    text = data.get(f"{PREFIX}-TOTAL_FORMS", "0")
    total = int(text) if text.isdecimal() and len(text) < 4 else 0
    return [
        {name: data.get(f"{PREFIX}-{place}-{name}", "") for name in ROW_FIELDS}
        for place in range(min(total, MOST_LAYERS))
    ]
