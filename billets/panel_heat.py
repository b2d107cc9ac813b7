"""The part of the live panel about heat: the window on the bar, seconds, soak. Pure.

It leaves out the window itself (`billets.window`) and every sum of heat (`billets.heat`,
`billets.soak`): here they are put into the shop's words.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from billets.design import Design
from billets.drawing_heat import HeatBar, heat_bar
from billets.errors import ForgingError
from billets.forecast import soak_of
from billets.heat_colours import colour_words
from billets.outcome import DrawOut
from billets.panel_words import FigureLine, heat_line, seconds_text
from billets.saying import warmth
from billets.soak import Soak
from billets.window import PURE_COPPER_C, Window, meltings
from stock.alloys import Book, short_name
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


def heat_part(
    design: Design, *, window: Window, drawn: DrawOut | None, alloys: Book, house: House
) -> HeatPart:
    """Everything the panel says about heat.

    Args:
        design: the layup.
        window: its working window.
        drawn: its forecast, for the seconds; None where there is none.
        alloys: every alloy by key.
        house: the shop's settings.

    Returns:
        The bar with what melts first and pure copper beside it, figures, reasons, notes.

    Source:
        `billets.window`, `billets.heat`, `billets.soak`; each names its own.
    """
    soaking, notes = _soak(design, window=window, house=house)
    return HeatPart(
        bar=_bar(design, window=window, alloys=alloys, house=house),
        figures=tuple(_figures(window, drawn=drawn, soaking=soaking, house=house)),
        why=window.why(house.system),
        notes=notes,
    )


def melting_limits(design: Design, *, alloys: Book) -> tuple[tuple[str, int], ...]:
    """What starts to melt in a stack and where, for the bar: low-melting metals, pure copper.

    Args:
        design: the layup.
        alloys: every alloy by key.

    Returns:
        Names and temperatures [thousandths of a °C], lowest first; pure copper is among them
        where a copper is, unless that copper melts there itself.

    Source:
        The alloys' own figures; `PURE_COPPER_C`.
    """
    found: dict[str, int] = {}
    has_copper = False
    for one in meltings(design, alloys):
        alloy = alloys[design.layers[one.layers[0]].alloy]
        if not alloy.is_low_melting:
            continue
        name = "silver on copper" if one.is_pair else short_name(alloy.key, book=alloys)
        found.setdefault(name, round(one.figure.value * 1000))
        has_copper = has_copper or alloy.family == "copper"
    pure = round(PURE_COPPER_C.value * 1000)
    if has_copper and pure - min(found.values()) > 2000:
        found["pure copper"] = pure
    return tuple(sorted(found.items(), key=lambda one: one[1]))


def _bar(design: Design, *, window: Window, alloys: Book, house: House) -> HeatBar | None:
    """The bar, where both ends of the window are known."""
    if window.floor_mdegc is None or window.ceiling_mdegc is None:
        return None
    return heat_bar(
        floor_mdegc=window.floor_mdegc,
        ceiling_mdegc=window.ceiling_mdegc,
        limits=melting_limits(design, alloys=alloys),
        first=house.temperature_unit,
    )


def _figures(
    window: Window, *, drawn: DrawOut | None, soaking: Soak | None, house: House
) -> Iterator[FigureLine]:
    """Ceiling, floor, what came off it, seconds, soak."""
    yield heat_line("Ceiling", window.ceiling_c, house=house)
    if window.ceiling_c is not None:
        yield FigureLine("Colour there", colour_words(window.ceiling_c))
    yield heat_line("Floor", window.floor_c, house=house)
    if window.ceiling_rule in ("solidus", "pair"):
        yield FigureLine("Margin", warmth(window.margin_c, house.system))
        yield FigureLine("Hot spots of the forge", warmth(window.hot_spot_c, house.system))
    if drawn is not None:
        first, last = drawn.lines[0], drawn.lines[-1]
        yield FigureLine("Out of the fire, first heat", f"about {seconds_text(first.seconds)}")
        yield FigureLine("Out of the fire, last heat", f"about {seconds_text(last.seconds)}")
        lumped = (
            "under 0.1: even through" if first.is_lumped else "0.1 or more: the faces cool first"
        )
        yield FigureLine("Biot number, first heat", f"{first.biot:.3f}", lumped)
    if soaking is not None:
        yield FigureLine("Soak, once the faces are there", seconds_text(soaking.seconds))


def _soak(design: Design, *, window: Window, house: House) -> tuple[Soak | None, tuple[str, ...]]:
    """The soak, or the sentence that says why there is none."""
    try:
        return soak_of(design, window=window), (SOAK_SAYS,)
    except ForgingError as error:
        return None, (error.sentence(house.system),)
