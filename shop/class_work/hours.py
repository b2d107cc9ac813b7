"""Hours at the billets of a class by step: planned by the usual minutes, as they were. Pure."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from billets.layup.work_time import Worked, hours_text
from shop.costing.labour import FORGE, Reached
from shop.costing.rate_values import BEFORE_CLASS, FINISH, Usual

WORDS = BEFORE_CLASS | {FORGE: "Forge", "finish_s": FINISH}


@dataclass(frozen=True)
class StepSum:
    """One step over all billets of a class: planned, written down, and usual for the rest."""

    name: str  # "cut_s" …
    usual_s: int  # a billet
    planned: int  # billets
    written: Mapping[int, int]  # seconds by person
    written_billets: int
    assumed: Mapping[int | None, int]  # billets that reached it without any, by who did it

    @property
    def word(self) -> str:
        """What the step is called."""
        return WORDS[self.name]

    @property
    def planned_s(self) -> int:
        """All billets at the usual time [s]."""
        return self.planned * self.usual_s

    @property
    def written_s(self) -> int:
        """What stands written down [s]."""
        return sum(self.written.values())

    @property
    def assumed_billets(self) -> int:
        """Billets that reached it, and nobody wrote any time down."""
        return sum(self.assumed.values())

    @property
    def assumed_s(self) -> int:
        """The usual time of billets that reached it without any [s]."""
        return self.assumed_billets * self.usual_s

    @property
    def real_s(self) -> int:
        """Written down, and the usual time for the rest [s]."""
        return self.written_s + self.assumed_s

    @property
    def planned_words(self) -> str:
        """Planned, in words."""
        return hours_text(self.planned_s) if self.planned_s else "–"

    @property
    def real_words(self) -> str:
        """As it was, in words."""
        return hours_text(self.real_s) if self.real_s else "–"

    @property
    def each_words(self) -> str:
        """What a billet took of those with time written down."""
        if not self.written_billets:
            return ""
        return hours_text(round(self.written_s / self.written_billets))

    @property
    def difference_words(self) -> str:
        """How much longer or shorter it took than planned."""
        over = self.real_s - self.planned_s
        if not self.real_s or not over:
            return ""
        return f"{hours_text(abs(over))} {'more' if over > 0 else 'less'}"

    @property
    def rests_on(self) -> str:
        """What the real time rests on."""
        parts = []
        if self.written_billets:
            parts.append(f"{self.written_billets} written down")
        if self.assumed_s:
            parts.append(f"{self.assumed_billets} at the usual minutes")
        return ", ".join(parts)


def step_sums(reached: Sequence[Reached], *, usual: Usual) -> tuple[StepSum, ...]:
    """Hours by step over these billets: cut, clean, weld, and what was forged and finished.

    Forging and finishing are not planned for a class, whose students do that; what the shop's own
    people wrote down is shown all the same.

    Args:
        reached: what was done to each billet.
        usual: the shop's usual times, which each billet was planned by.

    Returns:
        One for each step, in the order of the work.
    """
    planned = len(reached)
    found = []
    for name in WORDS:
        is_before = name in BEFORE_CLASS
        parts = [one.at(name) for one in reached]
        assumed = [
            one.steps[name] for one in reached if name in one.steps and not one.at(name).seconds
        ]
        found.append(
            StepSum(
                name=name,
                usual_s=getattr(usual, name) if is_before else 0,
                planned=planned if is_before else 0,
                written=by_person(parts),
                written_billets=sum(1 for part in parts if part.seconds),
                assumed=Counter(assumed) if is_before else {},
            )
        )
    return tuple(found)


def by_person(parts: Sequence[Worked]) -> dict[int, int]:
    """Written-down time by who worked [s]."""
    sums: dict[int, int] = defaultdict(int)
    for part in parts:
        for person, seconds in part.by_person.items():
            sums[person] += seconds
    return dict(sums)


def shown_steps(sums: Sequence[StepSum]) -> list[StepSum]:
    """Steps of which anything is planned or done.

    Args:
        sums: steps of one class.

    Returns:
        Those that a page shows, in their order.
    """
    return [one for one in sums if one.planned_s or one.real_s]
