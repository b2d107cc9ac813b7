"""Prices the hours at a knife, each line by the rates that hold on its own day.

A line's day is the one on which it ended; a clock that runs counts as of today.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from django.utils import timezone

from billets.layup.work_time import whole_seconds
from shop.costing.billet_work import joined
from shop.costing.lines import Line, Step, hours_lines, power_line
from shop.costing.rate_values import ShopRates
from shop.models import Knife, KnifeStep, KnifeTime
from shop.rates.writing import History
from stock import clock

AT_THE_GRINDER = (KnifeStep.GRIND, KnifeStep.FINISH)
ORDER = ("blade", "parts", "services", "power", "consumables", "labour", "overhead")
STEPS = [str(step.label).capitalize() for step in KnifeStep]


@dataclass(frozen=True)
class PricedHours:
    """Hours at a knife with what they cost: labour by step, overhead, power of the grinder."""

    steps: tuple[Step, ...]
    lines: tuple[Line, ...]


def standing_times(knife: Knife) -> list[KnifeTime]:
    """Hours at a knife that were not struck."""
    rows = knife.times.select_related("person")
    return [time for time in rows if time.struck_at is None]


def struck_times(knife: Knife) -> list[KnifeTime]:
    """Hours at a knife that were struck, the latest first."""
    rows = knife.times.exclude(struck_at=None).select_related("person", "struck_by")
    return list(rows.order_by("-struck_at", "-id"))


def seconds_of(time: KnifeTime) -> int:
    """How long a line is; a running one up to now [s]."""
    return whole_seconds(time.started_at, ended=time.stopped_at or clock.now())


def steps_of(times: Sequence[KnifeTime], *, shop: ShopRates) -> tuple[Step, ...]:
    """Hours by step and person, each at their own rate."""
    sums: dict[tuple[str, int], int] = defaultdict(int)
    for time in times:
        sums[time.step, time.person_id] += seconds_of(time)
    order = {step: place for place, step in enumerate(KnifeStep.values)}
    return tuple(
        Step(str(KnifeStep(step).label).capitalize(), seconds, shop.labour_of(person))
        for (step, person), seconds in sorted(sums.items(), key=lambda one: order[one[0][0]])
    )


def priced_hours(times: Sequence[KnifeTime], *, history: History) -> PricedHours:
    """The hours of each sheet of rates by that sheet; a day before the first counts as nothing."""
    by_sheet: dict[date | None, list[KnifeTime]] = defaultdict(list)
    for time in times:
        day = timezone.localdate(time.stopped_at or clock.now())
        by_sheet[history.begun_on(day)].append(time)
    steps: list[Step] = []
    lines: list[Line] = []
    for begun, rows in by_sheet.items():
        shop = (history.on_or_none(begun) if begun else None) or ShopRates()
        at_sheet = steps_of(rows, shop=shop)
        ground = sum(seconds_of(time) for time in rows if time.step in AT_THE_GRINDER)
        steps += at_sheet
        lines.append(power_line(shop.runs({"grinder": ground}), rates=shop.rates))
        lines += hours_lines(at_sheet, rates=shop.rates)
    return PricedHours(tuple(steps), tuple(line for line in lines if line.cents))


def in_order(lines: Sequence[Line]) -> tuple[Line, ...]:
    """Lines of a knife as they are shown, those of one name as one; the sum stays."""
    return tuple(sorted(joined(lines), key=place_of))


def place_of(line: Line) -> tuple[int, int]:
    """Where a line belongs: by its kind, and labour by its step."""
    step = STEPS.index(line.label) if line.key == "labour" and line.label in STEPS else 0
    return ORDER.index(line.key), step
