"""Reads what the after-class page shows: a row a billet, planned against real metal, yield."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import NotRequired, TypedDict

from django.db.models import Q, QuerySet

from billets.layup import seam
from billets.models import Billet, Measurement, StepKind
from shop.after_class.writing import kept_share
from shop.billet_cost.planned import MetalKey
from shop.class_work import reading as class_work_reading
from shop.class_work.hours import StepSum, shown_steps
from shop.classes.reading import stages_of
from shop.models import ForgeClass, Seat
from stock.alloys.book import Book, alloy_name
from stock.house import House
from stock.models import Entry, Form, Material, Piece, SetAside, alloy_book
from stock.quantities.areas import amount_text

FLAT_FORMS = (Form.ROLL, Form.SHEET)


@dataclass(frozen=True)
class MetalLine:
    """One kind of metal: what the plan took and what the books say went."""

    name: str
    thickness_nm: int
    width_nm: int
    planned: str
    real: str
    difference: str
    is_more: bool
    cents: int


@dataclass(frozen=True)
class Yield:
    """What came of the billets, and of their metal."""

    begun: int
    sound: int
    failed: int
    measured: int
    kept_percent: float | None  # of the stack's volume, mean of the measured

    @property
    def sound_percent(self) -> int | None:
        """Sound ones of those that ended, in per cent."""
        ended = self.sound + self.failed
        return round(100 * self.sound / ended) if ended else None


def begun_seats(forge_class: ForgeClass) -> list[Seat]:
    """Seats with a billet, students first."""
    return [seat for seat in forge_class.seats.active().with_metal() if seat.billet is not None]


def latest_sizes(billets: Iterable[Billet]) -> dict[int, Measurement]:
    """The last size written down for each billet."""
    rows = Measurement.objects.filter(billet__in=list(billets)).order_by("id")
    return {row.billet_id: row for row in rows}


def spools() -> QuerySet[Piece]:
    """Spools with wire on them."""
    rows = Piece.objects.free().filter(material__form=Form.WIRE)
    return rows.select_related("material").order_by("place", "mark")


def spool_choices(house: House) -> list[tuple[str, str]]:
    """Spools as a choice: mark and what is left; the shop's usual wire first."""
    rows = sorted(spools(), key=lambda row: row.material.alloy != house.wire_alloy)
    return [
        (str(row.pk), f"{row.mark}, {amount_text(row.free, form='wire', system=house.system)} left")
        for row in rows
    ]


SummaryPart = TypedDict(  # by call, since one of the keys is a word of the language
    "SummaryPart",
    {
        "metal": list[MetalLine],
        "yield": Yield,
        "students": int,
        "steps": list[StepSum],
        "total_cents": NotRequired[int],
        "seat_cents": NotRequired[int | None],
        "sound_cents": NotRequired[int | None],
    },
)


def summary(forge_class: ForgeClass, *, house: House) -> SummaryPart:
    """Planned against real metal, yield, and what a seat's metal cost."""
    seats = begun_seats(forge_class)
    billets = [seat.billet for seat in seats if seat.billet]
    stages = stages_of(billets)
    lines = metal_lines(forge_class, billets, failed=failed_of(billets, stages), house=house)
    students = forge_class.seats.students().count()
    total = sum(line.cents for line in lines)
    context: SummaryPart = {
        "metal": lines,
        "yield": class_yield(billets, stages),
        "students": students,
        "steps": shown_steps(class_work_reading.sums_of(forge_class, billets)),
    }
    if house.sees_money:
        sound = context["yield"].sound
        context |= {
            "total_cents": total,
            "seat_cents": round(total / students) if students else None,
            "sound_cents": round(total / sound) if sound else None,
        }
    return context


def failed_of(billets: Sequence[Billet], stages: Mapping[int, StepKind]) -> list[Billet]:
    """Billets that failed."""
    return [one for one in billets if stages[one.pk] == StepKind.FAILED]


def class_yield(billets: Sequence[Billet], stages: Mapping[int, StepKind]) -> Yield:
    """How many began, came out sound or failed, and how much of their metal is left."""
    sizes = latest_sizes(billets)
    shares = [
        share
        for billet in billets
        if billet.pk in sizes and (share := kept_share(billet, sizes[billet.pk])) is not None
    ]
    values = list(stages.values())
    return Yield(
        begun=sum(1 for stage in values if stage != StepKind.PLANNED),
        sound=values.count(StepKind.FINISHED),
        failed=values.count(StepKind.FAILED),
        measured=len(shares),
        kept_percent=round(100 * sum(shares) / len(shares), 1) if shares else None,
    )


def key_of(material: Material) -> MetalKey:
    """Rolls and the sheets that come off them are one kind of metal."""
    if material.form in FLAT_FORMS:
        return material.alloy, "sheet", material.thickness_nm, 0
    return material.alloy or material.name, material.form, material.thickness_nm, material.width_nm


def metal_lines(
    forge_class: ForgeClass, billets: Sequence[Billet], *, failed: Sequence[Billet], house: House
) -> list[MetalLine]:
    """One line for each kind of metal that was planned or used."""
    book = alloy_book()
    planned = planned_amounts(forge_class, billets, failed=failed, house=house, alloys=book)
    real, cents = real_amounts(forge_class, billets)
    lines = []
    for key in sorted(planned.keys() | real.keys()):
        alloy, form, thickness, width = key
        more = real[key] - planned[key]
        lines.append(
            MetalLine(
                name=alloy_name(alloy, book=book),
                thickness_nm=thickness,
                width_nm=width,
                planned=amount_text(planned[key], form=form, system=house.system),
                real=amount_text(real[key], form=form, system=house.system),
                difference=amount_text(abs(more), form=form, system=house.system) if more else "",
                is_more=more > 0,
                cents=cents[key],
            )
        )
    return lines


def planned_amounts(
    forge_class: ForgeClass,
    billets: Sequence[Billet],
    *,
    failed: Sequence[Billet],
    house: House,
    alloys: Book,
) -> dict[MetalKey, int]:
    """What the plan took: blanks with kerf, scrap that it left, wire by estimate."""
    found: dict[MetalKey, int] = defaultdict(int)
    rows = SetAside.objects.filter(plan=forge_class.plan_key).exclude(kind=SetAside.Kind.STRIP)
    stands = ~Q(state=SetAside.State.FREED)
    for row in rows.filter(stands | let_go(failed)).select_related("piece__material"):
        if row.kind == SetAside.Kind.REST and row.is_kept:
            continue
        is_flat = row.piece.material.form in FLAT_FORMS
        amount = row.width_nm * row.length_nm if is_flat else row.amount
        found[key_of(row.piece.material)] += amount
    wire = sum(seam.wire_ug(billet.design(), house=house, alloys=alloys) for billet in billets)
    if wire:
        found[house.wire_alloy, "wire", 0, 0] += wire
    return found


def let_go(failed: Sequence[Billet]) -> Q:
    """Blanks that were planned, and set free again when their billet failed."""
    jobs = [one.job for one in failed]
    freed = Q(state=SetAside.State.FREED, freed_why=SetAside.Freed.FAILED)
    return freed & Q(kind=SetAside.Kind.BLANK, job__in=jobs)


def real_amounts(
    forge_class: ForgeClass, billets: Sequence[Billet]
) -> tuple[dict[MetalKey, int], dict[MetalKey, int]]:
    """What the ledger says went into the class's billets and its scrap, with its value."""
    jobs = [forge_class.plan_key, *(billet.job for billet in billets)]
    amounts: dict[MetalKey, int] = defaultdict(int)
    cents: dict[MetalKey, int] = defaultdict(int)
    # Added up here and not in SQL: square nanometres may pass 64 bits in a sum.
    for entry in Entry.objects.filter(job__in=jobs).select_related("piece__material"):
        key = key_of(entry.piece.material)
        amounts[key] -= entry.amount
        cents[key] -= entry.value_cents
    return amounts, cents
