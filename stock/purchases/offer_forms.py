"""The form of one offer: who sells what, in what size and pack, at what price."""

from __future__ import annotations

from typing import Any

from django import forms

from stock.alloys import book as alloys
from stock.catalogue.forms import level_text
from stock.materials import by_length
from stock.materials.names import material_title
from stock.models import Form, Material, Offer, Supplier
from stock.purchases.forms import SIZE_HINT, read_size
from stock.quantities import units
from stock.rack.forms import CountField
from stock.web.fields import HouseForm, LengthField, MoneyField, offer_choices


class OfferForm(HouseForm):
    """One row of a price list; a price break is a row of its own."""

    supplier = forms.ChoiceField(label="Supplier")
    material = forms.ChoiceField(
        label="Material", help_text="Not there? Add it on the page of materials."
    )
    size = forms.CharField(
        label="Size of each", max_length=60, required=False,
        help_text=f"{SIZE_HINT} Cut to order: the length that the price is for.",
    )  # fmt: skip
    count = CountField(label="How many in a pack", initial="1")
    price_cents = MoneyField(label="Price of a pack")
    from_packs = CountField(
        label="From how many packs", initial="1",
        help_text="A lower price for more packs is an offer of its own.",
    )  # fmt: skip
    step_nm = LengthField(
        label="Cut to order in steps of", required=False,
        help_text="1 ft where any whole number of feet can be had; the price is then for the "
        "size above. Empty: sold in that size.",
    )  # fmt: skip
    least_nm = LengthField(
        label="From what length on", required=False,
        help_text="The shortest that is cut. Empty: one step. A lower price from a greater "
        "length on is an offer of its own.",
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
            self.take_steps(given, form=material.form)
        return given

    def take_steps(self, given: dict[str, Any], *, form: str) -> None:
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

    def check_steps(self, given: dict[str, Any]) -> None:
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
        "step_nm": row.step_nm or "", "least_nm": row.least_nm or "",
    }  # fmt: skip
