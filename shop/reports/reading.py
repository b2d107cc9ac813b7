"""Reads what the reports rest on: entries of the ledger, who used them, outcomes by layup."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Any

from django.db.models import Max, Min, OuterRef, QuerySet, Subquery, Sum
from django.utils import timezone
from django.utils.dateformat import format as date_format

from billets.models import Billet, Step, StepKind
from shop.models import ForgeClass, Seat
from shop.reports.metal_used import Use, UsedCell, cells, mass_ug
from shop.reports.span import ALL_DAYS, Span
from shop.yields.like_billets import ENDED
from shop.yields.record import Record, share_interval
from stock.alloys.book import alloy_name
from stock.house import House
from stock.ledger import receiving
from stock.ledger.valuation import Bought, Move, Used
from stock.materials.names import material_title
from stock.models import Entry, Material, alloy_book
from stock.quantities.areas import amount_text

USED = (Entry.Kind.BLANK, Entry.Kind.KERF, Entry.Kind.SCRAP, Entry.Kind.USED)
SCRAP = (Entry.Kind.KERF, Entry.Kind.SCRAP)
STEEL_KG_M3 = 7850  # EN 1993-1-2, for an alloy that the book has lost
FIELDS = ("at", "kind", "amount", "value_cents", "job", "piece__material")


@dataclass(frozen=True)
class YieldRow:
    """Outcomes of one layup: the share that is sound lies between low and high, nine in ten."""

    layup: str
    record: Record

    @property
    def failed(self) -> int:
        """Those that failed."""
        return self.record.made - self.record.sound

    @property
    def share(self) -> Fraction:
        """Sound of those made."""
        return Fraction(self.record.sound, self.record.made)

    @property
    def low(self) -> Fraction:
        """Lower end."""
        return share_interval(self.record)[0]

    @property
    def high(self) -> Fraction:
        """Upper end."""
        return share_interval(self.record)[1]


@dataclass(frozen=True)
class Went:
    """Where money that was paid for metal is now."""

    name: str
    cents: int


@dataclass(frozen=True)
class Return:
    """Metal that went back to its supplier: its value in the books, and what was credited."""

    day: date
    supplier: str
    mark: str
    amount: str
    value_cents: int
    credit_cents: int
    why: str

    @property
    def lost_cents(self) -> int:
        """What the shop is out of pocket by it; below 0 where the credit is above its value."""
        return self.value_cents - self.credit_cents


def users() -> dict[str, str]:
    """The class of each billet's job, in words, and of each class's own job."""
    seats = Seat.objects.exclude(billet=None).select_related("forge_class")
    found = {f"billet:{seat.billet_id}": class_words(seat.forge_class) for seat in seats}
    return found | {row.plan_key: class_words(row) for row in ForgeClass.objects.all()}


def class_words(row: ForgeClass) -> str:
    """A class with its day, since titles come again."""
    return f"{row.title}, {date_format(row.starts_on, 'j M Y')}"


def user_words(job: str, classes: dict[str, str]) -> str:
    """Who used it."""
    if job in classes:
        return classes[job]
    kinds = {"billet": "other billets", "knife": "knives", "class": "other billets"}
    return kinds.get(job.partition(":")[0], "the shop itself")


def used_cells(*, span: Span = ALL_DAYS) -> tuple[UsedCell, ...]:
    """Metal used in some days, or ever."""
    rows = Entry.objects.filter(kind__in=USED).exclude(piece__material__alloy="")
    return cells(uses_of(within(rows, span=span, field="at")))


def within(rows: QuerySet[Any], *, span: Span, field: str) -> QuerySet[Any]:
    """Rows of some days, in the shop's time zone."""
    if span.first is not None:
        rows = rows.filter(**{f"{field}__date__gte": span.first})
    if span.last is not None:
        rows = rows.filter(**{f"{field}__date__lte": span.last})
    return rows


def failed_jobs() -> set[str]:
    """Jobs of the billets that failed."""
    billets: QuerySet[Any] = Billet.objects.with_stage()
    failed = billets.filter(reached=StepKind.FAILED)
    return {f"billet:{key}" for key in failed.values_list("pk", flat=True)}


def uses_of(rows: QuerySet[Entry]) -> Iterable[Use]:
    """Entries as uses of metal, like ones added up; what was taken back has both signs."""
    classes, book, failed = users(), alloy_book(), failed_jobs()
    metals = {row.pk: row for row in Material.objects.all()}
    for (month, kind, job, key), (amount, cents) in added_up(rows).items():
        metal = metals[key]
        density = book[metal.alloy].density_kg_m3.value if metal.alloy in book else STEEL_KG_M3
        yield Use(
            month=month,
            alloy=alloy_name(metal.alloy, book=book),
            user=user_words(job, classes),
            mass_ug=mass_ug(
                -amount,
                form=metal.form,
                section_nm2=metal.area_nm2,
                thickness_nm=metal.thickness_nm,
                kg_m3=Fraction(density),
            ),
            cents=-cents,
            is_scrap=kind in SCRAP,
            is_failed=job in failed,
        )


def added_up(rows: QuerySet[Entry]) -> dict[tuple[str, str, str, int], list[int]]:
    """Amount and value of each month, kind, job and material.

    Here and not in the database, whose sums of square nanometres run over.
    """
    sums: dict[tuple[str, str, str, int], list[int]] = defaultdict(lambda: [0, 0])
    zone = timezone.get_current_timezone()
    for at, kind, amount, cents, job, key in rows.values_list(*FIELDS).iterator():
        day = at.astimezone(zone)
        found = sums[f"{day.year}-{day.month:02d}", kind, job, key]
        found[0] += amount
        found[1] += cents
    return sums


def years() -> list[int]:
    """Years from the ledger's first to its last, the latest first."""
    ends = Entry.objects.aggregate(first=Min("at"), last=Max("at"))
    if ends["first"] is None:
        return []
    first, last = (timezone.localtime(ends[name]).year for name in ("first", "last"))
    return list(range(last, first - 1, -1))


def yield_rows(*, span: Span = ALL_DAYS) -> list[YieldRow]:
    """Each layup's outcomes, by name, of billets that ended in some days."""
    sound: dict[str, int] = defaultdict(int)
    made: dict[str, int] = defaultdict(int)
    billets: QuerySet[Any] = Billet.objects.with_stage()
    standing = Step.objects.filter(billet=OuterRef("pk"), undoes=None, undone_by=None)
    ended = billets.filter(reached__in=ENDED).annotate(
        ended_at=Subquery(standing.order_by("-id").values("at")[:1])
    )
    rows = within(ended, span=span, field="ended_at")
    for layup, reached in rows.values_list("layup_name", "reached"):
        made[layup] += 1
        sound[layup] += reached == StepKind.FINISHED
    return [YieldRow(name, Record(sound[name], made[name])) for name in sorted(made)]


def worth_before(span: Span) -> int:
    """What was on the rack before some days began [minor units]; nothing before all days."""
    if span.first is None:
        return 0
    rows = Entry.objects.filter(at__date__lt=span.first)
    return rows.aggregate(worth=Sum("value_cents"))["worth"] or 0


def where_it_went(*, span: Span = ALL_DAYS) -> tuple[int, list[Went], int]:
    """What was paid for metal, where it went, and what is on the rack then [minor units]."""
    sums: dict[str, int] = defaultdict(int)
    paid, rack = 0, worth_before(span)
    classes = users()
    rows = within(Entry.objects.all(), span=span, field="at")
    for row in rows.values("kind", "job").annotate(worth=Sum("value_cents")).order_by():
        kind, worth = row["kind"], row["worth"]
        rack += worth
        if kind == Entry.Kind.RECEIVED:
            paid += worth
        else:
            sums[bucket(kind, row["job"], classes)] -= worth
    went = [Went(name, sums[name]) for name in BUCKETS if sums[name]]
    return paid, went, rack


BUCKETS = (
    "Billets of classes", "Other billets", "Bars made here, back on the rack", "Knives",
    "Scrap and kerf of classes", "Other scrap and kerf", "Used in the shop", "Counted away",
    "Sent back to suppliers",
)  # fmt: skip


def bucket(kind: str, job: str, classes: dict[str, str]) -> str:
    """Where the value of an entry went; kerf goes with the billet that it was sawn for."""
    prefix = job.partition(":")[0]
    if kind == Entry.Kind.MADE:
        return "Bars made here, back on the rack"
    if kind == Entry.Kind.COUNTED:
        return "Counted away"
    if kind == Entry.Kind.RETURNED:
        return "Sent back to suppliers"
    if prefix == "billet":
        return "Billets of classes" if job in classes else "Other billets"
    if prefix == "knife":
        return "Knives"
    if prefix == "class":
        return "Scrap and kerf of classes"
    return "Other scrap and kerf" if kind in SCRAP else "Used in the shop"


def moves_of(material: Material) -> list[Move]:
    """What came of a material and what went, an act at a time; what was undone never was.

    What went back to its supplier is taken off what came with it: it was not used.
    """
    acts: dict[Any, list[int]] = defaultdict(lambda: [0, 0])
    came: dict[int, Any] = {}  # the act that a line came with
    rows = Entry.objects.filter(piece__material=material, corrects=None, corrected_by=None)
    for kind, line, act, amount, cents in rows.order_by("id").values_list(
        "kind", "piece__line", "act", "amount", "value_cents"
    ):
        if kind == Entry.Kind.RECEIVED:
            came[line] = act
        of_act = came.get(line, act) if kind == Entry.Kind.RETURNED else act
        acts[of_act][0] += amount
        acts[of_act][1] += cents
    moves: list[Move] = []
    for amount, cents in acts.values():
        if amount > 0:
            moves.append(Bought(amount, cents))
        elif amount < 0:
            moves.append(Used(-amount, -cents))
    return moves


def material_titles(*, house: House) -> list[tuple[int, str]]:
    """Materials that were ever bought, in the words of the trade."""
    book = alloy_book()
    rows = Material.objects.filter(pieces__entries__isnull=False).distinct()
    return [(row.pk, material_title(row, book=book, system=house.system)) for row in rows]


def returns(*, house: House, span: Span = ALL_DAYS) -> list[Return]:
    """What went back to suppliers in some days and was not undone, the latest first."""
    return [
        Return(
            day=row.day,
            supplier=row.line.purchase.supplier.name,
            mark=row.piece.mark,
            amount=amount_text(row.amount, form=row.piece.form, system=house.system),
            value_cents=row.value_cents,
            credit_cents=row.credit_cents,
            why=row.why,
        )
        for row in receiving.standing()
        if span.holds(row.day)
    ]
