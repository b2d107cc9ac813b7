"""Writes what the shop knows of materials, saws, suppliers and alloys of its own.

Nothing here moves metal; that is `stock.ledger.by_hand`'s.

KeepingError (ValueError)    it is there already, or is in use; the text says what to do
"""

from __future__ import annotations

from typing import Any

from django.db import transaction
from django.utils.text import slugify

from stock.alloys import book
from stock.models import Material, OwnAlloy, Saw, Supplier
from stock.quantities.named_values import FieldValues

IDENTITY = ("form", "alloy", "name", "thickness_nm", "width_nm", "diameter_nm")


class KeepingError(ValueError):
    """It is there already, or is in use. `field` is the field that the sentence belongs to."""

    def __init__(self, told: str, *, field: str | None = None) -> None:
        self.field = field
        super().__init__(told)


def same_material(given: FieldValues) -> Material | None:
    """The material that is the same thing, if the shop has it."""
    return Material.objects.filter(**{name: given[name] for name in IDENTITY}).first()


@transaction.atomic
def make_material(**given: Any) -> Material:
    """A material that the shop did not have.

    Raises:
        KeepingError: it has it.
    """
    if found := same_material(given):
        retired = " It is retired; take it up again from the list." if found.is_retired else ""
        raise KeepingError(f"This material is on the list already.{retired}", field="section")
    return Material.objects.create(**given)


@transaction.atomic
def material_for(**given: Any) -> Material:
    """The material that is meant, made when the shop does not have it; a retired one is back."""
    found = same_material(given)
    if found is None:
        return Material.objects.create(**given)
    if found.is_retired:
        Material.objects.filter(pk=found.pk).update(is_retired=False)
    return found


@transaction.atomic
def change_material(*, material: Material, **given: Any) -> Material:
    """Change a material; what it is stays as it is once a piece of it has been on the rack.

    Raises:
        KeepingError: it would become the same as another, or has pieces.
    """
    held = Material.objects.select_for_update().get(pk=material.pk)
    is_other = any(getattr(held, name) != given.get(name, getattr(held, name)) for name in IDENTITY)
    if is_other and held.pieces.exists():
        raise KeepingError(
            "Pieces of this material are in the ledger, so alloy, form, section and name stay. "
            "Add another material instead."
        )
    full = {name: given.get(name, getattr(held, name)) for name in IDENTITY}
    twin = same_material(full)
    if twin is not None and twin.pk != held.pk:
        raise KeepingError("Another material is the same as this one would be.", field="section")
    for name, value in given.items():
        setattr(held, name, value)
    held.save()
    return held


@transaction.atomic
def retire_material(*, material: Material, is_retired: bool) -> None:
    """Take a material off the lists that choose one, or put it back."""
    Material.objects.filter(pk=material.pk).update(is_retired=is_retired)


@transaction.atomic
def keep_saw(*, saw: Saw | None, name: str, kerf_nm: int, is_usual: bool) -> Saw:
    """A saw, new or changed; one of them at most is the usual one.

    Raises:
        KeepingError: another saw has that name.
    """
    twin = Saw.objects.filter(name__iexact=name).first()
    if twin is not None and (saw is None or twin.pk != saw.pk):
        raise KeepingError(f"There is a saw called {twin.name} already.", field="name")
    if is_usual:
        Saw.objects.update(is_usual=False)
    saved = saw or Saw()
    saved.name, saved.kerf_nm, saved.is_usual = name, kerf_nm, is_usual
    saved.save()
    return saved


@transaction.atomic
def keep_supplier(*, supplier: Supplier | None, **given: Any) -> Supplier:
    """A supplier, new or changed.

    Raises:
        KeepingError: another supplier has that name.
    """
    twin = Supplier.objects.filter(name__iexact=given["name"]).first()
    if twin is not None and (supplier is None or twin.pk != supplier.pk):
        raise KeepingError(f"{twin.name} is on the list already.", field="name")
    saved = supplier or Supplier()
    for name, value in given.items():
        setattr(saved, name, value)
    saved.save()
    return saved


def supplier_for(*, name: str) -> Supplier:
    """The supplier of that name, made when the shop has none."""
    return Supplier.objects.filter(name__iexact=name).first() or Supplier.objects.create(name=name)


@transaction.atomic
def keep_alloy(*, alloy: OwnAlloy | None, **given: Any) -> OwnAlloy:
    """An alloy of the shop's own, new or changed; its key never changes.

    Raises:
        KeepingError: an alloy of that name is in the book.
    """
    saved = alloy or OwnAlloy(key=slugify(given["name"])[:40])
    if alloy is None:
        is_taken = saved.key in book.book() or OwnAlloy.objects.filter(key=saved.key).exists()
        if not saved.key or is_taken:
            raise KeepingError(
                f"An alloy called {given['name']} is in the book already. Give yours a name of "
                "its own, such as the mill's.",
                field="name",
            )
    for name, value in given.items():
        setattr(saved, name, value)
    saved.save()
    return saved
