"""Reads how many spare billets the shop's own record asks for in a class."""

from __future__ import annotations

from dataclasses import dataclass

from shop.models import ClassTerms, ForgeClass
from shop.yields import like_billets
from shop.yields.record import Record
from shop.yields.spares import Chance, Guess, Spares, at_least_sound, guesses, spares
from stock.alloys.book import Book

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
    record = like_billets.record_of(design, alloys=alloys)
    confidence = terms.confidence_percent / 100
    planned = row.seat_count + row.spares
    return SparesView(
        advice=spares(
            row.seat_count, record=record, confidence=confidence, cost_cents=cents,
            upto=planned,
        ),
        record=record,
        kind_words=like_billets.kind_words(like_billets.kind_of(design, alloys=alloys)),
        planned=planned,
        planned_probability=at_least_sound(row.seat_count, billets=planned, record=record),
        guesses=guesses(row.seat_count, confidence=confidence) if record.is_small else (),
    )  # fmt: skip


def spares_hint(row: ForgeClass, *, alloys: Book) -> str:
    """What the record advises, in a sentence for the form of a class; it has no money in it."""
    record = like_billets.record_of(row.layup.design(), alloys=alloys)
    if row.seat_count < 1:
        return ""
    found = spares(row.seat_count, record=record, confidence=USUAL_CONFIDENCE)
    if found.spares is None or not found.is_plan:
        return found.words
    return (
        f"For nine chances in ten that all {row.seat_count} students get a sound billet, the "
        f"shop’s own record asks for {found.spares}. {found.words}"
    )
