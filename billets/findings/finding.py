"""One thing to say about a layup: how bad, where, the figure, the limit, why, what to do.

It leaves out what is looked for: that is `billets.findings.findings` and the files it draws on.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from billets.layup import words as saying
from billets.layup.design import Design
from billets.layup.limits import Rules
from billets.layup.stack import (
    Process,
    cleaned_layers_nm,
    core_index,
    core_places,
    drawn_layers_nm,
    known_layers,
    process,
)
from billets.layup.window import Window, window
from stock.alloys.book import Alloy, Book

Level = Literal["stop", "care", "note"]
LEVELS: tuple[Level, ...] = ("stop", "care", "note")


@dataclass(frozen=True)
class Measure:
    """A figure with its kind, to be said in the reader's system.

    `kind` is "thick" or "thin" (a length [nm]), "heat" (a temperature [°C]), "warmth" (a
    difference [°C]), "percent" or "count".
    """

    value: float
    kind: Literal["thick", "thin", "heat", "warmth", "percent", "count"]

    def text(self, system: str) -> str:
        """The figure in words, such as "1/8 in" or "1796 °F (980 °C)"."""
        if self.kind in {"thick", "thin"}:
            say = saying.thick if self.kind == "thick" else saying.thin
            return say(round(self.value), system)
        if self.kind in {"heat", "warmth"}:
            tell = saying.degrees if self.kind == "heat" else saying.warmth
            return tell(self.value, system)
        return f"{self.value:.0f} %" if self.kind == "percent" else f"{self.value:.0f}"


@dataclass(frozen=True)
class Words:
    """A finding in one system's words: what is the matter, why it matters, what to do."""

    what: str
    why: str
    to_do: str


@dataclass(frozen=True)
class Finding:
    """What is wrong or worth knowing about a layup.

    `layers` are places, 0 at the bottom. `code` never changes and is safe to test for.
    """

    level: Level
    code: str
    layers: tuple[int, ...]
    figure: Measure | None
    limit: Measure | None
    inch: Words
    metric: Words

    def words(self, system: str) -> Words:
        """What, why and what to do, apart."""
        return self.inch if system == "inch" else self.metric

    def sentence(self, system: str) -> str:
        """What, why and what to do, in a row."""
        words = self.words(system)
        return " ".join(part for part in (words.what, words.why, words.to_do) if part)


def finding(
    level: Level,
    code: str,
    layers: Iterable[int],
    write: Words | Callable[[str], Words],
    *,
    figure: Measure | None = None,
    limit: Measure | None = None,
) -> Finding:
    """A finding in both systems' words.

    Args:
        level: "stop", "care" or "note".
        code: its name, unlike any other's.
        layers: places of the layers, 0 at the bottom.
        write: the words, or what writes them for a system, "inch" or "metric".
        figure: what was found.
        limit: what it was held against.

    Returns:
        The finding.

    Source:
        Whoever calls it.
    """
    inch, metric = (
        write if isinstance(write, Words) else write(system) for system in saying.SYSTEMS
    )
    return Finding(level, code, tuple(layers), figure, limit, inch=inch, metric=metric)


@dataclass
class Case:
    """A layup under examination, with the sums that several checks need, each done once."""

    design: Design
    alloys: Book
    rules: Rules

    @cached_property
    def layers(self) -> dict[int, Alloy]:
        """Alloys by place, unknown ones left out."""
        return known_layers(self.design, self.alloys)

    @cached_property
    def cleaned_nm(self) -> tuple[int, ...]:
        """Thicknesses in the stack."""
        return cleaned_layers_nm(self.design)

    @cached_property
    def height_nm(self) -> int:
        """Height of the stack."""
        return sum(self.cleaned_nm)

    @cached_property
    def finish_nm(self) -> int:
        """Thickness of the finished billet; never more than the stack."""
        return max(0, min(self.design.finish_thickness_nm, self.height_nm))

    @cached_property
    def drawn_nm(self) -> tuple[int, ...]:
        """Thicknesses in the finished billet, before grinding."""
        return drawn_layers_nm(self.design, thickness_nm=self.finish_nm)

    @cached_property
    def process(self) -> Process:
        """How it is joined."""
        return process(self.design, self.alloys)

    @cached_property
    def window(self) -> Window:
        """How hot and how cold."""
        return window(self.design, self.alloys, self.rules)

    @cached_property
    def cores(self) -> tuple[int, ...]:
        """Every layer called a core."""
        return core_places(self.design)

    @cached_property
    def core(self) -> int | None:
        """The core."""
        return core_index(self.design)

    @cached_property
    def core_floor_nm(self) -> int:
        """Thinnest finished core that holds the edge; at a face it drifts off on one side only."""
        floor_nm = self.rules.core_floor_nm
        return floor_nm - self.rules.drift_allowance_nm * self.design.blade.is_chisel

    @cached_property
    def is_bar(self) -> bool:
        """Whether it is all steel without one core: a bar, of which no blade is ground yet."""
        together = bool(self.cores) and self.cores[-1] - self.cores[0] + 1 == len(self.cores)
        return self.process == "forge-welded" and not together and len(self.design.layers) > 1

    def name(self, place: int) -> str:
        """A layer as "layer 3 (1084)"."""
        return saying.named(self.design, place, self.alloys)
