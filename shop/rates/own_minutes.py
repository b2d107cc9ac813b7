"""Reads the shop's own usual times off the billets that have hours written down."""

from __future__ import annotations

from dataclasses import dataclass

from billets.models import Billet, WorkTime
from shop.costing.rate_values import BEFORE_CLASS, FINISH
from shop.rates.own_times import OwnTime, own_time
from shop.rates.reached import reached_by

LATEST = 60  # billets: what was usual years ago is not asked
STEPS = BEFORE_CLASS | {"finish_s": FINISH}


@dataclass(frozen=True)
class OwnStep:
    """One usual time of the rates, as the shop's own billets have it."""

    name: str
    word: str
    time: OwnTime


@dataclass(frozen=True)
class OwnMinutes:
    """Each step of which five billets have hours, and all before welding shut together."""

    steps: tuple[OwnStep, ...]
    before_class: OwnTime | None

    def typed(self) -> dict[str, str]:
        """The steps as the form of the rates takes them."""
        return {step.name: step.time.minutes for step in self.steps}


def own_minutes() -> OwnMinutes:
    """Medians over the latest billets with hours; a step counts once its billet has reached it."""
    found = seconds_of(latest_billets())
    steps = [
        OwnStep(name, word, time)
        for name, word in STEPS.items()
        if (time := own_time([one[name] for one in found if name in one]))
    ]
    whole = [one for one in found if all(name in one for name in BEFORE_CLASS)]
    before = own_time([sum(one[name] for name in BEFORE_CLASS) for one in whole])
    return OwnMinutes(tuple(steps), before)


def latest_billets() -> list[Billet]:
    """The latest billets that have hours which stand."""
    standing = WorkTime.objects.filter(struck_at=None).exclude(stopped_at=None)
    rows = Billet.objects.filter(times__in=standing, is_withdrawn=False).distinct()
    return list(rows.order_by("-pk")[:LATEST])


def seconds_of(billets: list[Billet]) -> list[dict[str, int]]:
    """Time written down at each step that a billet has reached, by the names of the rates."""
    return [
        {name: at.seconds for name, at in one.worked.items() if at.seconds and name in one.steps}
        for one in reached_by(billets).values()
    ]
