"""Writes suppliers' offers: what they sell, in what size, at what price.

An offer is retired, not deleted. It leaves out which offers are worth taking (`stock.buying.best`).
"""

from __future__ import annotations

from django.db import transaction

from stock.materials import by_length
from stock.materials.writing import KeepingError
from stock.models import Material, Offer, Supplier
from stock.quantities.named_values import FieldValues

SAME = (
    "supplier", "material", "length_nm", "width_nm", "mass_ug", "count", "from_packs",
    "step_nm", "least_nm",
)  # fmt: skip


@transaction.atomic
def keep_offer(
    *,
    offer: Offer | None,
    supplier: Supplier,
    material: Material,
    length_nm: int,
    width_nm: int,
    mass_ug: int,
    count: int,
    price_cents: int,
    from_packs: int,
    step_nm: int = 0,
    least_nm: int = 0,
) -> Offer:
    """An offer, new or changed; a changed one holds again.

    Raises:
        KeepingError: the same thing in the same number is on this supplier's list already, or
            a roll that is cut to order has no whole price a step.
    """
    if step_nm:
        check_steps(price_cents, length_nm=length_nm, step_nm=step_nm, least_nm=least_nm)
    saved = offer or Offer()
    given: FieldValues = {
        "supplier": supplier,
        "material": material,
        "length_nm": length_nm,
        "width_nm": width_nm,
        "mass_ug": mass_ug,
        "count": count,
        "from_packs": from_packs,
        "step_nm": step_nm,
        "least_nm": least_nm,
    }
    twins = Offer.objects.filter(**{name: given[name] for name in SAME}, is_current=True)
    if twins.exclude(pk=saved.pk).exists():
        what, field = ("number of packs", "from_packs")
        if step_nm:
            what, field = ("length", "least_nm")
        raise KeepingError(
            f"{supplier} has this on the list already, from the same {what} on. "
            "Change that offer, or give another one here.",
            field=field,
        )
    for name, value in (given | {"price_cents": price_cents, "is_current": True}).items():
        setattr(saved, name, value)
    saved.save()
    return saved


def check_steps(price_cents: int, *, length_nm: int, step_nm: int, least_nm: int) -> None:
    """Refuse steps that buying could not reckon with in whole numbers."""
    try:
        by_length.fewest_steps(least_nm, step_nm=step_nm)
        by_length.step_cents(price_cents, length_nm=length_nm, step_nm=step_nm)
    except by_length.ByLengthError as error:
        raise KeepingError(f"{error} Give another step.", field="step_nm") from error


@transaction.atomic
def retire_offer(*, offer: Offer) -> None:
    """An offer that no longer holds; buying leaves it out."""
    Offer.objects.filter(pk=offer.pk).update(is_current=False)
