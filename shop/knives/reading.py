"""Reads what the pages of knives show: the list, one knife's hours and parts, its card."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypedDict

from django.db.models import Exists, OuterRef, QuerySet

from billets.layup.work_time import hours_text, is_forgotten
from shop.knives import clock, share
from shop.knives import writing as knives_writing
from shop.knives.cost import seconds_of, standing_times, struck_times
from shop.models import Knife, KnifeTime, TreatmentStep
from stock.house import House
from stock.materials.names import material_title
from stock.models import CUT_FORMS, Entry, Form, Piece, alloy_book
from stock.who import Person


@dataclass(frozen=True)
class Taken:
    """One thing that was taken off the rack for a knife."""

    entry: Entry
    count: int
    is_cut: bool
    title: str


@dataclass(frozen=True)
class TimeLine:
    """One line of hours."""

    time: KnifeTime
    seconds: int

    @property
    def words(self) -> str:
        """Hours and minutes."""
        return hours_text(self.seconds)


@dataclass(frozen=True)
class KnifeLine:
    """One knife in the list."""

    knife: Knife
    hours: str


def knife_lines(rows: Sequence[Knife]) -> list[KnifeLine]:
    """Knives with their hours, in one more query."""
    sums: dict[int, int] = defaultdict(int)
    for time in KnifeTime.objects.filter(knife__in=rows, struck_at=None):
        sums[time.knife_id] += seconds_of(time)
    return [KnifeLine(row, hours_text(sums[row.pk]) if sums[row.pk] else "") for row in rows]


def knives(*, which: str) -> QuerySet[Knife]:
    """Knives in work, sold, come to nothing, or all of them."""
    rows = Knife.objects.select_related("billet", "by")
    if which == "sold":
        return rows.sold()
    if which == "lost":
        return rows.lost()
    return rows if which == "all" else rows.in_work()


def taken_of(knife: Knife, *, house: House) -> list[Taken]:
    """What stands booked to a knife, the latest first; kerf and scrap go with their cut."""
    undone = Entry.objects.filter(corrects=OuterRef("pk"))
    rows = (
        Entry.objects.filter(job=knife.job, corrects=None)
        .filter(kind__in=(Entry.Kind.USED, Entry.Kind.BLANK))
        .annotate(is_off=Exists(undone))
        .filter(is_off=False)
        .select_related("piece__material", "by")
    )
    book = alloy_book()
    return [
        Taken(
            entry=row,
            count=-row.amount,
            is_cut=row.piece.material.form in CUT_FORMS,
            title=material_title(row.piece.material, book=book, system=house.system),
        )
        for row in rows
    ]


class KnifeWork(TypedDict):
    """One knife as everybody sees it."""

    knife: Knife
    times: list[TimeLine]
    struck: list[tuple[KnifeTime, str]]
    total: str
    running: KnifeTime | None
    running_here: bool
    ran: str
    is_forgotten: bool
    runs_at_billets: clock.NowAt | None
    taken: list[Taken]
    place: str
    share: str
    treatments: list[knives_writing.TreatmentLine]
    treatment_steps: list[tuple[str, str]]
    treatment_warning: str


def knife_context(knife: Knife, *, person: Person, house: House) -> KnifeWork:
    """What everybody sees of one knife: no money."""
    times = [TimeLine(time, seconds_of(time)) for time in standing_times(knife)]
    running = KnifeTime.objects.filter(person=person, stopped_at=None).select_related("knife")
    mine = running.first()
    ran = seconds_of(mine) if mine else 0
    treatments = knives_writing.lines_of(knife)
    return KnifeWork(
        knife=knife,
        times=list(reversed(times)),
        struck=[(time, hours_text(seconds_of(time))) for time in struck_times(knife)],
        total=hours_text(sum(line.seconds for line in times)),
        running=mine,
        running_here=mine is not None and mine.knife_id == knife.pk,
        ran=hours_text(ran),
        is_forgotten=is_forgotten(ran),
        runs_at_billets=None if mine else clock.now_at(person),
        taken=taken_of(knife, house=house),
        place="knives",
        share=share.share_words(knife, house=house),
        treatments=treatments,
        treatment_steps=TreatmentStep.choices,
        treatment_warning=knives_writing.warning_of(knife, treatments, house=house),
    )


def parts() -> QuerySet[Piece]:
    """Boxes of counted things with something free."""
    rows = Piece.objects.free().filter(material__form=Form.COUNTED)
    return rows.select_related("material").order_by("material__name", "mark")


def bars() -> QuerySet[Piece]:
    """Bars with something free."""
    rows = Piece.objects.free().filter(material__form__in=(Form.FLAT, Form.ROUND))
    return rows.select_related("material").order_by("material__alloy", "mark")
