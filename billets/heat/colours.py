"""What hot steel looks like: two published tables, and colours to draw a heat bar with.

A colour is a guide and never an instrument; the two tables do not even agree. Leaves out temper
colours, which are a film of oxide and not a glow.
"""

from dataclasses import dataclass
from itertools import pairwise

from billets.errors import HeatError

STIRLING = "Stirling, A Book of Steam for Engineers, 1905"
CHAPMAN = "Chapman, Workshop Technology, 1972"

NO_COLOUR = "no colour in the published tables"
WARNING = (
    "A heat colour is a guide, read in dim light, never an instrument: sunlight, a bright "
    "flame, scale and tired eyes each move it by more than the margin under copper's melting "
    "point. Trust a thermocouple or a pyrometer."
)
DRAWN_MARK = "drawn for the eye, no source"


@dataclass(frozen=True)
class Colour:
    """A colour's name with the temperatures [°C] its table gives it; `mark` says how known."""

    name: str
    low_c: float
    high_c: float
    source: str
    mark: str = "read"


@dataclass(frozen=True)
class Stop:
    """One stop of a drawn heat bar: temperature [°C] and a screen colour that looks right."""

    temperature_c: float
    hex: str
    mark: str = DRAWN_MARK


# Stirling gives one temperature a colour.
STIRLING_POINTS = (
    Colour("dull red", 700, 700, STIRLING),
    Colour("dull cherry", 800, 800, STIRLING),
    Colour("full cherry", 900, 900, STIRLING),
    Colour("clear cherry", 1000, 1000, STIRLING),
    Colour("deep orange", 1100, 1100, STIRLING),
)

# Chapman gives bands with gaps of 1 °C, from rounding °F.
CHAPMAN_BANDS = (
    Colour("cherry", 815, 870, CHAPMAN),
    Colour("light cherry", 871, 981, CHAPMAN),
    Colour("orange", 982, 1092, CHAPMAN),
)

STOPS = (
    Stop(20, "#3a3d42"),
    Stop(450, "#3d3637"),
    Stop(600, "#571b17"),
    Stop(700, "#7f1d13"),
    Stop(800, "#ac2412"),
    Stop(900, "#d63a14"),
    Stop(1000, "#ee641c"),
    Stop(1100, "#fb9432"),
    Stop(1200, "#ffc55c"),
    Stop(1300, "#ffe9a8"),
)


def colours_at(temperature_c: float) -> tuple[Colour, ...]:
    """What each table calls the colour at a temperature.

    Args:
        temperature_c: temperature of the steel [°C].

    Returns:
        Stirling's nearest point within 50 °C, then Chapman's band; a table that does not reach
        the temperature is left out, so the answer may be empty.

    Source:
        Stirling, A Book of Steam for Engineers, 1905; Chapman, Workshop Technology, 1972 (read).

    >>> [colour.name for colour in colours_at(960)]
    ['clear cherry', 'light cherry']
    """
    found = []
    nearest = min(STIRLING_POINTS, key=lambda colour: abs(colour.low_c - temperature_c))
    if abs(nearest.low_c - temperature_c) <= 50:
        found.append(nearest)
    whole = round(temperature_c)
    found += [band for band in CHAPMAN_BANDS if band.low_c <= whole <= band.high_c]
    return tuple(found)


def colour_names(temperature_c: float) -> str:
    """The colour's name where there is little room, Chapman's (a smith's table) first.

    Args:
        temperature_c: temperature of the steel [°C].

    Returns:
        Such as "light cherry / clear cherry", a name that both tables have once.

    >>> colour_names(960)
    'light cherry / clear cherry'
    """
    names = (colour.name for colour in reversed(colours_at(temperature_c)))
    return " / ".join(dict.fromkeys(names)) or NO_COLOUR


def colour_words(temperature_c: float) -> str:
    """The colour in words for a sheet, both tables named where both reach.

    Args:
        temperature_c: temperature of the steel [°C].

    Returns:
        Such as "clear cherry (Stirling) or light cherry (Chapman)"; where no table reaches,
        words that say so. Print `WARNING` with it.
    """
    found = colours_at(temperature_c)
    if not found:
        return NO_COLOUR
    return " or ".join(f"{colour.name} ({colour.source.split(',')[0]})" for colour in found)


def screen_colour(temperature_c: float) -> str:
    """A screen colour for a temperature, between the stops of the drawn bar.

    Args:
        temperature_c: temperature [°C], finite; outside the stops the nearest end is taken.

    Returns:
        "#rrggbb".

    Raises:
        HeatError: the temperature is not a number.

    >>> screen_colour(850)
    '#c12f13'
    """
    if temperature_c != temperature_c:
        raise HeatError("This is no temperature, so it has no colour; give a number.")
    held = min(max(temperature_c, STOPS[0].temperature_c), STOPS[-1].temperature_c)
    for cool, hot in pairwise(STOPS):
        if held <= hot.temperature_c:
            share = (held - cool.temperature_c) / (hot.temperature_c - cool.temperature_c)
            return _mixed(cool.hex, hot.hex, share)
    return STOPS[-1].hex


def bar_stops(low_c: float, *, high_c: float) -> tuple[Stop, ...]:
    """Stops of a heat bar between two temperatures, its two ends among them.

    Args:
        low_c: cool end [°C].
        high_c: hot end [°C], above `low_c`.

    Returns:
        Stops from cool to hot, each marked "drawn for the eye, no source".

    Raises:
        HeatError: the ends are the wrong way round.
    """
    if not low_c < high_c:
        raise HeatError(
            "A heat bar from {low} up to {high} has no length; choose a hot end above the "
            "cool end.",
            temperatures_c={"low": low_c, "high": high_c},
        )
    between = [stop for stop in STOPS if low_c < stop.temperature_c < high_c]
    ends = [Stop(low_c, screen_colour(low_c)), Stop(high_c, screen_colour(high_c))]
    return (ends[0], *between, ends[1])


def _mixed(first: str, second: str, share: float) -> str:
    """Two screen colours mixed channel by channel."""
    channels = [
        round(a + (b - a) * share)
        for a, b in zip(bytes.fromhex(first[1:]), bytes.fromhex(second[1:]), strict=True)
    ]
    return "#" + bytes(channels).hex()
