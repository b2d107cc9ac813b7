"""Reads what the plan page shows of one computed plan: pieces to scale, stops, steps, totals."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TypedDict

from shop.models import ForgeClass, Seat
from shop.planning import metal
from shop.planning.cut_plan import (
    Changes,
    CutPlan,
    Part,
    PlannedPiece,
    PlannedRest,
    Shortage,
    Source,
    plan_changes,
)
from shop.planning.cut_steps import ShearStep, running_stops, shear_steps
from shop.planning.set_aside_writing import planned
from shop.words.numbers import counted
from stock.alloys.book import alloy_name
from stock.drawings.pieces import BarCuts, Cut, bar_cuts
from stock.drawings.sheets import SheetLayout, SheetPart, sheet_layout
from stock.house import House
from stock.models import Piece, SetAside, alloy_book

LONGER_THAN_ANY_NM = 10**12
NAMES_SHOWN = 6  # of those that a shortage hits


@dataclass(frozen=True)
class CutLine:
    """One blank in words: what for, how long, where the saw stands."""

    number: int
    name: str
    width_nm: int
    length_nm: int
    stop_nm: int


@dataclass(frozen=True)
class PieceView:
    """One piece of a plan, drawn and in words."""

    mark: str
    form: str
    place: str
    strip_nm: int
    left_nm: int
    bar: BarCuts | None
    sheet: SheetLayout | None
    cuts: tuple[CutLine, ...]
    steps: tuple[ShearStep, ...]
    kept: tuple[PlannedRest, ...]
    scrap: tuple[PlannedRest, ...]


@dataclass(frozen=True)
class PartView:
    """All like blanks: which alloy and section, what is proved, how much metal."""

    part: Part
    alloy_name: str
    pieces: tuple[PieceView, ...]
    blank_count: int
    taken_nm: int  # bars: with kerf and scrap; else length off rolls
    sheet_count: int

    @property
    def is_bar(self) -> bool:
        """Whether it is sawn; else it is sheared from sheets and rolls."""
        return self.part.form == "bar"


@dataclass(frozen=True)
class ShortView:
    """One kind of blank that is short."""

    short: Shortage
    alloy_name: str
    who: tuple[str, ...]


def need_names(forge_class: ForgeClass) -> dict[str, str]:
    """What each blank is called: by its billet's mark, or by its seat's number before that."""
    names = {}
    for seat in forge_class.seats.select_related("billet"):
        stem = seat.billet.mark if seat.billet else f"{'spare' if seat.is_spare else 'seat'} "
        stem += "" if seat.billet else str(seat.number)
        for position in range(64):
            names[f"{seat.pk}/{position}"] = f"{stem}-{position + 1}"
    return names


class PlanResult(TypedDict):
    """What a plan came to."""

    plan: CutPlan
    parts: list[PartView]
    shorts: list[ShortView]
    fit_count: int
    left_out: list[Seat]
    piece_count: int
    blank_count: int
    value_cents: int | None


def plan_context(plan: CutPlan, *, forge_class: ForgeClass, house: House) -> PlanResult:
    """Everything that the result of a plan shows."""
    names = need_names(forge_class)
    seats = {seat.pk: seat for seat in forge_class.seats.all()}
    parts = [part_view(part, names=names, house=house) for part in plan.parts]
    book = alloy_book()
    return PlanResult(
        plan=plan,
        parts=parts,
        shorts=[
            ShortView(one, alloy_name(one.alloy, book=book), who_is_short(one, seats))
            for one in plan.short
        ],
        fit_count=len(plan.fits),
        left_out=[seats[pk] for pk in plan.left_out if pk in seats],
        piece_count=len({piece.piece_id for piece in planned(plan)}),
        blank_count=sum(view.blank_count for view in parts),
        value_cents=taken_value_cents(plan) if house.sees_money else None,
    )


def who_is_short(short: Shortage, seats: Mapping[int, Seat]) -> tuple[str, ...]:
    """Whom a shortage keeps from being planned: the first few by name, the rest as a number."""
    ids = dict.fromkeys(int(need.split("/")[0]) for need in short.needs)
    found = [seats[pk] for pk in ids if pk in seats]
    names = [str(seat) for seat in found if not seat.is_spare]
    spares = len(found) - len(names)
    listed = names if len(names) <= NAMES_SHOWN else names[: NAMES_SHOWN - 1]
    more = len(names) - len(listed)
    listed += [counted(more, "more seat")] if more else []
    listed += [counted(spares, "spare")] if spares else []
    return tuple(listed)


def part_view(part: Part, *, names: Mapping[str, str], house: House) -> PartView:
    """One alloy and section of a plan."""
    longest = max((piece.before_nm for piece in part.pieces), default=0)
    pieces = tuple(
        piece_view(piece, part=part, names=names, house=house, scale_nm=longest)
        for piece in part.pieces
    )
    bars = [piece for piece in part.pieces if piece.form == "flat"]
    return PartView(
        part=part,
        alloy_name=alloy_name(part.alloy, book=alloy_book()),
        pieces=pieces,
        blank_count=sum(len(piece.cuts) for piece in part.pieces),
        taken_nm=sum(cut.amount for bar in bars for cut in bar.cuts)
        + sum(rest.amount for bar in bars for rest in bar.rests)
        + sum(piece.strip_nm for piece in part.pieces),
        sheet_count=sum(1 for piece in part.pieces if piece.form == "sheet"),
    )


def piece_view(
    piece: PlannedPiece, *, part: Part, names: Mapping[str, str], house: House, scale_nm: int
) -> PieceView:
    """One piece, drawn by its form."""
    is_bar = piece.form == "flat"
    stops = running_stops(
        [(cut.length_nm, max(cut.amount, cut.length_nm)) for cut in piece.cuts if is_bar],
        system=house.system,
    )
    lines = tuple(
        CutLine(
            number=index + 1,
            name=names.get(cut.need, cut.need),
            width_nm=cut.width_nm,
            length_nm=cut.length_nm,
            stop_nm=stops[index].stop_nm if is_bar else 0,
        )
        for index, cut in enumerate(piece.cuts)
    )
    corners = {
        (cut.x_nm, cut.y_nm, cut.width_nm, cut.length_nm): names.get(cut.need, cut.need)
        for cut in piece.cuts
    }
    return PieceView(
        mark=piece.mark,
        form=piece.form,
        place=piece.place,
        strip_nm=piece.strip_nm,
        left_nm=piece.left_nm,
        bar=bar_view(piece, lines, kerf_nm=part.kerf_nm, scale_nm=scale_nm) if is_bar else None,
        sheet=None if is_bar else sheet_view(piece, names=names),
        cuts=lines,
        steps=shear_steps(piece.shears, names=corners),
        kept=tuple(rest for rest in piece.rests if rest.is_kept),
        scrap=tuple(rest for rest in piece.rests if not rest.is_kept),
    )


def bar_view(
    piece: PlannedPiece, lines: tuple[CutLine, ...], *, kerf_nm: int, scale_nm: int
) -> BarCuts:
    """A bar to scale; its end is scrap only where the plan says so."""
    return bar_cuts(
        piece.before_nm,
        [Cut(mark=line.name, length_nm=line.length_nm) for line in lines],
        kerf_nm=kerf_nm,
        keep_from_nm=LONGER_THAN_ANY_NM if piece.rests else 0,
        scale_nm=scale_nm,
    )


def sheet_view(piece: PlannedPiece, *, names: Mapping[str, str]) -> SheetLayout:
    """A sheet, or the strip off a roll, from above."""
    return sheet_layout(
        piece.width_nm,
        piece.strip_nm or piece.before_nm,
        placed=[
            SheetPart(names.get(cut.need, ""), cut.x_nm, cut.y_nm, cut.width_nm, cut.length_nm)
            for cut in piece.cuts
        ],
        left=[
            SheetPart("", rest.x_nm, rest.y_nm, rest.width_nm, rest.length_nm)
            for rest in piece.rests
            if rest.is_kept
        ],
        is_roll=piece.form == "roll",
    )


def taken_value_cents(plan: CutPlan) -> int:
    """What the metal of a plan is worth in the books; kept offcuts stay worth their share."""
    rows = {row.pk: row for row in Piece.objects.filter(pk__in=[p.piece_id for p in planned(plan)])}
    return sum(
        round(rows[piece.piece_id].value_cents * taken_share(piece, rows[piece.piece_id]))
        for piece in planned(plan)
        if piece.piece_id in rows
    )


def taken_share(piece: PlannedPiece, row: Piece) -> float:
    """The share of a piece that leaves the rack for good."""
    if not row.on_hand:
        return 0.0
    gone = sum(one.amount for one in piece.cuts)
    gone += sum(rest.amount for rest in piece.rests if not rest.is_kept)
    if piece.strip_nm:
        return piece.strip_nm / row.on_hand * gone / (piece.strip_nm * piece.width_nm)
    return gone / row.on_hand


def changes_against_standing(plan: CutPlan, *, forge_class: ForgeClass) -> Changes | None:
    """What a new plan changes; nothing when none stands."""
    standing = standing_sources(forge_class)
    if not standing:
        return None
    names = need_names(forge_class)
    new = {
        names.get(cut.need, cut.need): Source(piece.mark, cut.width_nm, cut.length_nm)
        for piece in planned(plan)
        for cut in piece.cuts
    }
    return plan_changes(standing, new)


def standing_sources(forge_class: ForgeClass) -> dict[str, Source]:
    """The blanks that stand and that planning again may move, by name."""
    rows = SetAside.objects.filter(
        plan=forge_class.plan_key, state=SetAside.State.STANDING, kind=SetAside.Kind.BLANK
    ).select_related("piece__material")
    return {
        row.label: Source(row.piece.mark, row.width_nm, row.length_nm)
        for row in rows
        if not metal.is_fixed(row)
    }
