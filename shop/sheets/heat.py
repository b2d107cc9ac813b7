"""The working window as a sheet says it: two big figures, the bar, colours, seconds, soak.

Pure. It leaves out the window itself (`billets.layup.window`) and every sum of heat.
"""

from __future__ import annotations

from dataclasses import dataclass

from billets.drawings.heat import HeatBar, heat_bar_of
from billets.forging.forecast import NO_WINDOW, Outlook
from billets.heat.colours import WARNING, colour_names
from billets.heat.treatment import (
    CONFIRM,
    LINE_IN_THE_QUENCH,
    NOT_KNOWN,
    Card,
    Step,
    core_card,
)
from billets.layup.case import Case
from billets.layup.window import Window
from billets.layup.words import warmth
from shop.sheets.words import Told, heat_told, seconds_words, time_left_words


@dataclass(frozen=True)
class HeatOnPaper:
    """Ceiling and floor with their colours; None and empty words where they are not known."""

    ceiling: Told | None
    floor: Told | None
    ceiling_colour: str
    floor_colour: str
    bar: HeatBar | None
    why: str
    seconds_first: str
    seconds_last: str
    soak: str
    weld: str
    refused: str
    warning: str = WARNING


def heat_on_paper(case: Case, *, outlook: Outlook) -> HeatOnPaper:
    """Everything a sheet says about heat.

    Args:
        case: the layup in its shop.
        outlook: what its metal becomes, for the seconds.

    Returns:
        Words in the shop's system; `refused` says what is not known.
    """
    window, system = case.window, case.house.system
    ceiling_c, floor_c = window.ceiling_c, window.floor_c
    drawn, soak = outlook.outcome, outlook.soak
    return HeatOnPaper(
        ceiling=None if ceiling_c is None else heat_told(ceiling_c, system=system),
        floor=None if floor_c is None else heat_told(floor_c, system=system),
        ceiling_colour="" if ceiling_c is None else colour_names(ceiling_c),
        floor_colour="" if floor_c is None else colour_names(floor_c),
        bar=heat_bar_of(case),
        why=_why(case),
        seconds_first=time_left_words(drawn.lines[0].seconds) if drawn else "",
        seconds_last=time_left_words(drawn.lines[-1].seconds) if drawn else "",
        soak=seconds_words(soak.seconds) if soak else "",
        weld=_weld(window, system=system),
        refused="" if window.is_open else NO_WINDOW,
    )


def _why(case: Case) -> str:
    """What sets the ceiling, in one line."""
    window, system = case.window, case.house.system
    if window.ceiling_c is None or window.melting is None:
        return ""
    if window.ceiling_rule == "forge-max":
        return "The steel is spoiled above it."
    name = case.short_names[window.melting.layers[0]]
    melts = heat_told(window.melting.figure.value, system=system)
    what = "silver on copper" if window.melting.is_pair else name
    margin = warmth(window.margin_c + window.hot_spot_c, system)
    return f"{what} starts to melt at {melts.first} ({melts.second}); {margin} of margin."


def _weld(window: Window, *, system: str) -> str:
    """The heat at which an all-steel stack welds."""
    if window.weld_c is None:
        return ""
    low, high = (heat_told(end, system=system) for end in window.weld_c)
    return f"{low.first} to {high.first} ({low.second} to {high.second}), common practice"


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
