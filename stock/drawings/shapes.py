"""Shapes that drawings are made of: numbers for a template, with a class for screen and paper.

A shape's `kind` is a class of drawing.css; `ink` is the same for paper, where the style sheet
of a page does not reach into a drawing. It leaves out what is drawn (`stock.drawings.pieces`,
`billets.drawings.stack`) and every word on it: words with units are the template's.

    DrawingError (ValueError)   something that cannot be drawn, with its facts
"""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

PAPER_INKS: Mapping[str, str] = {
    "metal-carbon-steel": "#c9cfd3",
    "metal-other": "#c9cfd3",
    "metal-core": "#4c565d",
    "metal-stainless": "#dde2e5",
    "metal-iron": "#aab2b8",
    "metal-nickel": "#e4e6df",
    "metal-silver": "#eceff1",
    "metal-copper": "#b8653a",
    "metal-bronze": "#a06a2c",
    "metal-brass": "#c4a043",
    "is-free": "#c9cfd3",
    "is-scrap": "none",
    "is-aside": "url(#aside)",
}
FAMILIES: tuple[str, ...] = (
    *("carbon-steel", "stainless", "iron", "nickel"),
    *("silver", "copper", "bronze", "brass"),
)
NARROWEST_PX = 320.0  # a drawing on a small phone, 390 px less its margins
CHARACTER_PX = 7.6  # at 14 px, the widest of the figures in common system fonts


class DrawingError(ValueError):
    """Something that cannot be drawn. `facts` holds what was given, by name."""

    def __init__(self, sentence: str, **facts: float | int | str) -> None:
        self.facts = facts
        super().__init__(sentence)


@dataclass(frozen=True)
class Rect:
    """A rectangle; the drawing says in what: per cent, pixels or millimetres."""

    x: float
    y: float
    width: float
    height: float
    kind: str
    name: str = ""

    @property
    def ink(self) -> str:
        """Fill on paper."""
        return PAPER_INKS.get(self.kind, "none")


@dataclass(frozen=True)
class Path:
    """An outline as an SVG path."""

    d: str
    kind: str

    @property
    def ink(self) -> str:
        """Fill on paper."""
        return PAPER_INKS.get(self.kind, "none")


@dataclass(frozen=True)
class Measure:
    """A dimension line, with its place for words in per cent of the drawing.

    `side` says what it measures: a face ("right", "left"), "length" or "line".
    """

    d: str
    label_x: float
    label_y: float
    size_nm: int
    side: str = ""


@dataclass(frozen=True)
class Word:
    """A word on a drawing: its place in per cent, and which end of it stands there."""

    text: str
    x: float
    y: float = 0.0
    anchor: str = "middle"


def metal_kind(*, family: str, role: str = "") -> str:
    """The class of a metal in a drawing.

    Args:
        family: the alloy's family, as `stock.alloys.book` names it.
        role: its part in a stack; a core of any steel is drawn darker.

    Returns:
        A class of drawing.css.
    """
    if role == "core" and family not in ("copper", "bronze", "brass", "silver"):
        return "metal-core"
    return f"metal-{family}" if family in FAMILIES else "metal-other"


def rounded(value: float, digits: int = 3) -> float:
    """A coordinate short enough to print; never -0.

    Args:
        value: any number.
        digits: digits after the point.

    Returns:
        The number, rounded.
    """
    return round(value, digits) + 0.0


def numbers_text(values: Iterable[float]) -> str:
    """Numbers for an attribute, to a ten-thousandth, with a space between them.

    Args:
        values: any numbers.

    Returns:
        Such as "0.5 12 -3.0625".
    """
    texts = (f"{rounded(value, 4):.4f}".rstrip("0").rstrip(".") for value in values)
    return " ".join(texts)


def path_text(points: Iterable[tuple[float, float]], *, is_closed: bool = True) -> str:
    """An SVG path through points.

    Args:
        points: x and y, in the drawing's unit; at least one.
        is_closed: whether it returns to its first point.

    Returns:
        The path, to a ten-thousandth of the unit.

    Raises:
        DrawingError: there are no points.

    >>> path_text([(0, 0), (3, 0), (3, 1.5)])
    'M0 0L3 0L3 1.5Z'
    """
    steps = [numbers_text(point) for point in points]
    if not steps:
        raise DrawingError("There are no points to draw; give at least one.")
    return "M" + "L".join(steps) + ("Z" if is_closed else "")


def dimension(begin: tuple[float, float], end: tuple[float, float], *, tick: float) -> str:
    """A dimension line, level or upright, with a tick across each end.

    Args:
        begin: x and y of the one end, in the drawing's unit.
        end: the same of the other end.
        tick: half a tick's length, in the same unit.

    Returns:
        The line and its two ticks as one SVG path.

    >>> dimension((0, 5), (30, 5), tick=1)
    'M0 5L30 5M0 4L0 6M30 4L30 6'
    """
    across, down = (0.0, tick) if begin[1] == end[1] else (tick, 0.0)
    ticks = [[(x - across, y - down), (x + across, y + down)] for x, y in (begin, end)]
    return "".join(path_text(line, is_closed=False) for line in ([begin, end], *ticks))


def percent(part: float, *, whole: float) -> float:
    """A share in per cent, short enough to print.

    Args:
        part: in any unit.
        whole: in the same unit, above 0.

    Returns:
        Per cent.

    Raises:
        DrawingError: the whole is not above 0.
    """
    if not whole > 0:
        raise DrawingError("There is nothing to draw to scale; give a size above 0.", whole=whole)
    return rounded(100 * part / whole)


def text_percent(text: str, *, width_px: float = NARROWEST_PX) -> float:
    """How much of the narrowest drawing a line of words takes, at most.

    Args:
        text: the words.
        width_px: the drawing's least width [px], above 0.

    Returns:
        Per cent of its width.
    """
    return rounded(100 * len(text) * CHARACTER_PX / width_px)


def nice_ticks(low: float, high: float, *, about: int = 5) -> tuple[float, ...]:
    """Round numbers from one end of an axis to the other.

    Args:
        low: lower end.
        high: upper end, above the lower.
        about: how many are wanted, 2 or more.

    Returns:
        Steps of 1, 2 or 5 times a power of ten, inside both ends.

    Raises:
        DrawingError: the ends are the wrong way round.

    Source:
        Common practice for axes.

    >>> nice_ticks(0, 10)
    (0.0, 2.0, 4.0, 6.0, 8.0, 10.0)
    """
    if not high > low:
        raise DrawingError(
            f"An axis from {low:g} to {high:g} has no length; give a higher end.",
            low=low,
            high=high,
        )
    raw = (high - low) / about
    power = 10.0 ** math.floor(math.log10(raw))
    step = next(size * power for size in (1, 2, 5, 10) if size * power >= raw * (1 - 1e-9))
    first, last = math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9)
    return tuple(round(number * step, 10) + 0.0 for number in range(first, last + 1))


def lanes(spans: Sequence[tuple[float, float]], *, gap: float) -> tuple[int, ...]:
    """Rows for labels that stand side by side, so that none touches another.

    Args:
        spans: where each label begins and ends along the row, in any unit.
        gap: least room between two in the same unit.

    Returns:
        A row for each label, in the same order, from 0; as few rows as it takes.

    >>> lanes([(0, 10), (5, 15), (12, 20)], gap=1)
    (0, 1, 0)
    """
    ends: list[float] = []
    rows = [0] * len(spans)
    for place in sorted(range(len(spans)), key=lambda at: spans[at]):
        begin, end = spans[place]
        row = next((at for at, used in enumerate(ends) if begin >= used + gap), len(ends))
        ends[row : row + 1] = [end]
        rows[place] = row
    return tuple(rows)
