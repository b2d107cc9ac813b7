"""How hot a stack may get and how cold it may be worked, and which layer says so.

It leaves out time (`billets.heat.cooling`) and what is wrong with the stack
(`billets.findings.findings`).

Everything here gives a sensible answer for any design: what cannot be known is None.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from billets.layup import words
from billets.layup.design import Design
from billets.layup.limits import Rules
from billets.layup.stack import Process, known_layers, process
from stock.alloys.book import FORGE_WELD_HIGH_C, FORGE_WELD_LOW_C, Alloy, Book, Figure

PURE_COPPER_C = Figure(1084.62, "freezing point of copper, ITS-90 fixed point", "read")
TOUGH_PITCH_C = Figure(1065.0, "C11000 sheet, Hussey Copper: copper with its oxide", "read")
SILVER_COPPER_C = Figure(
    779.1, "silver-copper eutectic, NIST (Hayes and others 1986), metallurgy.nist.gov", "read"
)

_COPPER_FAMILIES = frozenset({"copper", "bronze", "brass"})

Ruler = Literal["solidus", "pair", "forge-max", "unknown"]


@dataclass(frozen=True)
class Melting:
    """Where something in the stack starts to melt, and which layers it is."""

    layers: tuple[int, ...]
    figure: Figure
    is_pair: bool = False  # two metals that melt together below either


@dataclass(frozen=True)
class Window:
    """Working ceiling and floor of a stack, with what they rest on.

    Temperatures [°C]. `ceiling_rule` says what sets the ceiling: "solidus" (a layer would
    melt), "pair" (two touching layers would melt together), "forge-max" (a steel would be
    spoiled) or "unknown". None stands for what cannot be known from the alloys' figures.
    """

    process: Process
    ceiling_c: float | None
    ceiling_rule: Ruler
    ceiling_layers: tuple[int, ...]
    melting: Melting | None
    margin_c: float
    hot_spot_c: float
    floor_c: float | None
    floor_layers: tuple[int, ...]
    copper: Literal["tough-pitch", "oxygen-free", ""] = ""

    @property
    def width_c(self) -> float | None:
        """Ceiling less floor [°C]; below 0 there is no window."""
        if self.ceiling_c is None or self.floor_c is None:
            return None
        return self.ceiling_c - self.floor_c

    @property
    def is_open(self) -> bool:
        """Whether both ends are known and the ceiling lies above the floor."""
        return self.width_c is not None and self.width_c > 0

    @property
    def ceiling_mdegc(self) -> int | None:
        """Ceiling in thousandths of a °C."""
        return None if self.ceiling_c is None else round(self.ceiling_c * 1000)

    @property
    def floor_mdegc(self) -> int | None:
        """Floor in thousandths of a °C."""
        return None if self.floor_c is None else round(self.floor_c * 1000)

    @property
    def weld_c(self) -> tuple[float, float] | None:
        """Heat at which a forge-welded stack welds, lowest and highest [°C]."""
        if self.process == "bonded":
            return None
        return FORGE_WELD_LOW_C.value, FORGE_WELD_HIGH_C.value

    def why(self, system: str) -> tuple[str, ...]:
        """What ceiling and floor rest on, one sentence each, in the reader's system."""
        return tuple(_reasons(self, system))


def window(design: Design, alloys: Book, rules: Rules) -> Window:
    """The working window of a stack.

    Args:
        design: the layup.
        alloys: every alloy by key; layers with an unknown key are passed over.
        rules: margin and hot-spot allowance [°C], both taken off the lowest solidus.

    Returns:
        Ceiling: the lower of (lowest solidus in the stack - margin - hot spot) and the lowest
        forging maximum of its steels. Floor: the highest "do not forge below". Silver touching
        a copper alloy counts as the pair's own melting point.

    Source:
        The alloys' own figures; the margin is common practice.
    """
    layers = known_layers(design, alloys)
    lowest = _lowest_melting(design, layers)
    ceiling_c, rule, ceiling_layers = _ceiling(lowest, layers, rules)
    floor_c, floor_layers = _extreme(layers, "forge_min_c", highest=True)
    return Window(
        process=process(design, alloys),
        ceiling_c=ceiling_c,
        ceiling_rule=rule,
        ceiling_layers=ceiling_layers,
        melting=lowest,
        margin_c=rules.margin_c,
        hot_spot_c=rules.hot_spot_c,
        floor_c=floor_c,
        floor_layers=floor_layers,
        copper=_copper(layers, ceiling_layers),
    )


def meltings(design: Design, alloys: Book) -> tuple[Melting, ...]:
    """Everything in a stack that has a known melting point, lowest first.

    Args:
        design: the layup.
        alloys: every alloy by key.

    Returns:
        One for each alloy with its layers, and one for each pair that melts together.
    """
    return _meltings(design, known_layers(design, alloys))


def silver_on_copper(layers: Mapping[int, Alloy]) -> Iterator[tuple[int, int]]:
    """Places where silver touches a copper alloy.

    Args:
        layers: alloys by place, 0 at the bottom.

    Returns:
        The lower and the upper place of each such pair.

    Source:
        The silver-copper phase diagram, see `SILVER_COPPER_C`.
    """
    for place, alloy in layers.items():
        above = layers.get(place + 1)
        families = {alloy.family, above.family} if above else set()
        if "silver" in families and families & _COPPER_FAMILIES:
            yield place, place + 1


def _meltings(design: Design, layers: Mapping[int, Alloy]) -> tuple[Melting, ...]:
    by_alloy: dict[str, list[int]] = {}
    for place in layers:
        by_alloy.setdefault(design.layers[place].alloy, []).append(place)
    single = (
        Melting(tuple(places), figure)
        for places in by_alloy.values()
        if (figure := layers[places[0]].solidus_c) is not None
    )
    pairs = (Melting(pair, SILVER_COPPER_C, is_pair=True) for pair in silver_on_copper(layers))
    return tuple(sorted((*single, *pairs), key=lambda one: one.figure.value))


def _lowest_melting(design: Design, layers: Mapping[int, Alloy]) -> Melting | None:
    if any(alloy.is_low_melting and alloy.solidus_c is None for alloy in layers.values()):
        return None  # a layer melts at some heat that nobody has written down
    return next(iter(_meltings(design, layers)), None)


def _ceiling(
    lowest: Melting | None, layers: Mapping[int, Alloy], rules: Rules
) -> tuple[float | None, Ruler, tuple[int, ...]]:
    forge_max_c, steels = _extreme(layers, "forge_max_c", highest=False)
    if lowest is None:
        return None, "unknown", ()
    melt_c = lowest.figure.value - rules.allowance_c
    if forge_max_c is not None and forge_max_c < melt_c:
        return forge_max_c, "forge-max", steels
    return melt_c, "pair" if lowest.is_pair else "solidus", lowest.layers


def _extreme(
    layers: Mapping[int, Alloy], name: str, *, highest: bool
) -> tuple[float | None, tuple[int, ...]]:
    """The highest or lowest of a figure over the layers, and the layers that have it."""
    values: dict[int, float] = {}
    for place, alloy in layers.items():
        figure: Figure | None = getattr(alloy, name)
        if figure is not None and not alloy.is_low_melting:
            values[place] = figure.value
    if not values:
        return None, ()
    extreme = (max if highest else min)(values.values())
    return extreme, tuple(place for place, value in values.items() if value == extreme)


def _copper(
    layers: Mapping[int, Alloy], ceiling_layers: tuple[int, ...]
) -> Literal["tough-pitch", "oxygen-free", ""]:
    coppers = [layers[place] for place in ceiling_layers if layers[place].family == "copper"]
    solidi = [alloy.solidus_c.value for alloy in coppers if alloy.solidus_c]
    if not solidi or min(solidi) > PURE_COPPER_C.value:
        return ""
    return "tough-pitch" if min(solidi) <= TOUGH_PITCH_C.value + 1 else "oxygen-free"


def _reasons(found: Window, system: str) -> Iterator[str]:
    if found.ceiling_c is not None:
        yield from _ceiling_reasons(found, found.ceiling_c, system)
    if found.weld_c and found.ceiling_c is not None:
        low, high = (words.degrees(end, system) for end in found.weld_c)
        yield f"Steel welds to steel at about {low} to {high}, common practice."
    if found.floor_c is not None:
        places = words.sentence(words.listed(found.floor_layers))
        verb = "is" if len(found.floor_layers) == 1 else "are"
        yield f"{places} {verb} not to be forged below {words.degrees(found.floor_c, system)}."


def _ceiling_reasons(found: Window, ceiling_c: float, system: str) -> Iterator[str]:
    where = words.sentence(words.listed(found.ceiling_layers))
    if found.ceiling_rule == "forge-max":
        yield f"{where}: not to be forged above {words.degrees(ceiling_c, system)}."
    elif found.melting is not None:
        melt = words.degrees(found.melting.figure.value, system)
        verb = "starts" if len(found.ceiling_layers) == 1 else "start"
        why = ": where they touch, the two melt together" if found.melting.is_pair else ""
        yield f"{where} {verb} to melt at {melt}{why}."
        yield (
            f"A margin of {words.warmth(found.margin_c, system)} and "
            f"{words.warmth(found.hot_spot_c, system)} for the forge's hot spots come off it: "
            f"the ceiling is {words.degrees(ceiling_c, system)}."
        )
    if found.ceiling_rule == "solidus":
        yield from _copper_reasons(found, system)


def _copper_reasons(found: Window, system: str) -> Iterator[str]:
    tough = words.degrees(TOUGH_PITCH_C.value, system)
    pure = words.degrees(PURE_COPPER_C.value, system)
    if found.copper == "tough-pitch":
        yield (
            f"Pure copper melts at {pure}; ordinary copper (C11000) holds a little copper oxide, "
            f"and the two start to melt at {tough}."
        )
    elif found.copper == "oxygen-free":
        yield (
            f"Ordinary copper (C11000) would start to melt at {tough}, for it holds a little "
            "copper oxide; be sure that yours is the oxygen-free or deoxidised kind."
        )
