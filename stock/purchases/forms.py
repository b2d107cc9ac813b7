"""A purchase as it is typed in: who from, what it cost to bring, and its lines."""

from __future__ import annotations

from typing import Any

from django import forms

from stock import clock
from stock.alloys import book as alloys
from stock.alloys.book import FAMILY_WORDS
from stock.catalogue.forms import GAUGES, alloy_choices, level_text, read_section
from stock.house import House
from stock.ledger.receiving import MOST_PIECES, Line
from stock.materials import by_length
from stock.materials.names import material_title
from stock.materials.sections import Section
from stock.models import Form, Material, Offer, OwnAlloy, Supplier
from stock.quantities import units
from stock.quantities.named_values import FieldValues
from stock.web.fields import (
    CountField,
    HouseForm,
    LengthField,
    MoneyField,
    TemperatureField,
    offer_choices,
)

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

    def clean(self) -> FieldValues:
        """A new supplier needs a name."""
        given: FieldValues = super().clean() or {}
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
        label="Size of each",
        max_length=60,
        help_text="Length; width × length; weight of wire",
    )
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

    def clean(self) -> FieldValues:
        """The material, and the size in the unit of its form."""
        given: FieldValues = super().clean() or {}
        if given.get("material") == NEW:
            self.settle_new(given)
            form = given.get("new_form", "")
        else:
            chosen = self.rows.get(given.get("material", ""))
            form = chosen.form if chosen else ""
        if form and "size" in given:
            self.settle_size(given, form=form)
        return given

    def settle_new(self, given: FieldValues) -> None:
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
                given.get("new_section", ""),
                form=form,
                gauge=given.get("new_gauge", ""),
                unit=self.house.unit,
            )
        except forms.ValidationError as error:
            self.add_error("new_section", error)

    def settle_size(self, given: FieldValues, *, form: str) -> None:
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

    def new_material(self) -> FieldValues:
        """The fields of the material that the line describes."""
        given = self.cleaned_data
        sizes: Section = given["sizes"]
        return {
            "form": given["new_form"],
            "alloy": given["new_alloy"],
            "gauge": given["new_gauge"],
            "name": given["new_name"],
            "thickness_nm": sizes.thickness_nm,
            "width_nm": sizes.width_nm,
            "diameter_nm": sizes.diameter_nm,
        }

    def line(self, material: Material) -> Line:
        """The line of a purchase."""
        given = self.cleaned_data
        return Line(
            material=material,
            count=given["count"],
            price_cents=given["price_cents"],
            length_nm=given["length_nm"],
            width_nm=given["width_nm"],
            mass_ug=given["mass_ug"],
            heat_lot=given["heat_lot"],
            place=given["place"],
        )


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


class OfferForm(HouseForm):
    """One row of a price list; a price break is a row of its own."""

    supplier = forms.ChoiceField(label="Supplier")
    material = forms.ChoiceField(
        label="Material", help_text="Not there? Add it on the page of materials."
    )
    size = forms.CharField(
        label="Size of each",
        max_length=60,
        required=False,
        help_text=f"{SIZE_HINT} Cut to order: the length that the price is for.",
    )
    count = CountField(label="How many in a pack", initial="1")
    price_cents = MoneyField(label="Price of a pack")
    from_packs = CountField(
        label="From how many packs",
        initial="1",
        help_text="A lower price for more packs is an offer of its own.",
    )
    step_nm = LengthField(
        label="Cut to order in steps of",
        required=False,
        help_text="1 ft where any whole number of feet can be had; the price is then for the "
        "size above. Empty: sold in that size.",
    )
    least_nm = LengthField(
        label="From what length on",
        required=False,
        help_text="The shortest that is cut. Empty: one step. A lower price from a greater "
        "length on is an offer of its own.",
    )

    def __init__(self, *args: Any, book: alloys.Book, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.suppliers = {str(row.pk): row for row in Supplier.objects.all()}
        chosen = self.initial.get("material")
        rows = Material.objects.filter(is_retired=False)
        self.materials = {str(row.pk): row for row in rows}
        if chosen and str(chosen) not in self.materials:
            self.materials[str(chosen)] = Material.objects.get(pk=chosen)
        titles = [
            (key, material_title(row, book=book, system=self.house.system))
            for key, row in self.materials.items()
        ]
        names = [(key, row.name) for key, row in self.suppliers.items()]
        offer_choices(self, "supplier", [("", "—"), *names])
        in_order = sorted(titles, key=lambda one: one[1])
        offer_choices(self, "material", [("", "—"), *in_order])
        self.fields["size"].widget.attrs |= {"autocomplete": "off", "spellcheck": "false"}

    def clean(self) -> FieldValues:
        """The size in the unit of the material's form."""
        given: FieldValues = super().clean() or {}
        material = self.materials.get(given.get("material", ""))
        if material is not None:
            self.take_size(given, form=material.form)
            self.take_steps(given, form=material.form)
        return given

    def take_steps(self, given: FieldValues, *, form: str) -> None:
        """The steps of a roll that is cut to order, each at a whole price."""
        given["least_nm"] = given.get("least_nm") or 0
        given["step_nm"] = given.get("step_nm") or 0
        if not given["step_nm"]:
            if given["least_nm"]:
                self.add_error("step_nm", "Give the steps that it is cut in, such as 1 ft.")
            return
        if form != Form.ROLL:
            self.add_error("step_nm", "Only rolls are cut to order here. Leave this empty.")
            return
        for name in ("count", "from_packs"):
            if given.get(name, 1) != 1:
                self.add_error(name, "What is cut to order comes in one length: write 1.")
        given["least_nm"] = given["least_nm"] or given["step_nm"]
        if given.get("length_nm") and given.get("price_cents") is not None:
            self.check_steps(given)

    def check_steps(self, given: FieldValues) -> None:
        """Refuse a least length between two steps, and a step without a whole price."""
        step_nm = given["step_nm"]

        def words(nm: int) -> str:
            return units.length_text(nm, system=self.house.system)

        try:
            by_length.fewest_steps(given["least_nm"], step_nm=step_nm)
        except by_length.ByLengthError:
            self.add_error(
                "least_nm",
                f"{words(given['least_nm'])} is no whole number of steps of {words(step_nm)}. "
                "Give a multiple of the step.",
            )
        try:
            by_length.step_cents(
                given["price_cents"], length_nm=given["length_nm"], step_nm=step_nm
            )
        except by_length.ByLengthError as error:
            self.add_error(
                "step_nm",
                f"A step of {words(step_nm)} does not come to a whole price. "
                f"Give steps of {words(error.exact_step_nm)}, or a price that divides.",
            )

    def take_size(self, given: FieldValues, *, form: str) -> None:
        """Length, width × length, or weight of one piece."""
        if form == Form.COUNTED and given.get("size", "").strip():
            self.add_error("size", "A counted thing has no size here; leave it empty.")
            return
        try:
            given |= read_size(given.get("size", ""), form=form, house=self.house)
        except (units.UnitsError, forms.ValidationError) as error:
            self.add_error("size", str(error) if isinstance(error, units.UnitsError) else error)

    def values(self) -> FieldValues:
        """The offer's fields."""
        given = dict(self.cleaned_data)
        del given["size"]
        return given | {
            "supplier": self.suppliers[given["supplier"]],
            "material": self.materials[given["material"]],
        }


def offer_initial(row: Offer, *, system: str) -> FieldValues:
    """The form as the offer stands now, sizes so that they read back exactly."""
    sizes = [units.field_text(nm, system=system) for nm in (row.width_nm, row.length_nm) if nm]
    size = " × ".join(sizes)
    if row.mass_ug:
        size = level_text(row.mass_ug, form=Form.WIRE, system=system)
    return {
        "supplier": row.supplier_id,
        "material": row.material_id,
        "size": size,
        "count": str(row.count),
        "price_cents": row.price_cents,
        "from_packs": str(row.from_packs),
        "step_nm": row.step_nm or "",
        "least_nm": row.least_nm or "",
    }


LIGHTEST, HEAVIEST = 500, 25_000  # kg/m³: wood to the platinum metals


class SupplierForm(HouseForm):
    """Somebody who sells metal."""

    name = forms.CharField(label="Name", max_length=80)
    days_to_deliver = forms.IntegerField(label="Days to deliver", min_value=0, max_value=365)
    counts = forms.ChoiceField(
        label="It counts",
        choices=Supplier.Counts.choices,
        required=False,
        help_text="Five working days are a week; an order at a weekend is read on Monday.",
    )
    delivery_cents = MoneyField(label="Delivery charge", required=False)
    free_delivery_from_cents = MoneyField(
        label="Delivery free from", required=False, help_text="Empty: never free."
    )
    minimum_order_cents = MoneyField(label="Smallest order", required=False)
    note = forms.CharField(label="Note", max_length=200, required=False)

    def values(self) -> FieldValues:
        """The supplier's fields; an empty charge is none."""
        given = dict(self.cleaned_data)
        for name in ("delivery_cents", "minimum_order_cents"):
            given[name] = given[name] or 0
        given["counts"] = given["counts"] or Supplier.Counts.CALENDAR
        return given


def supplier_initial(row: Supplier) -> FieldValues:
    """The form as the supplier stands now."""
    return {name: getattr(row, name) for name in SupplierForm.base_fields}


def heat(label: str) -> TemperatureField:
    """A temperature that may be left open."""
    return TemperatureField(label=label, required=False)


class AlloyForm(HouseForm):
    """An alloy of the shop's own; every figure is marked as the shop's."""

    name = forms.CharField(label="Name", max_length=80)
    family = forms.ChoiceField(label="Family", choices=list(FAMILY_WORDS.items()))
    hardens = forms.BooleanField(label="A quench hardens it", required=False)
    density_kg_m3 = forms.IntegerField(
        label="Density, kg/m³",
        min_value=LIGHTEST,
        max_value=HEAVIEST,
        help_text="Carbon steel is about 7850, copper about 8940.",
    )
    solidus = heat("Starts to melt at")
    liquidus = heat("All molten at")
    forge_max = heat("Forge at most at")
    forge_min = heat("Do not forge below")
    austenitise_low = heat("Harden from")
    austenitise_high = heat("Harden up to")
    note = forms.CharField(label="Note", max_length=200, required=False)

    PAIRS = (
        ("solidus", "liquidus"),
        ("forge_min", "forge_max"),
        ("austenitise_low", "austenitise_high"),
    )

    def clean(self) -> FieldValues:
        """The lower of each pair is lower; a temperature is above freezing."""
        given: FieldValues = super().clean() or {}
        for low, high in self.PAIRS:
            if given.get(low) and given.get(high) and given[low] > given[high]:
                self.add_error(high, "This is lower than the one before it. Change one of them.")
        for name in (name for pair in self.PAIRS for name in pair):
            if given.get(name) is not None and given[name] <= 0:
                self.add_error(name, "Give a temperature above 0 °C, or leave it empty.")
        return given

    def values(self) -> FieldValues:
        """The alloy's fields, temperatures in whole °C."""
        given = dict(self.cleaned_data)
        for name in (name for pair in self.PAIRS for name in pair):
            value = given.pop(name)
            given[f"{name}_c"] = None if value is None else round(value / 1000)
        return given


def alloy_initial(row: OwnAlloy) -> FieldValues:
    """The form as the alloy stands now."""
    temperatures = {
        name: value * 1000
        for pair in AlloyForm.PAIRS
        for name in pair
        if (value := getattr(row, f"{name}_c")) is not None
    }
    plain = ("name", "family", "hardens", "density_kg_m3", "note")
    return {name: getattr(row, name) for name in plain} | temperatures
