"""Forms for materials and saws, and the choices that other forms share with them."""

from __future__ import annotations

from typing import Any

from django import forms

from stock.alloys import book as alloys
from stock.alloys.book import FAMILY_WORDS
from stock.materials.sections import Section, SectionError, section_of
from stock.models import Form, Material, Saw
from stock.quantities import areas, units
from stock.quantities.areas import amount_text
from stock.quantities.named_values import FieldValues
from stock.web.fields import (
    CountField,
    HouseForm,
    LengthField,
    MassField,
    TypedField,
    offer_choices,
)

GAUGES = [
    ("", "Not by number"),
    ("awg", "AWG (Brown & Sharpe)"),
    ("msg", "Sheet steel gauge (Manufacturers' Standard)"),
    ("copper-oz", "Ounces of copper per square foot"),
]
SECTION_HINT = (
    "Thickness × width of a bar or roll; diameter of a round or wire; thickness of a sheet."
)
Choices = list[tuple[str, Any]]


def alloy_choices(book: alloys.Book) -> Choices:
    """The book of alloys by family, the shop's own first."""
    groups: dict[str, list[tuple[str, str]]] = {}
    for key, alloy in book.items():
        word = "The shop's own" if alloy.is_shop_made else FAMILY_WORDS[alloy.family]
        groups.setdefault(word, []).append((key, alloy.name))
    own = groups.pop("The shop's own", None)
    ordered = {"The shop's own": own} | groups if own else groups
    return [("", "—"), *ordered.items()]


def read_section(text: str, *, form: str, gauge: str, unit: str) -> Section:
    """A typed section as the sizes of its form.

    Raises:
        forms.ValidationError: it cannot be read, or has not the sizes that the form needs.
    """
    if form == Form.COUNTED:
        return Section()
    if not text:
        raise forms.ValidationError(f"Give its section. {SECTION_HINT}")
    try:
        return section_of(form, units.section_nm(text, unit=unit, gauge=gauge or None))
    except (units.UnitsError, SectionError) as error:
        raise forms.ValidationError(str(error)) from error


def amount_field(form: str) -> TypedField | CountField:
    """A field that reads an amount of a material of some form."""
    if form == Form.WIRE:
        return MassField()
    return CountField() if form == Form.COUNTED else LengthField()


class LevelField(TypedField):
    """A level of sheets, by area."""

    def read(self, text: str) -> int:
        """Square nanometres."""
        return areas.area_nm2(text, unit=self.house.unit)

    def show(self, value: int) -> str:
        """An area that reads back exactly."""
        return areas.area_field_text(value, system=self.house.system)


class MaterialForm(HouseForm):
    """What can be bought again: alloy, form, section, and how the shop treats it."""

    form = forms.ChoiceField(label="Form", choices=Form.choices)
    alloy = forms.ChoiceField(label="Alloy", required=False)
    section = forms.CharField(
        label="Section", max_length=60, required=False, help_text=SECTION_HINT
    )
    gauge = forms.ChoiceField(label="Gauge numbers", required=False, choices=GAUGES)
    name = forms.CharField(
        label="Name",
        max_length=80,
        required=False,
        help_text="What a counted thing is called; else only to tell two alike apart.",
    )
    grain_matters = forms.BooleanField(label="Blanks may not be turned across it", required=False)
    keep_from_nm = LengthField(
        label="Shortest offcut kept", required=False, help_text="Empty: as the shop's settings say."
    )
    reorder = forms.CharField(
        label="Reorder below",
        max_length=30,
        required=False,
        help_text="A length, a weight of wire, a number of counted things; an area of sheets, "
        "such as 2 ft². Sheets of the same alloy and thickness count towards the level of a roll.",
    )
    note = forms.CharField(label="Note", max_length=200, required=False)

    def __init__(self, *args: Any, book: alloys.Book, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        offer_choices(self, "alloy", alloy_choices(book))
        self.fields["section"].widget.attrs |= {"autocomplete": "off", "spellcheck": "false"}

    def clean(self) -> FieldValues:
        """The section in the sizes of the form; the level in its unit."""
        given: FieldValues = super().clean() or {}
        form = given.get("form", "")
        if form == Form.COUNTED:
            self.settle_counted(given)
        elif form and not given.get("alloy"):
            self.add_error("alloy", "Choose the alloy, or add your own on the page of alloys.")
        self.settle_section(given, form=form)
        self.settle_level(given, form=form)
        return given

    def settle_counted(self, given: FieldValues) -> None:
        """A counted thing has a name and neither alloy nor section."""
        given["alloy"], given["section"] = "", ""
        if not given.get("name"):
            self.add_error("name", "Say what it is, such as: belts 36 grit.")

    def settle_section(self, given: FieldValues, *, form: str) -> None:
        """Thickness, width and diameter."""
        if not form:
            return
        try:
            read = read_section(
                given.get("section", ""),
                form=form,
                gauge=given.get("gauge", ""),
                unit=self.house.unit,
            )
        except forms.ValidationError as error:
            self.add_error("section", error)
        else:
            given["sizes"] = read

    def settle_level(self, given: FieldValues, *, form: str) -> None:
        """The reorder level in the unit of the form."""
        given["reorder_below"] = None
        if not form or not given.get("reorder"):
            return
        field = LevelField() if form == Form.SHEET else amount_field(form)
        if isinstance(field, TypedField):
            field.use(self.house)
        try:
            given["reorder_below"] = field.to_python(given["reorder"])
        except forms.ValidationError as error:
            self.add_error("reorder", error)

    def values(self) -> FieldValues:
        """The material's fields."""
        given = dict(self.cleaned_data)
        sizes: Section = given.pop("sizes")
        del given["section"], given["reorder"]
        return given | {
            "thickness_nm": sizes.thickness_nm,
            "width_nm": sizes.width_nm,
            "diameter_nm": sizes.diameter_nm,
        }


def material_initial(material: Material, *, system: str) -> FieldValues:
    """The form as the material stands now, every size so that it reads back exactly."""
    sizes = [units.field_text(size, system=system) for size in material.section_nm]
    level = material.reorder_below
    return {
        "form": material.form,
        "alloy": material.alloy,
        "section": " × ".join(sizes),
        "gauge": material.gauge,
        "name": material.name,
        "grain_matters": material.grain_matters,
        "keep_from_nm": material.keep_from_nm,
        "reorder": level_text(level, form=material.form, system=system) if level else "",
        "note": material.note,
    }


def level_text(level: int, *, form: str, system: str) -> str:
    """A reorder level as it can be typed again."""
    if form == Form.SHEET:
        return areas.area_field_text(level, system=system)
    if form in (Form.FLAT, Form.ROUND, Form.ROLL):
        return units.field_text(level, system=system)
    return amount_text(level, form=form, system=system).replace(",", "")


class SawForm(HouseForm):
    """Something that parts metal."""

    name = forms.CharField(label="Name", max_length=60)
    kerf_nm = LengthField(
        label="Kerf",
        required=False,
        allows_zero=True,
        help_text="Width of its cut: measure one. Empty or 0 for shears.",
    )
    is_usual = forms.BooleanField(label="The usual one; plans cut with it", required=False)

    def values(self) -> FieldValues:
        """The saw's fields."""
        return self.cleaned_data | {"kerf_nm": self.cleaned_data["kerf_nm"] or 0}


def saw_initial(saw: Saw) -> FieldValues:
    """The form as the saw stands now."""
    return {"name": saw.name, "kerf_nm": saw.kerf_nm, "is_usual": saw.is_usual}
