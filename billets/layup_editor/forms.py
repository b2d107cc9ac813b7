"""The editor's form: a layup's own fields, and its layers row by row."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from django import forms
from django.forms.utils import ErrorDict

from billets.blanks.choices import StockChoices
from billets.layup import design
from billets.layup_editor.rows import MOST_LAYERS, Row
from billets.models import Grind, Layup, LeftGrind, Role
from stock.drawings.shapes import metal_kind
from stock.house import House
from stock.materials.matching import is_as_thick
from stock.quantities import units
from stock.quantities.named_values import FieldValues
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
        label="Name",
        max_length=80,
        error_messages={"required": "Give the layup a name, such as Five layers, one line."},
    )
    blank_length_nm = LengthField(label="Blank length")
    blank_width_nm = LengthField(label="Blank width")
    cut_allowance_nm = LengthField(
        label="Cut allowance",
        allows_zero=True,
        required=False,
        help_text="Added to the length of every blank, trimmed before welding.",
    )
    cleaning_loss_nm = LengthField(
        label="Lost in cleaning",
        allows_zero=True,
        required=False,
        help_text="Ground from each face of each layer but the lines.",
    )
    seam_closed = forms.BooleanField(label="All four edges welded shut", required=False)
    finish_thickness_nm = NeededLengthField(
        label="Draw to thickness",
        required=False,
        help_text="Empty only with a width and a length: then it follows from them.",
    )
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
        label="The other face",
        choices=LeftGrind.choices,
        required=False,
        help_text="The left face, towards the bottom of the stack.",
    )
    left_bevel_height_nm = LengthField(label=f"{BEVEL}, left", required=False, help_text=BEVEL_HINT)
    left_wheel_radius_nm = LengthField(label=f"{WHEEL}, left", required=False, help_text=WHEEL_HINT)
    left_bulge_nm = LengthField(label=f"{BULGE}, left", required=False, help_text=BULGE_HINT)
    edge_off_nm = LengthField(
        label="Edge off the middle",
        allows_zero=True,
        required=False,
        help_text="Towards the left face. Empty: the edge is in the middle.",
    )
    blade_length_nm = LengthField(
        label="Length of the blade",
        required=False,
        help_text="Heel to tip. Empty: two thirds of the drawn billet.",
    )
    bar_folds = forms.IntegerField(
        label="Folds",
        min_value=0,
        max_value=12,
        required=False,
        help_text="For a bar: how often it is cut, stacked and welded again.",
        error_messages=dict.fromkeys(("invalid", "min_value", "max_value"), FOLDS),
    )
    zinc_control = forms.CharField(
        label="How zinc fume is controlled",
        max_length=200,
        required=False,
        help_text="Only for stacks with brass or another zinc-bearing alloy.",
    )
    note = forms.CharField(
        label="Note", max_length=1000, required=False, widget=forms.Textarea(attrs={"rows": 3})
    )
    override_reason = forms.CharField(
        label="Why it is made all the same",
        max_length=300,
        required=False,
        help_text="The owner's reason where a stop stands; it is printed on every sheet.",
    )

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

    def clean(self) -> FieldValues:
        """Any two of thickness, width and length, or the thickness alone."""
        given: FieldValues = super().clean() or {}
        names = ("finish_thickness_nm", "finish_width_nm", "finish_length_nm")
        if any(name not in given for name in names):
            return given
        thickness, width, length = (given[name] is not None for name in names)
        if thickness and width and length:
            self.add_error("finish_length_nm", TWO_ARE_ENOUGH)
        elif not thickness and not (width and length):
            self.add_error("finish_thickness_nm", NEEDS_TWO)
        return given

    def fields_kept(self) -> FieldValues:
        """What is written down, under the model's names; empty sizes that may be nought are 0."""
        given = dict(self.cleaned_data)
        for name in ("cut_allowance_nm", "cleaning_loss_nm", "bar_folds"):
            given[name] = given.get(name) or 0
        return given


PREFIX = "layer"
ROW_FIELDS = ("metal", "role", "thickness")
NO_LAYERS = "A layup needs at least one layer. Add a layer, choose its metal, type its thickness."


class MetalSelect(forms.Select):
    """Choices whose stock says its own thickness, and that say which metals make a line."""

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
        alloy = self.read.alloy_of(str(value))
        if alloy is not None and alloy.is_low_melting:
            option["attrs"]["data-line"] = ""
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

    def clean(self) -> FieldValues:
        """Stock of a known size fills in its thickness, and another thickness is refused."""
        given: FieldValues = super().clean() or {}
        material = self.choices.material_of(str(given.get("metal", "")))
        if "thickness" not in given:
            return given
        typed = given["thickness"]
        if typed is None and material is None:
            self.add_error("thickness", "Type how thick this layer is bought, such as 1/8 in.")
        elif typed is None and material is not None:
            given["thickness"] = material.thickness_nm
        elif material and not is_as_thick(typed, material.thickness_nm):
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

    def layer(self) -> design.Layer:
        """The layer as numbers."""
        given = self.cleaned_data
        return design.Layer(self.alloy, given["thickness"], given["role"])


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

    @property
    def is_full(self) -> bool:
        """Whether no layer more can be added."""
        return self.total >= MOST_LAYERS

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

    def layers(self) -> tuple[design.Layer, ...]:
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
