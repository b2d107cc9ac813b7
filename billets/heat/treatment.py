"""The heat-treatment card: what the core's steel wants, beside what the copper can stand.

Every figure comes from the alloy's own entry with its source and mark; where none is known the
card says so and leaves a line to fill in. It leaves out hardness of this very blade: section,
quenchant and furnace decide that, so the card always says to confirm.
"""

from dataclasses import dataclass

from billets.errors import temperature_words
from billets.layup.case import Case
from stock.alloys.book import Alloy, Figure

CONFIRM = (
    "Confirm against your steel's own data: the maker's sheet for the heat you bought comes "
    "before any figure here."
)
LINE_IN_THE_QUENCH = (
    "Copper and steel shrink at different rates: quench straight and even, and check the line "
    "for a crack before tempering."
)
NOT_KNOWN = "not known here; take it from the steel's own data"


@dataclass(frozen=True)
class Step:
    """One step of the card: what to do, from and to [°C] where a figure is known, its source.

    `ceiling_c` is the working ceiling of the stack, or None where nothing in it melts first.
    """

    name: str
    low_c: float | None
    high_c: float | None
    words: str
    source: str
    mark: str
    ceiling_c: float | None

    @property
    def passes_ceiling(self) -> bool:
        """Whether any part of the step lies above the stack's ceiling."""
        top_c = self.high_c if self.high_c is not None else self.low_c
        return top_c is not None and self.ceiling_c is not None and top_c > self.ceiling_c

    @property
    def is_impossible(self) -> bool:
        """Whether even the coolest end of the step lies above the stack's ceiling."""
        return self.passes_ceiling and (self.low_c or 0.0) > (self.ceiling_c or 0.0)

    def text(self, system: str) -> str:
        """The temperature or the words of the step, in the reader's system first."""
        if self.low_c is None:
            return self.words
        low = temperature_words(self.low_c, system=system)
        if self.high_c is None or self.high_c == self.low_c:
            return low
        return f"{low} to {temperature_words(self.high_c, system=system)}"

    def warning(self, system: str) -> str:
        """What to say where the step passes the ceiling; empty where it does not."""
        if not self.passes_ceiling or self.ceiling_c is None:
            return ""
        ceiling = temperature_words(self.ceiling_c, system=system)
        if self.is_impossible:
            return (
                f"This stack must stay under {ceiling}, and to {self.name} wants "
                f"{self.text(system)}: it cannot be done without melting a layer. Choose another "
                "core steel."
            )
        return (
            f"This stack must stay under {ceiling}: {self.name} at the cool end of "
            f"{self.text(system)} and never above {ceiling}."
        )


@dataclass(frozen=True)
class TemperRow:
    """Hardness after one temper [HRC], with its source; `passes_ceiling` is never expected."""

    temperature_c: float
    low_hrc: float
    high_hrc: float
    source: str
    mark: str
    passes_ceiling: bool

    def text(self, system: str) -> str:
        """Such as "400 °F · 204 °C: 60 to 61 HRC"."""
        hardness = f"{self.low_hrc:g}"
        if self.high_hrc != self.low_hrc:
            hardness += f" to {self.high_hrc:g}"
        return f"{temperature_words(self.temperature_c, system=system)}: {hardness} HRC"


@dataclass(frozen=True)
class Card:
    """A billet's heat-treatment card. Without steps the core does not harden; `why` says so."""

    alloy: str
    name: str
    ceiling_c: float | None
    steps: tuple[Step, ...]
    tempers: tuple[TemperRow, ...]
    why: str = ""
    confirm: str = CONFIRM

    @property
    def is_possible(self) -> bool:
        """Whether every step with a known figure can be done in this stack."""
        return not any(step.is_impossible for step in self.steps)

    @property
    def missing(self) -> tuple[str, ...]:
        """Names of the steps that nothing is known about."""
        return tuple(step.name for step in self.steps if step.words == NOT_KNOWN)

    def warnings(self, system: str) -> tuple[str, ...]:
        """Every warning of its steps, in order."""
        said = (step.warning(system) for step in self.steps)
        return tuple(words for words in said if words)

    @property
    def sources(self) -> tuple[tuple[str, str], ...]:
        """Every source on the card with its mark, once each, in order."""
        rows = [(step.source, step.mark) for step in self.steps if step.source]
        rows += [(row.source, row.mark) for row in self.tempers]
        return tuple(dict.fromkeys(rows))


def core_card(case: Case) -> Card | None:
    """The heat-treatment card of the core.

    Args:
        case: the layup in its shop.

    Returns:
        The card; None when no layer is called the core, or nobody knows its alloy.
    """
    core = case.core_alloy
    return treatment_card(core, ceiling_c=case.window.ceiling_c) if core else None


def treatment_card(core: Alloy, *, ceiling_c: float | None) -> Card:
    """The heat-treatment card of a billet with this core.

    Args:
        core: alloy of the core.
        ceiling_c: working ceiling of the stack [°C]; None where no layer melts before the core
            would be spoiled, as in a stack of one steel.

    Returns:
        Normalise, harden, quench and temper, each beside the ceiling; the temper table where one
        is published. A core that does not harden gets a card without steps.
    """
    if not core.hardens:
        why = (
            f"{core.name} does not harden by quenching, so it has no card; an edge needs a core "
            "steel that hardens."
        )
        return Card(core.key, core.name, ceiling_c, (), (), why)
    return Card(
        alloy=core.key,
        name=core.name,
        ceiling_c=ceiling_c,
        steps=(
            _step("normalise", core.normalise_c, core.normalise_c, ceiling_c=ceiling_c),
            _step("harden", core.austenitise_low_c, core.austenitise_high_c, ceiling_c=ceiling_c),
            _quench(core, ceiling_c=ceiling_c),
            _temper(core, ceiling_c=ceiling_c),
        ),
        tempers=tuple(
            TemperRow(
                row.temperature_c,
                row.low_hrc,
                row.high_hrc,
                row.source,
                row.mark,
                ceiling_c is not None and row.temperature_c > ceiling_c,
            )
            for row in core.temper
        ),
    )


def _step(name: str, low: Figure | None, high: Figure | None, *, ceiling_c: float | None) -> Step:
    """A step with one or two figures; the two may come from two sources."""
    known = [figure for figure in (low, high) if figure is not None]
    if not known:
        return Step(name, None, None, NOT_KNOWN, "", "", ceiling_c)
    sources = dict.fromkeys(figure.source for figure in known)
    # A step is only as well known as the worse of its two figures.
    mark = next((figure.mark for figure in known if figure.mark != "read"), "read")
    return Step(name, known[0].value, known[-1].value, "", "; ".join(sources), mark, ceiling_c)


def _quench(core: Alloy, *, ceiling_c: float | None) -> Step:
    """The quench, in words."""
    if core.quench is None:
        return Step("quench", None, None, NOT_KNOWN, "", "", ceiling_c)
    said = core.quench
    return Step("quench", None, None, said.text, said.source, said.mark, ceiling_c)


def _temper(core: Alloy, *, ceiling_c: float | None) -> Step:
    """The range of the temper table; which row is the smith's to choose."""
    if not core.temper:
        return Step("temper", None, None, NOT_KNOWN, "", "", ceiling_c)
    degrees = [row.temperature_c for row in core.temper]
    first = core.temper[0]
    return Step("temper", min(degrees), max(degrees), "", first.source, first.mark, ceiling_c)
