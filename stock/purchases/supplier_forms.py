"""Forms for suppliers and for alloys of the shop's own."""

from __future__ import annotations

from typing import Any

from django import forms

from stock.catalogue.forms import FAMILY_WORDS
from stock.models import OwnAlloy, Supplier
from stock.web.fields import HouseForm, MoneyField, TemperatureField

LIGHTEST, HEAVIEST = 500, 25_000  # kg/m³: wood to the platinum metals


class SupplierForm(HouseForm):
    """Somebody who sells metal."""

    name = forms.CharField(label="Name", max_length=80)
    days_to_deliver = forms.IntegerField(label="Days to deliver", min_value=0, max_value=365)
    counts = forms.ChoiceField(
        label="It counts", choices=Supplier.Counts.choices, required=False,
        help_text="Five working days are a week; an order at a weekend is read on Monday.",
    )  # fmt: skip
    delivery_cents = MoneyField(label="Delivery charge", required=False)
    free_delivery_from_cents = MoneyField(
        label="Delivery free from", required=False, help_text="Empty: never free."
    )
    minimum_order_cents = MoneyField(label="Smallest order", required=False)
    note = forms.CharField(label="Note", max_length=200, required=False)

    def values(self) -> dict[str, Any]:
        """The supplier's fields; an empty charge is none."""
        given = dict(self.cleaned_data)
        for name in ("delivery_cents", "minimum_order_cents"):
            given[name] = given[name] or 0
        given["counts"] = given["counts"] or Supplier.Counts.CALENDAR
        return given


def supplier_initial(row: Supplier) -> dict[str, Any]:
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
        label="Density, kg/m³", min_value=LIGHTEST, max_value=HEAVIEST,
        help_text="Carbon steel is about 7850, copper about 8940.",
    )  # fmt: skip
    solidus = heat("Starts to melt at")
    liquidus = heat("All molten at")
    forge_max = heat("Forge at most at")
    forge_min = heat("Do not forge below")
    austenitise_low = heat("Harden from")
    austenitise_high = heat("Harden up to")
    note = forms.CharField(label="Note", max_length=200, required=False)

    PAIRS = (
        ("solidus", "liquidus"), ("forge_min", "forge_max"),
        ("austenitise_low", "austenitise_high"),
    )  # fmt: skip

    def clean(self) -> dict[str, Any]:
        """The lower of each pair is lower; a temperature is above freezing."""
        given: dict[str, Any] = super().clean() or {}
        for low, high in self.PAIRS:
            if given.get(low) and given.get(high) and given[low] > given[high]:
                self.add_error(high, "This is lower than the one before it. Change one of them.")
        for name in (name for pair in self.PAIRS for name in pair):
            if given.get(name) is not None and given[name] <= 0:
                self.add_error(name, "Give a temperature above 0 °C, or leave it empty.")
        return given

    def values(self) -> dict[str, Any]:
        """The alloy's fields, temperatures in whole °C."""
        given = dict(self.cleaned_data)
        for name in (name for pair in self.PAIRS for name in pair):
            value = given.pop(name)
            given[f"{name}_c"] = None if value is None else round(value / 1000)
        return given


def alloy_initial(row: OwnAlloy) -> dict[str, Any]:
    """The form as the alloy stands now."""
    temperatures = {
        name: value * 1000
        for pair in AlloyForm.PAIRS
        for name in pair
        if (value := getattr(row, f"{name}_c")) is not None
    }
    plain = ("name", "family", "hardens", "density_kg_m3", "note")
    return {name: getattr(row, name) for name in plain} | temperatures
