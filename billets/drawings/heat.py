"""The heat bar with the working window, and the billet growing longer heat by heat.

It leaves out how the window and the schedule come about (`billets.layup.window`,
`billets.forging.schedule`). The colours on a screen are our own picture of the published colour
names: a guide, never an instrument.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from billets.layup.case import Case
from billets.layup.window import PURE_COPPER_C
from stock.drawings.shapes import DrawingError, Rect, Word, lanes, percent, rounded, text_percent
from stock.quantities.units import temperature_one_text

# Names after Stirling, A Book of Steam for Engineers, 1905 (dull red 700 °C, dull cherry 800,
# full cherry 900, clear cherry 1000, deep orange 1100); the screen's colours are our own.
COLOUR_STOPS: tuple[tuple[int, str, str], ...] = (
    (700, "heat-1", "#6d1710"),
    (850, "heat-2", "#a92b17"),
    (1000, "heat-3", "#d65022"),
    (1100, "heat-4", "#ee8f38"),
    (1250, "heat-5", "#f8cd6b"),
)
LOWEST_C, HIGHEST_C = 650, 1150  # shown at least
AIR_C = 50  # beyond the hottest of them
BANDS = 120  # of the bar on paper, 1.6 mm each
ROOM = 0.25  # of the rest of the bar, at both ends of the window
BAR_TOP_PX, BAR_PX, WORDS_PX = 22, 24, 18  # of the heat bar and a row of its words
THICKEST_PX = 28.0
THINNEST_PX = 3.0


@dataclass(frozen=True)
class HeatStop:
    """One colour of the bar: its place in per cent, its class, and its colour on paper."""

    offset: float
    kind: str
    colour: str


@dataclass(frozen=True)
class HeatMark:
    """A temperature on the bar: its place in per cent, and its word, whose `y` is in pixels."""

    name: str
    temperature_mdegc: int
    at: float
    word: Word


@dataclass(frozen=True)
class HeatBand:
    """A band of one colour: its left edge in per cent of the bar."""

    x: float
    colour: str


def colour_at(stops: Sequence[HeatStop], *, at: float) -> str:
    """The colour between two stops, as a screen blends them; outside of them the nearest one's.

    Args:
        stops: colours with their places [%], from left to right; one at least.
        at: place [%].

    Returns:
        Such as "#8a2114".
    """
    left = max((one for one in stops if one.offset <= at), default=stops[0], key=_place)
    right = min((one for one in stops if one.offset >= at), default=stops[-1], key=_place)
    span = right.offset - left.offset
    share = (at - left.offset) / span if span > 0 else 0.0
    pairs = zip(bytes.fromhex(left.colour[1:]), bytes.fromhex(right.colour[1:]), strict=True)
    return "#" + bytes(round(a + (b - a) * share) for a, b in pairs).hex()


def _place(stop: HeatStop) -> float:
    return stop.offset


@dataclass(frozen=True)
class HeatBar:
    """The bar: places in per cent of its width. `below` are limits, where a metal melts.

    Words over the bar have their foot at 15 px, the bar is 22 to 46 px from the top.
    """

    low_c: int
    high_c: int
    floor_mdegc: int
    ceiling_mdegc: int
    window_x: float
    window_width: float
    stops: tuple[HeatStop, ...]
    above: tuple[HeatMark, ...]
    below: tuple[HeatMark, ...]
    height_px: int

    @property
    def bands(self) -> tuple[HeatBand, ...]:
        """The bar in upright bands of one colour each, for paper.

        A gradient is a pattern in a PDF, which some viewers and printers leave white.
        """
        step = 100 / BANDS
        return tuple(
            HeatBand(round(n * step, 3), colour_at(self.stops, at=(n + 0.5) * step))
            for n in range(BANDS)
        )


@dataclass(frozen=True)
class LengthStep:
    """The billet after one heat: what is done in it, thickness and length [nm]."""

    name: str
    thickness_nm: int
    length_nm: int


@dataclass(frozen=True)
class LengthRow:
    """One heat, drawn: length in per cent of the longest, thickness in pixels of 28."""

    number: int
    name: str
    thickness_nm: int
    length_nm: int
    rect: Rect


@dataclass(frozen=True)
class LengthChart:
    """Length heat by heat. Thicknesses share one scale of their own."""

    longest_nm: int
    rows: tuple[LengthRow, ...]


def melting_limits(case: Case) -> tuple[tuple[str, int], ...]:
    """What starts to melt in a stack and where, for the bar: low-melting metals, pure copper.

    Args:
        case: the layup in its shop.

    Returns:
        Names and temperatures [thousandths of a °C], lowest first; pure copper is among them
        where a copper is, unless that copper melts there itself.
    """
    found: dict[str, int] = {}
    has_copper = False
    for one in case.meltings:
        alloy = case.layers[one.layers[0]]
        if not alloy.is_low_melting:
            continue
        name = "silver on copper" if one.is_pair else case.short_names[one.layers[0]]
        found.setdefault(name, round(one.figure.value * 1000))
        has_copper = has_copper or alloy.family == "copper"
    pure = round(PURE_COPPER_C.value * 1000)
    if has_copper and pure - min(found.values()) > 2000:
        found["pure copper"] = pure
    return tuple(sorted(found.items(), key=lambda one: one[1]))


def heat_bar_of(case: Case) -> HeatBar | None:
    """The working window on a bar, with what melts beside it.

    Args:
        case: the layup in its shop.

    Returns:
        The drawing, in thousandths of a °C; None where an end of the window is not known.
    """
    window = case.window
    if window.floor_mdegc is None or window.ceiling_mdegc is None:
        return None
    return heat_bar(
        floor_mdegc=window.floor_mdegc,
        ceiling_mdegc=window.ceiling_mdegc,
        limits=melting_limits(case),
        first=case.house.temperature_unit,
    )


def heat_bar(
    *,
    floor_mdegc: int,
    ceiling_mdegc: int,
    limits: Sequence[tuple[str, int]] = (),
    first: str = "C",
) -> HeatBar:
    """The colour-temperature bar with its window and the temperatures that limit it.

    Args:
        floor_mdegc: working floor [thousandths of a °C].
        ceiling_mdegc: working ceiling [thousandths of a °C]; at or under the floor there is no
            window to draw and its width is 0.
        limits: what begins to melt and where [thousandths of a °C], such as a copper's solidus.
        first: the scale of the words on the bar: "C" or "F".

    Returns:
        Places in per cent. Words over the bar stand outside the window, so that they never
        meet; words under it take as many rows as they need.

    Raises:
        DrawingError: a temperature outside what a forge is about, 0 to 2000 °C.
    """
    given = [floor_mdegc, ceiling_mdegc, *(at for _, at in limits)]
    for at in given:
        if not 0 <= at <= 2_000_000:
            raise DrawingError(
                f"{at / 1000:g} °C is not on this bar; give 0 to 2000 °C.", temperature_mdegc=at
            )
    low_c, high_c = _ends(floor_mdegc / 1000, ceiling_mdegc / 1000, max(given) / 1000)
    window_x = _at(floor_mdegc, low_c, high_c)
    top_x = _at(max(floor_mdegc, ceiling_mdegc), low_c, high_c)
    below = _limit_marks(limits, low_c, high_c, first)
    return HeatBar(
        low_c=low_c,
        high_c=high_c,
        floor_mdegc=floor_mdegc,
        ceiling_mdegc=ceiling_mdegc,
        window_x=window_x,
        window_width=rounded(top_x - window_x),
        stops=tuple(
            HeatStop(_at(1000 * at_c, low_c, high_c), kind, colour)
            for at_c, kind, colour in COLOUR_STOPS
        ),
        above=(
            _mark("floor", floor_mdegc, window_x, "end", first),
            _mark("ceiling", ceiling_mdegc, top_x, "start", first),
        ),
        below=below,
        height_px=math.ceil(max([BAR_TOP_PX + BAR_PX, *(mark.word.y for mark in below)])) + 6,
    )


def length_chart(steps: Sequence[LengthStep]) -> LengthChart:
    """The billet's length after each heat, as bars to one scale.

    Args:
        steps: in order; the stack itself may be the first. Sizes [nm], above 0.

    Returns:
        Bars in per cent of the longest; their height is the thickness, 28 px for the thickest.

    Raises:
        DrawingError: there is no step, or one without a size.
    """
    if not steps or min(min(step.thickness_nm, step.length_nm) for step in steps) <= 0:
        raise DrawingError("A draw-out is drawn from heats with sizes; give at least one above 0.")
    longest_nm = max(step.length_nm for step in steps)
    thickest_nm = max(step.thickness_nm for step in steps)
    rows = []
    for number, step in enumerate(steps, start=1):
        height = max(THINNEST_PX, THICKEST_PX * step.thickness_nm / thickest_nm)
        width = percent(step.length_nm, whole=longest_nm)
        rect = Rect(
            0.0,
            rounded((THICKEST_PX - height) / 2, 1),
            width,
            rounded(height, 1),
            "metal-carbon-steel",
            step.name,
        )
        rows.append(LengthRow(number, step.name, step.thickness_nm, step.length_nm, rect))
    return LengthChart(longest_nm, tuple(rows))


def _ends(floor_c: float, ceiling_c: float, top_c: float) -> tuple[int, int]:
    """Both ends of the bar, with room for words beside the window whatever the window."""
    top_c = max(top_c, floor_c)
    high_c = max(HIGHEST_C, top_c + AIR_C, ceiling_c + ROOM * (ceiling_c - LOWEST_C))
    low_c = min(LOWEST_C, floor_c - ROOM * (high_c - floor_c))
    high_c = max(high_c, ceiling_c + ROOM * (ceiling_c - low_c))
    return math.floor(low_c), math.ceil(high_c)


def _at(mdegc: int, low_c: int, high_c: int) -> float:
    return percent(min(max(mdegc / 1000, low_c), high_c) - low_c, whole=high_c - low_c)


def _mark(name: str, mdegc: int, at: float, anchor: str, first: str) -> HeatMark:
    text = temperature_one_text(mdegc, unit=first)
    gap = 1.0 if anchor == "start" else -1.0
    return HeatMark(name, mdegc, at, Word(text, rounded(at + gap), BAR_TOP_PX - 7, anchor))


def _limit_marks(
    limits: Sequence[tuple[str, int]], low_c: int, high_c: int, first: str
) -> tuple[HeatMark, ...]:
    """Words under the bar, each beside its mark, on further rows where they would meet."""
    words: list[tuple[str, float, str]] = []
    spans = []
    for name, mdegc in limits:
        text = f"{name} {temperature_one_text(mdegc, unit=first)}"
        wide, at = text_percent(text), _at(mdegc, low_c, high_c)
        if at >= wide:
            words.append((text, at, "end"))
            spans.append((at - wide, at))
        elif 100 - at >= wide:
            words.append((text, at, "start"))
            spans.append((at, at + wide))
        else:
            words.append((text, 50.0, "middle"))
            spans.append((50 - wide / 2, 50 + wide / 2))
    rows = lanes(spans, gap=2.0)
    return tuple(
        HeatMark(
            name,
            mdegc,
            _at(mdegc, low_c, high_c),
            Word(text, x, BAR_TOP_PX + BAR_PX + WORDS_PX * (row + 1), anchor),
        )
        for (name, mdegc), (text, x, anchor), row in zip(limits, words, rows, strict=True)
    )
