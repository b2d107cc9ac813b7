"""What is said of an alloy: one figure, one statement, one temper, and the alloy itself. Pure.

It leaves out where they are read from (`stock.alloys.toml_file`) and how one is found
(`stock.alloys.book`).
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

MARKS = ("read", "memory", "practice", "shop")
FAMILIES = (
    "carbon-steel",
    "stainless",
    "nickel",
    "copper",
    "bronze",
    "brass",
    "silver",
    "iron",
    "other",
)
LOW_MELTING_FAMILIES = frozenset({"copper", "bronze", "brass", "silver"})
WHITE_FROM_NICKEL_PERCENT = 15  # copper with less still looks reddish; common practice
ZINC_FROM_PERCENT = 1.0  # less is a trace that the specification allows; common practice


@dataclass(frozen=True)
class Figure:
    """One figure: value, where it comes from, and how far that may be trusted.

    `mark` is "read" (read in the source named), "memory" (recalled), "practice" (common
    practice of the trade) or "shop" (entered by the shop). `given` is the figure as the source
    writes it, where that differs from the value.
    """

    value: float
    source: str
    mark: str
    given: str = ""


FORGE_WELD_LOW_C = Figure(
    (2200 - 32) / 1.8, "steel forge-welds from about 2200 °F", "practice", "2200 °F"
)
FORGE_WELD_HIGH_C = Figure(
    (2300 - 32) / 1.8, "steel forge-welds up to about 2300 °F", "practice", "2300 °F"
)


@dataclass(frozen=True)
class Said:
    """A statement in words, with where it comes from."""

    text: str
    source: str
    mark: str


@dataclass(frozen=True)
class Temper:
    """Hardness after tempering at one temperature, lowest and highest [HRC]."""

    temperature_c: float
    low_hrc: float
    high_hrc: float
    source: str
    mark: str


@dataclass(frozen=True)
class Alloy:
    """One alloy; None where no figure is known, never a guess.

    Temperatures [°C], density [kg/m³], composition [percent of the mass] by element, at the
    middle of the specified range.
    """

    key: str
    name: str
    family: str
    hardens: bool
    density_kg_m3: Figure
    solidus_c: Figure | None = None
    liquidus_c: Figure | None = None
    forge_max_c: Figure | None = None
    forge_min_c: Figure | None = None
    normalise_c: Figure | None = None
    austenitise_low_c: Figure | None = None
    austenitise_high_c: Figure | None = None
    ac1_c: Figure | None = None
    ms_c: Figure | None = None
    quench: Said | None = None
    temper: tuple[Temper, ...] = ()
    composition: Mapping[str, Figure] = field(default_factory=dict, hash=False)
    hazards: tuple[str, ...] = ()
    note: str = ""
    is_shop_made: bool = False

    @property
    def is_low_melting(self) -> bool:
        """Whether it cannot stand the heat at which steel welds to steel."""
        if self.solidus_c is None:
            return self.family in LOW_MELTING_FAMILIES
        return self.solidus_c.value < FORGE_WELD_LOW_C.value

    @property
    def colour(self) -> str:
        """The family whose colour it has in a drawing: much nickel makes copper silver-white."""
        nickel = self.composition.get("Ni")
        is_white = nickel is not None and nickel.value >= WHITE_FROM_NICKEL_PERCENT
        return "nickel" if is_white and self.family in ("copper", "brass") else self.family

    @property
    def zinc_percent(self) -> float:
        """Zinc in percent of the mass; 0 where none is given."""
        zinc = self.composition.get("Zn")
        return zinc.value if zinc else 0.0

    @property
    def bears_zinc(self) -> bool:
        """Whether forging heat drives zinc fume out of it."""
        return self.zinc_percent >= ZINC_FROM_PERCENT or "zinc-fume" in self.hazards
