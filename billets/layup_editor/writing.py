"""The only writer of layups: drafted, changed, copied, retired. Billets keep their own copy.

Each function is one transaction. It leaves out what is wrong with a stack
(`billets.findings.findings`): a layup with a stop may be kept, it is planning that refuses it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.db import transaction

from billets.models import Layer, Layup
from stock.who import Person


@dataclass(frozen=True)
class DraftLayer:
    """One layer to be kept; `material_id` is the stock it is cut from and nothing else."""

    alloy: str
    thickness_nm: int
    role: str
    material_id: int | None = None


@transaction.atomic
def save_layup(
    *, layup: Layup | None, fields: Mapping[str, Any], layers: Sequence[DraftLayer], by: Person
) -> Layup:
    """Keep a layup with its layers from the bottom up; who wrote an override stays beside it.

    Args:
        layup: the one that is changed; None makes a new one.
        fields: values under the model's names. Without "override_reason" that reason stays.
        layers: from the bottom face up, at least one.
        by: who; kept with the override's reason when that is new.
    """
    held = Layup.objects.select_for_update(of=("self",)).get(pk=layup.pk) if layup else Layup()
    reason = fields.get("override_reason", held.override_reason)
    if reason != held.override_reason:
        held.override_by = by if reason else None
    for name, value in fields.items():
        setattr(held, name, value)
    held.save()
    write_layers(held, layers)
    return held


def write_layers(layup: Layup, layers: Sequence[DraftLayer]) -> None:
    """Put these layers in place of what there was."""
    layup.layers.all().delete()
    Layer.objects.bulk_create(
        Layer(
            layup=layup,
            position=position,
            alloy=layer.alloy,
            thickness_nm=layer.thickness_nm,
            role=layer.role,
            material_id=layer.material_id,
        )
        for position, layer in enumerate(layers)
    )


@transaction.atomic
def copy_layup(*, layup: Layup) -> Layup:
    """The same layup under another name; an owner's reason for a stop is not copied with it."""
    layers = [
        DraftLayer(row.alloy, row.thickness_nm, row.role, row.material_id)
        for row in layup.layers.all()
    ]
    copy = Layup.objects.get(pk=layup.pk)
    copy.pk = None
    copy._state.adding = True
    copy.name = free_name(layup.name)
    copy.override_reason, copy.override_by, copy.is_retired = "", None, False
    copy.save()
    write_layers(copy, layers)
    return copy


def free_name(name: str) -> str:
    """A name like this one that no layup has."""
    number = 1
    while True:
        ending = " (copy)" if number == 1 else f" (copy {number})"
        wanted = name[: 80 - len(ending)] + ending
        if not Layup.objects.filter(name__iexact=wanted).exists():
            return wanted
        number += 1


@transaction.atomic
def set_retired(*, layup: Layup, is_retired: bool) -> None:
    """Put a layup away, or take it out again; what was made from it stays as it is."""
    Layup.objects.filter(pk=layup.pk).update(is_retired=is_retired)
