"""The editor's rows: one small form a layer, top face first."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from django import forms
from django.forms.utils import ErrorDict

from billets import layup as stack
from billets.choices import Role
from billets.layup_rows import MOST_LAYERS, Row
from billets.stock_choices import StockChoices
from stock import units
from stock.drawing_shapes import metal_kind
from stock.forms import HouseForm, LengthField
from stock.house import House
from stock.matching import is_as_thick

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

    def layer(self) -> stack.Layer:
        """The layer as numbers."""
        given = self.cleaned_data
        return stack.Layer(self.alloy, given["thickness"], given["role"])


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
