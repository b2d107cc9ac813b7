"""A purchase as it is typed in: who from, what it cost to bring, and its lines."""

from __future__ import annotations

from typing import Any

from django import forms

from stock import clock
from stock.alloys import book as alloys
from stock.catalogue.forms import GAUGES, alloy_choices, read_section
from stock.house import House
from stock.ledger.receiving import MOST_PIECES, Line
from stock.materials.names import material_title
from stock.materials.sections import Section
from stock.models import Form, Material, Supplier
from stock.quantities import units
from stock.rack.forms import CountField
from stock.web.fields import HouseForm, MoneyField, offer_choices

NEW = "new"
SIZE_HINT = "Length; width × length of a sheet; weight of wire. Nothing for counted things."
DAY = forms.DateInput(attrs={"type": "date"})


class PurchaseForm(HouseForm):
    """Who it is from, when, and what it cost to bring."""

    supplier = forms.ChoiceField(label="Supplier")
    new_supplier = forms.CharField(label="Name of a new supplier", max_length=80, required=False)
    on = forms.DateField(label="Date", widget=DAY)
    delivery_cents = MoneyField(
        label="Delivery charge", required=False, help_text="Spread over the lines by value."
    )
    reference = forms.CharField(label="Order or invoice number", max_length=60, required=False)
    is_ordered = forms.BooleanField(
        label="It is not here yet: write it down as an order", required=False
    )
    due = forms.DateField(label="Expected on", required=False, widget=DAY)
    note = forms.CharField(label="Note", max_length=200, required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        rows = [(str(row.pk), row.name) for row in Supplier.objects.all()]
        self.suppliers = {str(row.pk): row for row in Supplier.objects.all()}
        offer_choices(self, "supplier", [("", "—"), *rows, (NEW, "A new supplier …")])
        if not rows:
            self.initial.setdefault("supplier", NEW)
        self.initial.setdefault("on", clock.today().isoformat())

    def clean(self) -> dict[str, Any]:
        """A new supplier needs a name."""
        given: dict[str, Any] = super().clean() or {}
        if given.get("supplier") == NEW and not given.get("new_supplier"):
            self.add_error("new_supplier", "Write the new supplier's name.")
        given["delivery_cents"] = given.get("delivery_cents") or 0
        return given


class LineForm(HouseForm):
    """So many like pieces; the material is chosen, or described in place."""

    material = forms.ChoiceField(label="Material")
    new_form = forms.ChoiceField(label="Form", required=False, choices=[("", "—"), *Form.choices])
    new_alloy = forms.ChoiceField(label="Alloy", required=False)
    new_section = forms.CharField(label="Section", max_length=60, required=False)
    new_gauge = forms.ChoiceField(label="Gauge numbers", required=False, choices=GAUGES)
    new_name = forms.CharField(label="Name of a counted thing", max_length=80, required=False)
    count = CountField(label="How many", initial=1)
    size = forms.CharField(
        label="Size of each", max_length=60,
        help_text="Length; width × length; weight of wire",
    )  # fmt: skip
    price_cents = MoneyField(label="Price of the line")
    heat_lot = forms.CharField(label="Heat or lot", max_length=40, required=False)
    place = forms.CharField(label="Place", max_length=40, required=False)

    def __init__(self, *args: Any, house: House, choices: LineChoices, **kwargs: Any) -> None:
        super().__init__(*args, house=house, **kwargs)
        self.rows = choices.materials
        offer_choices(self, "material", choices.options)
        offer_choices(self, "new_alloy", choices.alloys)
        for name in ("size", "new_section"):
            self.fields[name].widget.attrs |= {"autocomplete": "off", "spellcheck": "false"}
        self.fields["size"].required = self.is_measured
        if len(choices.options) == 2 and not self.is_bound:
            self.initial.setdefault("material", NEW)

    @property
    def is_new(self) -> bool:
        """Whether the line describes a material that is not on the list."""
        return bool(self["material"].value() == NEW)

    @property
    def is_measured(self) -> bool:
        """Whether its pieces have a size: all but counted things."""
        if self.is_new:
            return bool(self["new_form"].value() != Form.COUNTED)
        chosen = self.rows.get(self["material"].value() or "")
        return chosen is None or chosen.form != Form.COUNTED

    def clean(self) -> dict[str, Any]:
        """The material, and the size in the unit of its form."""
        given: dict[str, Any] = super().clean() or {}
        if given.get("material") == NEW:
            self.settle_new(given)
            form = given.get("new_form", "")
        else:
            chosen = self.rows.get(given.get("material", ""))
            form = chosen.form if chosen else ""
        if form and "size" in given:
            self.settle_size(given, form=form)
        return given

    def settle_new(self, given: dict[str, Any]) -> None:
        """Alloy and section, or the name of a counted thing."""
        form = given.get("new_form", "")
        if not form:
            self.add_error("new_form", "Choose how it comes: bar, roll, sheet, wire or counted.")
            return
        if form == Form.COUNTED:
            given["new_alloy"] = ""
            if not given.get("new_name"):
                self.add_error("new_name", "Say what it is, such as: belts 36 grit.")
        elif not given.get("new_alloy"):
            self.add_error("new_alloy", "Choose the alloy.")
        try:
            given["sizes"] = read_section(
                given.get("new_section", ""), form=form, gauge=given.get("new_gauge", ""),
                unit=self.house.unit,
            )  # fmt: skip
        except forms.ValidationError as error:
            self.add_error("new_section", error)

    def settle_size(self, given: dict[str, Any], *, form: str) -> None:
        """Length, width × length, or weight of one piece."""
        try:
            given |= read_size(given.get("size", ""), form=form, house=self.house)
        except (units.UnitsError, forms.ValidationError) as error:
            self.add_error("size", str(error) if isinstance(error, units.UnitsError) else error)
        count = given.get("count") or 0
        if form != Form.COUNTED and count > MOST_PIECES:
            self.add_error(
                "count",
                f"{count:,} pieces are more than the {MOST_PIECES} that one line may mark. "
                "Enter them in several lines.",
            )

    def new_material(self) -> dict[str, Any]:
        """The fields of the material that the line describes."""
        given = self.cleaned_data
        sizes: Section = given["sizes"]
        return {
            "form": given["new_form"], "alloy": given["new_alloy"], "gauge": given["new_gauge"],
            "name": given["new_name"], "thickness_nm": sizes.thickness_nm,
            "width_nm": sizes.width_nm, "diameter_nm": sizes.diameter_nm,
        }  # fmt: skip

    def line(self, material: Material) -> Line:
        """The line of a purchase."""
        given = self.cleaned_data
        return Line(
            material=material, count=given["count"], price_cents=given["price_cents"],
            length_nm=given["length_nm"], width_nm=given["width_nm"], mass_ug=given["mass_ug"],
            heat_lot=given["heat_lot"], place=given["place"],
        )  # fmt: skip


class LineChoices:
    """What every line of a purchase offers, read once."""

    def __init__(self, *, book: alloys.Book, system: str) -> None:
        rows = Material.objects.filter(is_retired=False)
        self.materials = {str(row.pk): row for row in rows}
        named = [
            (key, material_title(row, book=book, system=system))
            for key, row in self.materials.items()
        ]
        self.options = [("", "—"), (NEW, "A new material …"), *sorted(named, key=lambda o: o[1])]
        self.alloys = alloy_choices(book)


def read_size(text: str, *, form: str, house: House) -> dict[str, int]:
    """Size of one piece under the names of a line; nothing for counted things.

    Raises:
        UnitsError: it cannot be read.
        forms.ValidationError: a sheet has not two sizes, or nothing was given.
    """
    size = {"length_nm": 0, "width_nm": 0, "mass_ug": 0}
    if form == Form.COUNTED:
        return size
    if not text.strip():
        raise forms.ValidationError(f"Give the size of each. {SIZE_HINT}")
    if form == Form.WIRE:
        unit = "lb" if house.system == "inch" else "kg"
        return size | {"mass_ug": units.mass_ug(text, unit=unit)}
    if form != Form.SHEET:
        return size | {"length_nm": units.length_nm(text, unit=house.unit)}
    sizes = units.section_nm(text, unit=house.unit)
    if len(sizes) != 2:
        raise forms.ValidationError("A sheet has width × length, such as 6 × 12 in.")
    return size | {"width_nm": sizes[0], "length_nm": sizes[1]}


LineFormSet = forms.formset_factory(
    LineForm, extra=0, min_num=1, max_num=60, validate_max=True, can_delete=True
)
