"""The part of the live panel about heat: the window on the bar, seconds, soak. Pure.

It leaves out the window itself (`billets.layup.window`) and every sum of heat
(`billets.heat.section_cooling`, `billets.heat.soak`): here they are put into the shop's words.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from billets.drawings.heat import HeatBar, heat_bar_of
from billets.forging.forecast import Outlook
from billets.forging.outcome import PressLine
from billets.heat.colours import colour_words
from billets.layup.case import Case
from billets.layup.window import Window
from billets.layup.words import warmth
from billets.panel.figures import FigureLine, heat_line, seconds_text, time_left_text
from stock.house import House

SOAK_SAYS = (
    "Soak counts the stack as solid steel, from the moment its faces are at heat; before the "
    "first bond the gaps make it longer, by an amount that is not known."
)


@dataclass(frozen=True)
class HeatPart:
    """The bar (None without a window), its figures, what they rest on, what could not be said."""

    bar: HeatBar | None
    figures: tuple[FigureLine, ...]
    why: tuple[str, ...]
    notes: tuple[str, ...]


def heat_part(case: Case, *, outlook: Outlook) -> HeatPart:
    """Everything the panel says about heat.

    Args:
        case: the layup in its shop.
        outlook: what its metal becomes, for the seconds.

    Returns:
        The bar with what melts first and pure copper beside it, figures, reasons, notes.
    """
    unsoaked = outlook.unsoaked
    return HeatPart(
        bar=heat_bar_of(case),
        figures=tuple(_figures(case.window, outlook=outlook, house=case.house)),
        why=case.window.why(case.house.system),
        notes=(unsoaked.sentence(case.house.system) if unsoaked else SOAK_SAYS,),
    )


def _figures(window: Window, *, outlook: Outlook, house: House) -> Iterator[FigureLine]:
    """Ceiling, floor, what came off it, seconds, soak."""
    yield heat_line("Ceiling", window.ceiling_c, house=house)
    if window.ceiling_c is not None:
        yield FigureLine("Colour there", colour_words(window.ceiling_c))
    yield heat_line("Floor", window.floor_c, house=house)
    if window.ceiling_rule in ("solidus", "pair"):
        yield FigureLine("Margin", warmth(window.margin_c, house.system))
        yield FigureLine("Hot spots of the forge", warmth(window.hot_spot_c, house.system))
    if outlook.outcome is not None:
        lines = outlook.outcome.lines
        yield _out_of_the_fire("first", lines[0])
        yield _out_of_the_fire("last", lines[-1])
    if outlook.soak is not None:
        yield FigureLine("Soak, once the faces are there", seconds_text(outlook.soak.seconds))


def _out_of_the_fire(which: str, line: PressLine) -> FigureLine:
    """Time until the corner is at the floor, and until the mean of the section is."""
    return FigureLine(
        f"Out of the fire, {which} heat",
        f"about {time_left_text(line.seconds)}",
        f"until the corner is at the floor; the mean of the section {time_left_text(line.mean_s)}",
    )
