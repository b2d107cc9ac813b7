"""The heat-treatment card as a sheet prints it: the core's steps beside the copper's ceiling.

Pure. It leaves out the figures themselves (`billets.treatment`).
"""

from __future__ import annotations

from dataclasses import dataclass

from billets.case import Case
from billets.panel import core_card
from billets.treatment import CONFIRM, LINE_IN_THE_QUENCH, NOT_KNOWN, Card, Step
from shop.sheet_words import Told, heat_told

MARK_WORDS = {"read": "", "memory": "from memory", "practice": "common practice", "shop": "ours"}
MOST_TEMPERS = 5  # rows of a temper table that a sheet has room for


@dataclass(frozen=True)
class TreatmentRow:
    """One step: its name, what to do; empty words leave a line to fill in."""

    name: str
    words: str
    second: str
    note: str
    is_over: bool  # some of it lies above the ceiling


@dataclass(frozen=True)
class TreatmentOnPaper:
    """The card of one core steel."""

    core: str
    ceiling: Told | None
    rows: tuple[TreatmentRow, ...]
    tempers: tuple[str, ...]
    warnings: tuple[str, ...]
    sources: str
    why: str  # instead of rows, where the core does not harden
    confirm: str = CONFIRM
    quench_line: str = LINE_IN_THE_QUENCH

    @property
    def row_words(self) -> tuple[str, ...]:
        """The words of each row, to see how much room they take."""
        rows = tuple(" ".join((row.words, row.second, row.note)) for row in self.rows)
        return (*rows, "; ".join(self.tempers)) if self.tempers else rows

    @property
    def captions(self) -> tuple[str, ...]:
        """What stands under the rows."""
        under = (
            f"The stack must stay under {self.ceiling.first} ({self.ceiling.second})."
            if (self.ceiling)
            else ""
        )
        return (*self.warnings, " ".join((under, self.quench_line, self.confirm)).strip())


def treatment_on_paper(case: Case) -> TreatmentOnPaper | None:
    """The card of a billet's core.

    Args:
        case: the layup in its shop.

    Returns:
        The card; None for a stack that has not exactly one core, which makes a bar and no
        blade, or has one of an unknown alloy.

    Source:
        `billets.treatment.treatment_card`.
    """
    card, system = core_card(case), case.house.system
    if card is None or not case.has_one_core:
        return None
    ceiling = None if card.ceiling_c is None else heat_told(card.ceiling_c, system=system)
    return TreatmentOnPaper(
        core=card.name,
        ceiling=ceiling,
        rows=tuple(_row(step, system=system) for step in card.steps),
        tempers=_tempers(card, system=system),
        warnings=card.warnings(system),
        sources=_sources(card),
        why=card.why,
    )


def _row(step: Step, *, system: str) -> TreatmentRow:
    note = MARK_WORDS.get(step.mark, step.mark)
    if step.words == NOT_KNOWN:
        return TreatmentRow(step.name, "", "", "not known here: fill in", False)
    if step.low_c is None:
        return TreatmentRow(step.name, step.words, "", note, False)
    low = heat_told(step.low_c, system=system)
    if step.high_c is None or step.high_c == step.low_c:
        return TreatmentRow(step.name, low.first, low.second, note, step.passes_ceiling)
    high = heat_told(step.high_c, system=system)
    return TreatmentRow(
        step.name,
        _span(low.first, high.first),
        _span(low.second, high.second),
        note,
        step.passes_ceiling,
    )


def _span(low: str, high: str) -> str:
    """Two temperatures of one scale: "1475 to 1500 °F"."""
    return f"{low.rsplit(' ', 1)[0]} to {high}"


def _tempers(card: Card, *, system: str) -> tuple[str, ...]:
    """Hardness by temper: every row, or as many as there is room for, evenly taken."""
    rows = card.tempers
    if len(rows) > MOST_TEMPERS:
        last = len(rows) - 1
        picked = [round(at * last / (MOST_TEMPERS - 1)) for at in range(MOST_TEMPERS)]
        rows = tuple(rows[at] for at in picked)
    return tuple(row.text(system) for row in rows)


def _sources(card: Card) -> str:
    """Every source, shortened to what a reader can look up."""
    names = list(dict.fromkeys(source for source, _ in card.sources))
    return "; ".join(names)
