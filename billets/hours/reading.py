"""Reads hours at billets: what stands written down for each, by step, and a page's lines of it.

A clock that runs counts once it is stopped.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from billets.hours import writing as hours
from billets.layup.work_time import Spell, Worked, equal_shares, hours_text, is_forgotten
from billets.models import Billet, WorkStep, WorkTime
from stock import clock
from stock.who import Person

Members = Mapping[int, Sequence[int]]


@dataclass(frozen=True)
class HoursLine:
    """One line of hours on a page; `share_s` is what the billets of that page have of it."""

    time: WorkTime
    seconds: int
    share_s: int
    billets: int

    @property
    def words(self) -> str:
        """Hours and minutes of the billets of the page."""
        return hours_text(self.share_s)

    @property
    def whole_words(self) -> str:
        """Hours and minutes of the whole line."""
        return hours_text(self.seconds)


@dataclass(frozen=True)
class Running:
    """A clock that runs: at what, since when, and whether somebody left it on."""

    time: WorkTime
    seconds: int
    marks: tuple[str, ...]

    @property
    def is_forgotten(self) -> bool:
        """Whether it has run for longer than anybody works."""
        return is_forgotten(self.seconds)

    @property
    def words(self) -> str:
        """How long it has run."""
        return hours_text(self.seconds)

    @property
    def where(self) -> str:
        """The billets, by mark while they are few."""
        return self.marks[0] if len(self.marks) == 1 else f"{len(self.marks)} billets"


def members_of(times: Iterable[WorkTime]) -> Members:
    """The billets that share each line, by their ids in order, in one query."""
    found: dict[int, list[int]] = defaultdict(list)
    rows = WorkTime.billets.through.objects.filter(worktime__in=[time.pk for time in times])
    for time, billet in rows.order_by("billet_id").values_list("worktime_id", "billet_id"):
        found[time].append(billet)
    return found


def times_of(billets: Sequence[Billet]) -> list[WorkTime]:
    """Lines of these billets that were not struck, oldest first, each once."""
    rows = WorkTime.objects.filter(billets__in=[one.pk for one in billets], struck_at=None)
    return list(rows.distinct().select_related("person").order_by("started_at", "id"))


def struck_of(billet: Billet) -> list[WorkTime]:
    """Lines of a billet that were struck, the latest first."""
    rows = WorkTime.objects.filter(billets=billet).exclude(struck_at=None)
    return list(rows.select_related("person", "struck_by").order_by("-struck_at", "-id"))


def worked_at(billets: Sequence[Billet]) -> Mapping[int, Mapping[str, Worked]]:
    """What stands written down for each billet, by step; two queries for all of them."""
    times = [time for time in times_of(billets) if time.stopped_at is not None]
    return spread(times, members=members_of(times))


def spread(times: Sequence[WorkTime], *, members: Members) -> Mapping[int, Mapping[str, Worked]]:
    """Each line shared over its billets, whole second by whole second."""
    spells: dict[int, dict[str, list[Spell]]] = defaultdict(lambda: defaultdict(list))
    for time in times:
        ids, seconds = members[time.pk], time.seconds(now=clock.now())
        for billet, share in zip(ids, equal_shares(seconds, count=len(ids)), strict=True):
            spell = Spell(seconds, len(ids), share, time.person_id, time.is_typed)
            spells[billet][time.step].append(spell)
    return {
        billet: {step: Worked(tuple(found)) for step, found in by_step.items()}
        for billet, by_step in spells.items()
    }


def lines_of(billets: Sequence[Billet]) -> list[HoursLine]:
    """Lines of these billets for a page, the latest first; a running one up to now."""
    times, wanted = times_of(billets), {billet.pk for billet in billets}
    members = members_of(times)
    lines = []
    for time in reversed(times):
        ids, seconds = members[time.pk], time.seconds(now=clock.now())
        shares = equal_shares(seconds, count=len(ids))
        own = sum(share for one, share in zip(ids, shares, strict=True) if one in wanted)
        lines.append(HoursLine(time, seconds, own, len(ids)))
    return lines


def running_of(person: Person) -> Running | None:
    """A person's clock that runs at billets."""
    time = hours.running(person=person)
    if time is None:
        return None
    marks = tuple(time.billets.order_by("pk").values_list("mark", flat=True))
    return Running(time, time.seconds(now=clock.now()), marks)


def elsewhere(person: Person) -> hours.Elsewhere | None:
    """A person's clock that runs at something that is no billet."""
    answers: list[tuple[Any, Any]] = hours.clock_asked.send(sender=WorkTime, person=person)
    return next((told for _, told in answers if told is not None), None)


def by_step(lines: Sequence[HoursLine]) -> list[tuple[str, str]]:
    """Sums of a page's stopped lines by step, in the order of the work: words, time."""
    sums: dict[str, int] = defaultdict(int)
    for line in lines:
        if line.time.stopped_at is not None:
            sums[line.time.step] += line.share_s
    return [(str(step.label), hours_text(sums[step])) for step in WorkStep if step in sums]
