"""The part of the live panel about heat: the window on the bar, seconds, soak. Pure.

It leaves out the window itself (`billets.layup.window`) and every sum of heat
(`billets.heat.cooling`, `billets.heat.soak`): here they are put into the shop's words.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from billets.drawings.heat import HeatBar, heat_bar_of
from billets.forging.forecast import Outlook
from billets.heat.colours import colour_words
from billets.layup.case import Case
from billets.layup.window import Window
from billets.layup.words import warmth
from billets.panel.figures import FigureLine, heat_line, seconds_text
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
        first, last = lines[0], lines[-1]
        yield FigureLine("Out of the fire, first heat", f"about {seconds_text(first.seconds)}")
        yield FigureLine("Out of the fire, last heat", f"about {seconds_text(last.seconds)}")
        lumped = (
            "under 0.1: even through" if first.is_lumped else "0.1 or more: the faces cool first"
        )
        yield FigureLine("Biot number, first heat", f"{first.biot:.3f}", lumped)
    if outlook.soak is not None:
        yield FigureLine("Soak, once the faces are there", seconds_text(outlook.soak.seconds))
