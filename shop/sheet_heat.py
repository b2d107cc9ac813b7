"""The working window as a sheet says it: two big figures, the bar, colours, seconds, soak.

Pure. It leaves out the window itself (`billets.window`) and every sum of heat.
"""

from __future__ import annotations

from dataclasses import dataclass

from billets.case import Case
from billets.drawing_heat import HeatBar
from billets.errors import ForgingError
from billets.forecast import NO_WINDOW, soak_of
from billets.heat_colours import WARNING, colours_at
from billets.outcome import DrawOut
from billets.panel_heat import heat_bar_of
from billets.saying import warmth
from billets.window import Window
from shop.sheet_words import Told, heat_told, seconds_words
from stock.alloys import short_name

NO_COLOUR = "no colour in the published tables"


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


def heat_on_paper(case: Case, *, drawn: DrawOut | None) -> HeatOnPaper:
    """Everything a sheet says about heat.

    Args:
        case: the layup in its shop.
        drawn: its forecast, for the seconds; None where there is none.

    Returns:
        Words in the shop's system; `refused` says what is not known.

    Source:
        `billets.window`, `billets.heat`, `billets.soak`, `billets.heat_colours`.
    """
    window, system = case.window, case.house.system
    return HeatOnPaper(
        ceiling=None if window.ceiling_c is None else heat_told(window.ceiling_c, system=system),
        floor=None if window.floor_c is None else heat_told(window.floor_c, system=system),
        ceiling_colour=_colour(window.ceiling_c),
        floor_colour=_colour(window.floor_c),
        bar=heat_bar_of(case),
        why=_why(case),
        seconds_first=seconds_words(drawn.lines[0].seconds) if drawn else "",
        seconds_last=seconds_words(drawn.lines[-1].seconds) if drawn else "",
        soak=_soak(case),
        weld=_weld(window, system=system),
        refused="" if window.is_open else NO_WINDOW,
    )


def _colour(celsius: float | None) -> str:
    """The colour's name, Chapman's (a smith's table) before Stirling's."""
    if celsius is None:
        return ""
    names = [colour.name for colour in reversed(colours_at(celsius))]
    return " / ".join(dict.fromkeys(names)) or NO_COLOUR


def _why(case: Case) -> str:
    """What sets the ceiling, in one line."""
    window, system = case.window, case.house.system
    if window.ceiling_c is None or window.melting is None:
        return ""
    if window.ceiling_rule == "forge-max":
        return "The steel is spoiled above it."
    name = short_name(case.design.layers[window.melting.layers[0]].alloy, book=case.alloys)
    melts = heat_told(window.melting.figure.value, system=system)
    what = "silver on copper" if window.melting.is_pair else name
    margin = warmth(window.margin_c + window.hot_spot_c, system)
    return f"{what} starts to melt at {melts.first} ({melts.second}); {margin} of margin."


def _soak(case: Case) -> str:
    """How long the middle takes to follow, or nothing where the ceiling is not known."""
    try:
        return seconds_words(soak_of(case).seconds)
    except ForgingError:
        return ""


def _weld(window: Window, *, system: str) -> str:
    """The heat at which an all-steel stack welds."""
    if window.weld_c is None:
        return ""
    low, high = (heat_told(end, system=system) for end in window.weld_c)
    return f"{low.first} to {high.first} ({low.second} to {high.second}), common practice"
