"""The part of the live panel about heat: the window on the bar, seconds, soak. Pure.

It leaves out the window itself (`billets.layup.window`) and every sum of heat
(`billets.heat.section_cooling`, `billets.heat.soak`): here they are put into the shop's words.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from billets.drawings.heat import HeatBar, heat_bar
from billets.errors import ForgingError
from billets.forging.forecast import soak_of
from billets.forging.outcome import DrawOut, PressLine
from billets.heat.colours import colour_words
from billets.heat.soak import Soak
from billets.layup.case import Case
from billets.layup.window import PURE_COPPER_C
from billets.layup.words import warmth
from billets.panel.figures import FigureLine, heat_line, seconds_text, time_left_text
from stock.alloys.book import short_name

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


def heat_part(case: Case, *, drawn: DrawOut | None) -> HeatPart:
    """Everything the panel says about heat.

    Args:
        case: the layup in its shop.
        drawn: its forecast, for the seconds; None where there is none.

    Returns:
        The bar with what melts first and pure copper beside it, figures, reasons, notes.
    """
    soaking, notes = _soak(case)
    return HeatPart(
        bar=heat_bar_of(case),
        figures=tuple(_figures(case, drawn=drawn, soaking=soaking)),
        why=case.window.why(case.house.system),
        notes=notes,
    )


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
        name = "silver on copper" if one.is_pair else short_name(alloy.key, book=case.alloys)
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


def _figures(case: Case, *, drawn: DrawOut | None, soaking: Soak | None) -> Iterator[FigureLine]:
    """Ceiling, floor, what came off it, seconds, soak."""
    window, house = case.window, case.house
    yield heat_line("Ceiling", window.ceiling_c, house=house)
    if window.ceiling_c is not None:
        yield FigureLine("Colour there", colour_words(window.ceiling_c))
    yield heat_line("Floor", window.floor_c, house=house)
    if window.ceiling_rule in ("solidus", "pair"):
        yield FigureLine("Margin", warmth(window.margin_c, house.system))
        yield FigureLine("Hot spots of the forge", warmth(window.hot_spot_c, house.system))
    if drawn is not None:
        first, last = drawn.lines[0], drawn.lines[-1]
        yield _out_of_the_fire("first", first)
        yield _out_of_the_fire("last", last)
    if soaking is not None:
        yield FigureLine("Soak, once the faces are there", seconds_text(soaking.seconds))


def _out_of_the_fire(which: str, line: PressLine) -> FigureLine:
    """Time until the corner is at the floor, and until the mean of the section is."""
    return FigureLine(
        f"Out of the fire, {which} heat",
        f"about {time_left_text(line.seconds)}",
        f"until the corner is at the floor; the mean of the section {time_left_text(line.mean_s)}",
    )


def _soak(case: Case) -> tuple[Soak | None, tuple[str, ...]]:
    """The soak, or the sentence that says why there is none."""
    try:
        return soak_of(case), (SOAK_SAYS,)
    except ForgingError as error:
        return None, (error.sentence(case.house.system),)
