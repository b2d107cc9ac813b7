"""Makes a drawn-out all-steel billet a bar on the rack: cost, layer count, and where it is from.

The only writer of bars made here. The billet's cost so far moves to the new piece; the alloy of
the bar is the shop's own, made of the billet's steels, so that it can be a layer of a layup.
"""

from __future__ import annotations

from django.db import transaction
from django.db.models import Sum
from django.utils.text import slugify

from billets.history import writing as history
from billets.history.writing import WorkshopError
from billets.models import Bar, Billet, StepKind
from stock.ledger import by_hand
from stock.models import Entry, Form, Material, OwnAlloy, Piece, alloy_book
from stock.who import Person


class NotABar(WorkshopError):
    """This billet cannot go back on the rack as a bar."""


def layer_count(*, layers: int, folds: int) -> int:
    """Layers of a bar after so many folds.

    Args:
        layers: in the first stack, above 0.
        folds: times that the bar was cut, stacked in two and welded again, 0 or more.

    Returns:
        Layers, the two that meet at each fold counted as two.

    Source:
        Each fold doubles the count; common practice.

    >>> layer_count(layers=15, folds=4)
    240
    """
    return int(layers * 2**folds)


def cost_so_far_cents(billet: Billet) -> int:
    """What the ledger has booked to a billet, and not moved on."""
    total = Entry.objects.filter(job=billet.job).aggregate(all=Sum("value_cents"))["all"]
    return -(total or 0)


@transaction.atomic
def make_bar(
    *,
    billet: Billet,
    name: str,
    thickness_nm: int,
    width_nm: int,
    length_nm: int,
    by: Person,
    place: str = "",
) -> Bar:
    """Put a finished all-steel billet on the rack as a flat bar.

    Raises:
        NotABar: it has copper in it, is not finished, is a bar already, or its name stands for
            other steels.
    """
    held = Billet.objects.select_for_update().get(pk=billet.pk)
    design, alloys = held.design(), alloy_book()
    used = list(dict.fromkeys(layer.alloy for layer in design.layers))
    if any(alloys[key].is_low_melting for key in used):
        raise NotABar(f"{held.mark} has copper in it: only an all-steel bar goes back on the rack.")
    if history.stage(held) != StepKind.FINISHED:
        raise NotABar(f"{held.mark} is {history.stage(held)}; finish it first.")
    if hasattr(held, "bar"):
        raise NotABar(f"{held.mark} is on the rack already as {held.bar.piece.mark}.")
    folds = held.bar_folds
    material, _ = Material.objects.get_or_create(
        form=Form.FLAT,
        alloy=bar_alloy(name=name, made_of=used).key,
        name="",
        thickness_nm=thickness_nm,
        width_nm=width_nm,
        diameter_nm=0,
    )
    piece: Piece = by_hand.new_piece(
        material=material,
        length_nm=length_nm,
        made_by=held.job,
        heat_lot=held.mark,
        place=place,
    )
    by_hand.book_in(
        pieces=[(piece, length_nm, cost_so_far_cents(held))],
        kind=Entry.Kind.MADE,
        by=by,
        job=held.job,
        why=f"bar from billet {held.mark}",
    )
    count = layer_count(layers=len(design.layers), folds=folds)
    return Bar.objects.create(billet=held, piece=piece, layer_count=count)


def bar_alloy(*, name: str, made_of: list[str]) -> OwnAlloy:
    """The shop's own alloy that stands for a bar of several steels.

    It melts where the first of them melts, is forged between the highest floor and the lowest
    ceiling, and hardens if any of them does; the window in which all of them harden is theirs.
    """
    found = OwnAlloy.objects.filter(name__iexact=name).first()
    book = alloy_book()
    if found:
        refuse_other_steels(found, made_of=made_of)
        return found
    steels = [book[key] for key in made_of]

    def lowest(field: str) -> int | None:
        figures = [getattr(one, field) for one in steels if getattr(one, field) is not None]
        return round(min(one.value for one in figures)) if figures else None

    def highest(field: str) -> int | None:
        figures = [getattr(one, field) for one in steels if getattr(one, field) is not None]
        return round(max(one.value for one in figures)) if figures else None

    return OwnAlloy.objects.create(
        key=free_key(name),
        name=name,
        family="carbon-steel",
        hardens=any(one.hardens for one in steels),
        solidus_c=lowest("solidus_c"),
        liquidus_c=lowest("liquidus_c"),
        forge_max_c=lowest("forge_max_c"),
        forge_min_c=highest("forge_min_c"),
        austenitise_low_c=highest("austenitise_low_c"),
        austenitise_high_c=lowest("austenitise_high_c"),
        made_of=" ".join(made_of),
        note=("made here of " + " and ".join(book[key].name for key in made_of))[:200],
    )


def refuse_other_steels(alloy: OwnAlloy, *, made_of: list[str]) -> None:
    """One name stands for one set of steels: a layup with it must mean the same each time."""
    if set(alloy.made_of.split()) == set(made_of):
        return
    steels = " and ".join(made_of)
    was = f"made of {' and '.join(alloy.made_of.split())}" if alloy.made_of else "no bar made here"
    raise NotABar(
        f"There is an alloy named {alloy.name} already, {was}; this bar is of {steels}. Give it "
        "another name."
    )


def free_key(name: str) -> str:
    """A key like the name that no alloy has."""
    stem = f"own-{slugify(name) or 'bar'}"[:36]
    key, number = stem, 1
    while OwnAlloy.objects.filter(key=key).exists():
        number += 1
        key = f"{stem}-{number}"
    return key
