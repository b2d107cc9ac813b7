"""Reads the shop's own outcomes of like billets: joined the same way, with as many layers."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.db.models import QuerySet

from billets.findings import layup_door
from billets.models import Billet, StepKind
from shop.models import ClassTerms, ForgeClass
from shop.yields.record import Record
from shop.yields.spares import Chance, Guess, Spares, at_least_sound, guesses, spares
from stock.alloys.book import Book

ENDED = (StepKind.FINISHED, StepKind.FAILED)
Kind = tuple[str, int]  # how it is joined, layers


def kind_of(design: layup_door.Design, *, alloys: Book) -> Kind:
    """What makes two stacks alike for the question whether they turn out sound."""
    return layup_door.process(design, alloys), len(design.layers)


def kind_words(kind: Kind) -> str:
    """The kind in words, such as "bonded, 5 layers"."""
    process, layers = kind
    return f"{process}, {layers} layers"


def records(*, alloys: Book) -> Mapping[Kind, Record]:
    """Sound and made of each kind, over all billets that have ended."""
    sound: dict[Kind, int] = defaultdict(int)
    made: dict[Kind, int] = defaultdict(int)
    billets: QuerySet[Any] = Billet.objects.with_stage()
    ended = billets.filter(reached__in=ENDED)
    for data, reached in ended.values_list("design_json", "reached"):
        keys = [layer["alloy"] for layer in data["layers"]]
        melts = any(key in alloys and alloys[key].is_low_melting for key in keys)
        kind = ("bonded" if melts else "forge-welded", len(keys))
        made[kind] += 1
        sound[kind] += reached == StepKind.FINISHED
    return {kind: Record(sound=sound[kind], made=count) for kind, count in made.items()}


def record_of(design: layup_door.Design, *, alloys: Book) -> Record:
    """The shop's record of stacks like this one; nothing of nothing when it has none."""
    return records(alloys=alloys).get(kind_of(design, alloys=alloys), Record())


USUAL_CONFIDENCE = 0.9


@dataclass(frozen=True)
class SparesView:
    """What the page says about spares: the advice, what the planned ones do, guesses beside."""

    advice: Spares
    record: Record
    kind_words: str
    planned: int  # billets, spares and all
    planned_probability: float
    guesses: tuple[Guess, ...]  # where the record is short

    @property
    def rows(self) -> tuple[Chance, ...]:
        """Rows of the table that are shown."""
        return self.advice.few_rows(also=self.planned)


def spares_view(
    row: ForgeClass, *, terms: ClassTerms, alloys: Book, cents: int
) -> SparesView | None:
    """The advice for a class, by its record of like billets; none where it has no seat."""
    if row.seat_count < 1:
        return None
    design = row.layup.design()
    record = record_of(design, alloys=alloys)
    confidence = terms.confidence_percent / 100
    planned = row.seat_count + row.spares
    return SparesView(
        advice=spares(
            row.seat_count, record=record, confidence=confidence, cost_cents=cents,
            upto=planned,
        ),
        record=record,
        kind_words=kind_words(kind_of(design, alloys=alloys)),
        planned=planned,
        planned_probability=at_least_sound(row.seat_count, billets=planned, record=record),
        guesses=guesses(row.seat_count, confidence=confidence) if record.is_small else (),
    )  # fmt: skip


def spares_hint(row: ForgeClass, *, alloys: Book) -> str:
    """What the record advises, in a sentence for the form of a class; it has no money in it."""
    record = record_of(row.layup.design(), alloys=alloys)
    if row.seat_count < 1:
        return ""
    found = spares(row.seat_count, record=record, confidence=USUAL_CONFIDENCE)
    if found.spares is None or not found.is_plan:
        return found.words
    return (
        f"For nine chances in ten that all {row.seat_count} students get a sound billet, the "
        f"shop’s own record asks for {found.spares}. {found.words}"
    )
