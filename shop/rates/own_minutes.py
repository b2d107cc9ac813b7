"""Reads the shop's own usual times off the billets that have hours written down."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from billets.hours import reading as hours_reading
from billets.models import Billet, Heat, Step, StepKind, WorkStep, WorkTime
from shop.costing.billet import Reached
from shop.costing.labour import FORGE
from shop.costing.rate_values import BEFORE_CLASS, FINISH
from shop.rates.own_times import OwnTime, own_time

STEP_TIMES = {
    StepKind.CUT: "cut_s",
    StepKind.CLEANED: "clean_s",
    StepKind.WELDED: "weld_s",
    StepKind.FINISHED: "finish_s",
}


WORK_TIMES = {
    WorkStep.CUT: "cut_s",
    WorkStep.CLEAN: "clean_s",
    WorkStep.WELD: "weld_s",
    WorkStep.FORGE: FORGE,
    WorkStep.FINISH: "finish_s",
}


def reached_by(billets: Sequence[Billet]) -> dict[int, Reached]:
    """Steps, heats and hours that stand at each of many billets, in a few queries."""
    steps: dict[int, dict[str, int | None]] = {one.pk: {} for one in billets}
    standing = Step.objects.filter(billet__in=billets, undoes=None, undone_by=None)
    for pk, kind, by in standing.order_by("id").values_list("billet", "kind", "by"):
        if kind in STEP_TIMES:
            steps[pk][STEP_TIMES[StepKind(kind)]] = by
    heats: dict[int, list[int]] = {one.pk: [] for one in billets}
    struck = Heat.objects.filter(billet__in=billets, struck_at=None)
    for pk, by in struck.order_by("number", "id").values_list("billet", "by"):
        heats[pk].append(by)
    worked = hours_reading.worked_at(billets)
    return {
        pk: Reached(
            steps[pk],
            len(heats[pk]),
            heats[pk][-1] if heats[pk] else None,
            {WORK_TIMES[WorkStep(step)]: one for step, one in worked.get(pk, {}).items()},
        )
        for pk in steps
    }


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
