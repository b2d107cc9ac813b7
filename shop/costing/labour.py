"""Hands at a billet: the time that stands written down for a step, else its usual minutes. Pure.

One rule for hours, machines, gas and fire: what somebody wrote down counts; where nothing is
written down, a step that was reached counts with the shop's usual time; else nothing counts.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from billets.layup.work_time import Worked, hours_text
from shop.costing.lines import Step
from shop.costing.rate_values import BEFORE_CLASS, FINISH, ShopRates, Usual

FORGE = "forge_s"
NOBODY = Worked()
USUAL = "usual"


@dataclass(frozen=True)
class Reached:
    """What was done to a billet: steps by their time's name and who did them; heats; hours."""

    steps: Mapping[str, int | None] = field(default_factory=dict)  # "cut_s": person
    heats: int = 0
    forged_by: int | None = None
    worked: Mapping[str, Worked] = field(default_factory=dict)  # "cut_s", …, "forge_s"

    def at(self, name: str) -> Worked:
        """What stands written down for a step."""
        return self.worked.get(name, NOBODY)


@dataclass(frozen=True)
class StepHours:
    """One step of a billet: planned, so far [s], and what the second one rests on."""

    word: str
    planned_s: int
    real_s: int
    how: str  # "by the clock", "usual" …; empty where nothing was done yet

    @property
    def planned(self) -> str:
        """Planned, in words."""
        return hours_text(self.planned_s) if self.planned_s else "–"

    @property
    def real(self) -> str:
        """So far, in words."""
        return hours_text(self.real_s)


def hands(
    shop: ShopRates, reached: Reached, *, name: str, word: str, usual_s: int, by: int | None
) -> tuple[Step, ...]:
    """Hours at one step of a billet, each person's at their own rate.

    Args:
        shop: the rates of the day.
        reached: what was done and what stands written down.
        name: the step, such as "cut_s".
        word: what the step is called.
        usual_s: time of the step where nothing stands written down [s], 0 for none.
        by: who did it then; None takes the shop's rate.

    Returns:
        One step a person, or the usual one; nothing where there is no time.
    """
    written = reached.at(name)
    if written.seconds:
        return tuple(
            Step(word, seconds, shop.labour_of(person))
            for person, seconds in written.by_person.items()
        )
    return (Step(word, usual_s, shop.labour_of(by)),) if usual_s else ()


def all_hands(shop: ShopRates, reached: Reached, *, is_for_class: bool) -> tuple[Step, ...]:
    """Hours at a billet, step by step.

    Args:
        shop: the rates and usual times of the day.
        reached: what was done and what stands written down.
        is_for_class: students forge and finish, so only written-down hours count for that.

    Returns:
        Steps in the order of the work.
    """
    usual, done = shop.usual, reached.steps
    found: list[Step] = []
    for name, word in BEFORE_CLASS.items():
        usual_s = getattr(usual, name) if name in done else 0
        found += hands(shop, reached, name=name, word=word, usual_s=usual_s, by=done.get(name))
    forged_s = 0 if is_for_class else reached.heats * usual.heat_s
    finished_s = usual.finish_s if "finish_s" in done and not is_for_class else 0
    word = f"Forge, {reached.heats} heats" if reached.heats else "Forge"
    found += hands(shop, reached, name=FORGE, word=word, usual_s=forged_s, by=reached.forged_by)
    found += hands(
        shop, reached, name="finish_s", word=FINISH, usual_s=finished_s, by=done.get("finish_s")
    )
    return tuple(found)


def in_proportion(seconds: int, *, worked_s: int, usual_s: int) -> int:
    """Time of a machine or of the arc at a step that took longer or shorter than usual.

    Args:
        seconds: its usual time at the step [s].
        worked_s: time that stands written down for the step [s], 0 for none.
        usual_s: the usual time of the step [s], 0 where the shop has none.

    Returns:
        Seconds; the usual ones where one of the two times is missing.

    >>> in_proportion(300, worked_s=1800, usual_s=900)
    600
    """
    if not worked_s or not usual_s:
        return seconds
    return round(seconds * Fraction(worked_s, usual_s))


def at_step(usual: Usual, reached: Reached, *, name: str, seconds: int) -> int:
    """Time of a machine or of the arc at a step of a billet.

    Args:
        usual: the shop's usual times.
        reached: what was done and what stands written down.
        name: the step, such as "weld_s".
        seconds: its usual time at that step [s].

    Returns:
        Seconds; 0 where the step was neither reached nor worked at.
    """
    worked_s = reached.at(name).seconds
    if not worked_s and name not in reached.steps:
        return 0
    return in_proportion(seconds, worked_s=worked_s, usual_s=getattr(usual, name))


def fire_seconds(usual: Usual, reached: Reached) -> int:
    """Time in the lit forge, shared later by as many billets as usually stand in it.

    Args:
        usual: the shop's usual times.
        reached: heats, and forging that stands written down.

    Returns:
        Seconds: of each written-down spell the whole, for the fire burns for all its billets
        at once, and less than that where it had more billets than usually share the fire;
        else heats at the usual time.
    """
    written = reached.at(FORGE)
    if not written.seconds:
        return reached.heats * usual.heat_s
    room = usual.in_the_fire_together
    return sum(
        round(Fraction(one.seconds * room, max(one.billets, room))) for one in written.spells
    )


def forging_share(usual: Usual, reached: Reached, *, planned_heats: int) -> Fraction:
    """How much of a billet's usual time under the press and the blower was used.

    Args:
        usual: the shop's usual times.
        reached: heats, and forging that stands written down.
        planned_heats: heats that the usual times are meant for; 0 counts all of it at once.

    Returns:
        A ratio, 0 where nobody forged.
    """
    written_s, planned_s = reached.at(FORGE).seconds, planned_heats * usual.heat_s
    if written_s:
        return Fraction(written_s, planned_s or written_s)
    return Fraction(reached.heats, planned_heats or reached.heats or 1)


def step_hours(
    shop: ShopRates, reached: Reached, *, planned_heats: int, is_for_class: bool
) -> tuple[StepHours, ...]:
    """Planned beside real time of each step, and what the real one rests on.

    Args:
        shop: the usual times of the day.
        reached: what was done and what stands written down.
        planned_heats: heats of the forecast, 0 or more.
        is_for_class: students forge and finish: none of that is planned.

    Returns:
        Steps of which anything is planned or done, in the order of the work.
    """
    usual = shop.usual
    own = 0 if is_for_class else 1
    forged_s, finish_s = own * usual.heat_s, own * usual.finish_s
    rows = [(name, word, getattr(usual, name)) for name, word in BEFORE_CLASS.items()]
    rows += [(FORGE, "Forge", planned_heats * forged_s), ("finish_s", FINISH, finish_s)]
    found = []
    for name, word, planned_s in rows:
        written = reached.at(name)
        usual_s = planned_s if name in reached.steps else 0
        if name == FORGE:
            usual_s = reached.heats * forged_s
        real_s = written.seconds or usual_s
        how = written.how if written.seconds else USUAL if real_s else ""
        if planned_s or real_s:
            found.append(StepHours(word, planned_s, real_s, how))
    return tuple(found)
