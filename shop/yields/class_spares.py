"""How many spare billets the shop's own record asks for in a class. Pure."""

from __future__ import annotations

from dataclasses import dataclass

from shop.yields.record import Record
from shop.yields.spares import Chance, Guess, Spares, at_least_sound, guesses, spares

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
    seat_count: int,
    *,
    planned: int,
    record: Record,
    kind_words: str,
    confidence_percent: int,
    cents: int,
) -> SparesView | None:
    """The advice for a class by its record of like billets.

    Args:
        seat_count: students who are to get a sound billet, 0 or more.
        planned: billets that the class makes, spares and all.
        record: how like billets turned out.
        kind_words: what makes them alike, in words.
        confidence_percent: how sure the shop wants to be [%], above 0 and below 100.
        cents: what one more spare adds [minor units], 0 or more.

    Returns:
        What the page says about spares; none where the class has no seat.
    """
    if seat_count < 1:
        return None
    confidence = confidence_percent / 100
    return SparesView(
        advice=spares(
            seat_count, record=record, confidence=confidence, cost_cents=cents, upto=planned
        ),
        record=record,
        kind_words=kind_words,
        planned=planned,
        planned_probability=at_least_sound(seat_count, billets=planned, record=record),
        guesses=guesses(seat_count, confidence=confidence) if record.is_small else (),
    )


def spares_hint(seat_count: int, *, record: Record) -> str:
    """What the record advises, in a sentence for the form of a class; it has no money in it.

    Args:
        seat_count: seats of the class, 0 or more.
        record: how like billets turned out.

    Returns:
        One or two sentences; nothing where the class has no seat.
    """
    if seat_count < 1:
        return ""
    found = spares(seat_count, record=record, confidence=USUAL_CONFIDENCE)
    if found.spares is None or not found.is_plan:
        return found.words
    return (
        f"For nine chances in ten that all {seat_count} students get a sound billet, the "
        f"shop’s own record asks for {found.spares}. {found.words}"
    )
