"""The heat-treatment card of a blade's steel as the start of what is written down. Pure.

It turns the steel's own figures into words for a step's form and the values it starts with, and
says where a heat that was really given passes what the stack stands. It leaves out the figures
themselves (`billets.heat.treatment`) and the record (`shop.knives.writing`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from billets.errors import temperature_words
from billets.heat.treatment import NOT_KNOWN, Card, Step

LEAST_HRC, MOST_HRC = 20, 70  # what the C scale is used for (ASTM E18, from memory)
MDEGC = 1000
NORMALISED_IN = "still air"  # common practice
MOST_MEDIUM = 100
PLACES = {"normalise": "normalise", "harden": "harden", "temper": "temper"}


@dataclass(frozen=True)
class Recipe:
    """What the steel's own figures say of one step, and what its form starts with."""

    words: str
    temperature_mdegc: int | None = None
    medium: str = ""
    warning: str = ""


NO_RECIPE = Recipe("")


def recipe_of(card: Card | None, *, step: str, system: str) -> Recipe:
    """What to start a step's form with.

    Args:
        card: the card of the blade's steel; None where no steel is known.
        step: "normalise", "anneal", "harden", "cold" or "temper".
        system: "inch" or "metric", whose scale comes first.

    Returns:
        The card's words, the cool end of its range [thousandths of a °C], what to cool in, and
        what to mind; empty for a step that the card has not.

    Source:
        `billets.heat.treatment.treatment_card`; normalising in still air is common practice.
    """
    steps = {one.name: one for one in card.steps} if card else {}
    found = steps.get(PLACES.get(step, ""))
    if card is None or found is None or found.words == NOT_KNOWN:
        return NO_RECIPE
    quench = steps.get("quench")
    medium = ""
    if step == "normalise" and found.low_c is not None:
        medium = NORMALISED_IN
    elif step == "harden" and quench is not None and quench.words != NOT_KNOWN:
        medium = quench.words
    return Recipe(
        words=_words(card, found, medium=medium, system=system),
        temperature_mdegc=None if found.low_c is None else round(found.low_c * MDEGC),
        medium=medium if len(medium) <= MOST_MEDIUM else "",
        warning=found.warning(system),
    )


def _words(card: Card, step: Step, *, medium: str, system: str) -> str:
    said = [step.text(system)]
    if medium:
        said.append(medium)
    if step.name == "temper":
        said += [row.text(system) for row in card.tempers]
    return "; ".join(said)


def hrc_text(tenths: int | None) -> str:
    """A hardness as it is said.

    Args:
        tenths: Rockwell C in tenths; None where none was measured.

    Returns:
        Such as "60.5 HRC"; empty for none.

    >>> hrc_text(605), hrc_text(600), hrc_text(None)
    ('60.5 HRC', '60 HRC', '')
    """
    return "" if tenths is None else f"{tenths / 10:g} HRC"


def held_text(seconds: int | None) -> str:
    """A time at heat as it is typed and said.

    Args:
        seconds: the time [s]; None where it was not written down.

    Returns:
        Such as "8 min", "2 h", "1 h 30 min", "90 s"; empty for none.

    >>> held_text(480), held_text(5400), held_text(90)
    ('8 min', '1 h 30 min', '90 s')
    """
    if seconds is None:
        return ""
    if seconds % 60:
        return f"{seconds} s"
    hours, minutes = divmod(seconds // 60, 60)
    parts = [f"{hours} h"] if hours else []
    return " ".join([*parts, f"{minutes} min"] if minutes or not hours else parts)


def over_ceiling(
    temperatures_mdegc: Sequence[int | None], *, card: Card | None, system: str
) -> str:
    """What to look for where a blade was hotter than its stack stands.

    Args:
        temperatures_mdegc: heats that were given [thousandths of a °C]; None where unknown.
        card: the card of the blade's steel, with the stack's ceiling.
        system: "inch" or "metric".

    Returns:
        A sentence; empty where every heat was within the ceiling, or there is none.
    """
    known = [one for one in temperatures_mdegc if one is not None]
    if not known or card is None or card.ceiling_c is None:
        return ""
    hottest_c = max(known) / MDEGC
    if hottest_c <= card.ceiling_c:
        return ""
    given, limit = (temperature_words(one, system=system) for one in (hottest_c, card.ceiling_c))
    return (
        f"{given} was written down, and this stack must stay under {limit}: look along the line "
        "for copper that ran before you go on."
    )
