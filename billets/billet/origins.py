"""Reads where metal came from and where it went: heat or lot to billet, billet to heat or lot.

A bar that was made here is followed down to its steels, and up into what was made of it. Cuts
that were undone do not count. It writes nothing.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from contextlib import suppress
from dataclasses import dataclass

from django.db.models import Q, QuerySet

from billets.models import Bar, Billet, Blank
from stock.alloys.book import Book, short_name
from stock.ledger import marks
from stock.models import Entry, Piece, alloy_book

DEEPEST = 6  # bars made of bars made of bars; deeper is a circle that cannot be
MOST_FOUND = 400


@dataclass(frozen=True)
class Origin:
    """Where one layer's metal came from; `bar` is the bar made here that it was cut from."""

    number: int
    name: str
    role: str
    piece: Piece | None
    bar: MadeBar | None = None

    @property
    def heat_lot(self) -> str:
        """Heat or lot as the mill wrote it; a bar made here has its billet's mark there."""
        return self.piece.heat_lot if self.piece else ""


@dataclass(frozen=True)
class MadeBar:
    """A bar made here, with what it was made of."""

    mark: str
    billet: Billet
    layer_count: int
    origins: tuple[Origin, ...]


@dataclass(frozen=True)
class Use:
    """One billet that metal went into: how many of its layers, through which bars made here."""

    billet: Billet
    layers: int
    through: tuple[str, ...] = ()


@dataclass(frozen=True)
class Traced:
    """What a search found: pieces of that heat, lot or mark, and the billets they are in."""

    pieces: tuple[Piece, ...]
    uses: tuple[Use, ...]
    is_cut_short: bool = False


def standing_cuts() -> QuerySet[Entry]:
    """Cuts for blanks that were not undone."""
    return Entry.objects.filter(
        kind=Entry.Kind.BLANK, corrects=None, corrected_by=None, job__startswith="billet:"
    )


def origins_of(billet: Billet, *, alloys: Book | None = None, depth: int = 0) -> tuple[Origin, ...]:
    """Each layer of a billet, from the bottom up, with the piece that it was cut from."""
    book = alloy_book() if alloys is None else alloys
    cuts = list(
        standing_cuts()
        .filter(job=billet.job)
        .select_related("piece__material", "piece__line__purchase__supplier", "piece__cut_from")
        .order_by("id")
    )
    by_aside = {cut.set_aside_id: cut.piece for cut in cuts if cut.set_aside_id}
    loose = [cut.piece for cut in cuts if not cut.set_aside_id]
    jobs = {cut.piece.made_by for cut in cuts if cut.piece.made_by}
    made = made_bars(jobs, alloys=book, depth=depth)
    found = []
    for blank in billet.blanks.all():
        piece = by_aside.get(blank.set_aside_id) if blank.set_aside_id else taken(loose, blank)
        found.append(
            Origin(
                number=blank.position + 1,
                name=short_name(blank.alloy, book=book),
                role=blank.role,
                piece=piece,
                bar=made.get(piece.made_by) if piece else None,
            )
        )
    return tuple(found)


def taken(loose: list[Piece], blank: Blank) -> Piece | None:
    """The next piece of a blank's alloy among cuts that were made by hand for the job."""
    place = next(
        (at for at, piece in enumerate(loose) if piece.material.alloy == blank.alloy), None
    )
    return None if place is None else loose.pop(place)


def made_bars(jobs: Collection[str], *, alloys: Book, depth: int) -> dict[str, MadeBar]:
    """Bars made here by the job that made them, each with its own origins."""
    ids = [int(job.removeprefix("billet:")) for job in jobs if job.startswith("billet:")]
    if not ids or depth >= DEEPEST:
        return {}
    rows = Bar.objects.filter(billet__in=ids).select_related("billet", "piece")
    return {
        row.billet.job: MadeBar(
            mark=row.piece.mark,
            billet=row.billet,
            layer_count=row.layer_count,
            origins=origins_of(row.billet, alloys=alloys, depth=depth + 1),
        )
        for row in rows
    }


def pieces_named(text: str) -> tuple[Piece, ...]:
    """Pieces of a heat or lot, or the piece with that mark."""
    wanted = Q(heat_lot__iexact=text.strip())
    with suppress(marks.MarkError):
        wanted |= Q(mark=marks.typed_mark(text))
    rows = Piece.objects.select_related("material", "line__purchase__supplier").filter(wanted)
    return tuple(rows.order_by("id")[:MOST_FOUND])


def billet_named(text: str) -> Billet | None:
    """The billet with that mark, however it was typed."""
    try:
        return Billet.objects.filter(mark=marks.typed_mark(text)).first()
    except marks.MarkError:
        return None


def traced(pieces: Iterable[Piece]) -> Traced:
    """Every billet that metal of these pieces went into, through bars made here as well."""
    given = tuple(pieces)
    uses = uses_of({piece.pk for piece in given}, through=(), depth=0)
    return Traced(given, tuple(uses[:MOST_FOUND]), len(uses) > MOST_FOUND)


def uses_of(piece_ids: set[int], *, through: tuple[str, ...], depth: int) -> list[Use]:
    """Billets cut from these pieces or from what was cut off them, then those of their bars."""
    every = with_offcuts(piece_ids)
    layers: dict[str, int] = {}
    for job in standing_cuts().filter(piece__in=every).order_by("id").values_list("job", flat=True):
        layers[job] = layers.get(job, 0) + 1
    ids = [int(job.removeprefix("billet:")) for job in layers]
    billets = Billet.objects.with_stage().select_related("bar__piece").filter(pk__in=ids)
    found: list[Use] = []
    for billet in billets.order_by("id"):
        found.append(Use(billet, layers[billet.job], through))
        bar = getattr(billet, "bar", None)
        if bar is not None and depth < DEEPEST:
            found += uses_of({bar.piece_id}, through=(*through, bar.piece.mark), depth=depth + 1)
    return found


def with_offcuts(piece_ids: set[int]) -> set[int]:
    """Pieces and all that was cut off them, and off that."""
    every, new = set(piece_ids), set(piece_ids)
    while new:
        rows = Piece.objects.filter(cut_from__in=new).values_list("pk", flat=True)
        new = set(rows) - every
        every |= new
    return every
