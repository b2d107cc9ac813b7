"""The form of one offer: who sells what, in what size and pack, at what price."""

from __future__ import annotations

from typing import Any

from django import forms

from stock import alloys, units
from stock.forms import HouseForm, MoneyField, offer_choices
from stock.forms_material import level_text
from stock.forms_piece import CountField
from stock.forms_receive import SIZE_HINT, read_size
from stock.material_words import material_title
from stock.models import Form, Material, Offer, Supplier


class OfferForm(HouseForm):
    """One row of a price list; a price break is a row of its own."""

    supplier = forms.ChoiceField(label="Supplier")
    material = forms.ChoiceField(
        label="Material", help_text="Not there? Add it on the page of materials."
    )
    size = forms.CharField(label="Size of each", max_length=60, required=False, help_text=SIZE_HINT)
    count = CountField(label="How many in a pack", initial="1")
    price_cents = MoneyField(label="Price of a pack")
    from_packs = CountField(
        label="From how many packs", initial="1",
        help_text="A lower price for more packs is an offer of its own.",
    )  # fmt: skip

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

    def clean(self) -> dict[str, Any]:
        """The size in the unit of the material's form."""
        given: dict[str, Any] = super().clean() or {}
        material = self.materials.get(given.get("material", ""))
        if material is not None:
            self.take_size(given, form=material.form)
        return given

    def take_size(self, given: dict[str, Any], *, form: str) -> None:
        """Length, width × length, or weight of one piece."""
        if form == Form.COUNTED and given.get("size", "").strip():
            self.add_error("size", "A counted thing has no size here; leave it empty.")
            return
        try:
            given |= read_size(given.get("size", ""), form=form, house=self.house)
        except (units.UnitsError, forms.ValidationError) as error:
            self.add_error("size", str(error) if isinstance(error, units.UnitsError) else error)

    def values(self) -> dict[str, Any]:
        """The offer's fields."""
        given = dict(self.cleaned_data)
        del given["size"]
        return given | {
            "supplier": self.suppliers[given["supplier"]],
            "material": self.materials[given["material"]],
        }


def offer_initial(row: Offer, *, system: str) -> dict[str, Any]:
    """The form as the offer stands now, sizes so that they read back exactly."""
    sizes = [units.field_text(nm, system=system) for nm in (row.width_nm, row.length_nm) if nm]
    size = " × ".join(sizes)
    if row.mass_ug:
        size = level_text(row.mass_ug, form=Form.WIRE, system=system)
    return {
        "supplier": row.supplier_id, "material": row.material_id, "size": size,
        "count": str(row.count), "price_cents": row.price_cents,
        "from_packs": str(row.from_packs),
    }  # fmt: skip
