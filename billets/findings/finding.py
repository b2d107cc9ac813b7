"""One thing to say about a layup: how bad, where, the figure, the limit, why, what to do.

It leaves out what is looked for: that is `billets.findings.findings` and the files it draws on.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Literal

from billets.layup import words as saying

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
    """
    inch, metric = (
        write if isinstance(write, Words) else write(system) for system in saying.SYSTEMS
    )
    return Finding(level, code, tuple(layers), figure, limit, inch=inch, metric=metric)
