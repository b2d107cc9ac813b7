"""Reads how the knives of one billet share it: its measured length, who took how much."""

from __future__ import annotations

from dataclasses import dataclass

from billets.models import Billet
from shop.costing.knife import Kept, left_nm
from shop.models import Knife
from stock.house import House
from stock.quantities.units import length_text


@dataclass(frozen=True)
class OfBillet:
    """The knives of a billet, the oldest first, and the billet's length where it was measured."""

    knives: tuple[Knife, ...]
    billet_nm: int | None

    @property
    def lengths_nm(self) -> tuple[int, ...]:
        """What each took; 0 where nobody said."""
        return tuple(one.taken_nm for one in self.knives)

    @property
    def sold(self) -> tuple[Kept | None, ...]:
        """What each carries since it was sold."""
        return tuple(
            None if one.sold_share_cents is None else Kept(one.sold_share_cents, one.sold_share_nm)
            for one in self.knives
        )

    def place(self, knife: Knife) -> int:
        """Which of them it is."""
        return [one.pk for one in self.knives].index(knife.pk)


def of_billet(billet: Billet) -> OfBillet:
    """Who shares a billet."""
    size = billet.measurements.order_by("-id").first()
    rows = tuple(Knife.objects.filter(billet=billet).order_by("pk"))
    return OfBillet(rows, size.length_nm if size else None)


def free_nm(billet: Billet, *, but: Knife | None = None) -> int | None:
    """How much of a billet no other knife took; None where it was not measured."""
    found = of_billet(billet)
    others = [one.taken_nm for one in found.knives if but is None or one.pk != but.pk]
    return left_nm(found.billet_nm, taken_nm=others)


def share_words(knife: Knife, *, house: House) -> str:
    """How much of its billet a knife took, who else has a share, and what is left."""
    if knife.billet is None:
        return ""
    found = of_billet(knife.billet)
    whole = length_text(found.billet_nm, system=house.system) if found.billet_nm else ""
    said = [_own_words(knife, found, whole=whole, house=house)]
    others = [f"{one}" for one in found.knives if one.pk != knife.pk]
    if others:
        said.append(f"shared with {', '.join(others)}")
    rest = left_nm(found.billet_nm, taken_nm=found.lengths_nm)
    if knife.sold_share_cents is not None:
        said.append("kept as it was sold")
    if rest and all(found.lengths_nm):
        said.append(f"{length_text(rest, system=house.system)} of it is left")
    return "; ".join(said)


def _own_words(knife: Knife, found: OfBillet, *, whole: str, house: House) -> str:
    if knife.taken_nm:
        own = length_text(knife.taken_nm, system=house.system)
        return f"{own} of its {whole}" if whole else own
    if len(found.knives) == 1:
        return "all of it"
    if not any(found.lengths_nm):
        return "an equal share"
    is_alone = found.lengths_nm.count(0) == 1
    return "what the others leave" if is_alone else "an equal share of what the others leave"
