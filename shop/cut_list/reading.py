"""Reads the cut list of a class: piece by piece in the order of least walking, cut by cut.

Stops are summed over the cuts of one confirmed plan on a bar, so that they stay as marked out
whatever is ticked first; `shop.planning.cut_steps` rounds them.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, TypedDict

from django.db.models import Q

from shop.models import ForgeClass, Seat
from shop.planning.cut_steps import running_stops
from stock.alloys.book import alloy_name
from stock.drawings.sheets import SheetLayout, SheetPart, sheet_layout
from stock.house import House
from stock.models import Entry, Form, Piece, SetAside, alloy_book

State, Kind = SetAside.State, SetAside.Kind


@dataclass
class CutRow:
    """One line of the list."""

    row: SetAside
    who: str
    stop_nm: int | None = None  # from the painted end; bars only
    new_mark: str = ""  # of the strip or offcut that the tick made
    by: str = ""
    at: Any = None
    is_next: bool = False

    @property
    def is_done(self) -> bool:
        """Whether the ledger has it."""
        return self.row.state == State.CUT

    @property
    def is_strip(self) -> bool:
        """Whether it is the length to take off a roll."""
        return self.row.kind == Kind.STRIP

    @property
    def is_blank(self) -> bool:
        """Whether it is a blank of a billet."""
        return self.row.kind == Kind.BLANK

    @property
    def is_bar(self) -> bool:
        """Whether it is sawn from a bar; else it is sheared."""
        return self.row.piece.form == Form.FLAT

    @property
    def waits(self) -> bool:
        """Whether its strip is still on the roll."""
        return not self.is_done and not self.is_strip and self.row.amount == 0


@dataclass
class CutPiece:
    """One piece to fetch, with its cuts in order."""

    piece: Piece
    source: Piece  # the roll, for a strip that came off it in this plan
    alloy_name: str
    rows: list[CutRow] = field(default_factory=list)
    is_touched: bool = False  # cut or counted outside this plan since it was confirmed
    sheet: SheetLayout | None = None

    @property
    def left(self) -> int:
        """Cuts that are not ticked yet."""
        return sum(1 for row in self.rows if not row.is_done)

    @property
    def waiting(self) -> list[CutRow]:
        """Cuts that cannot be made before the strip they lie on is off its roll."""
        return [row for row in self.rows if row.waits]

    @property
    def is_done(self) -> bool:
        """Whether everything on it is cut."""
        return self.left == 0

    @property
    def goes_first(self) -> tuple[bool, str, str, int]:
        """Where it stands in the walk: place, then mark; what is done comes last."""
        return self.is_done, self.source.place.casefold(), self.source.mark, self.piece.pk


class CutListPage(TypedDict):
    """The cuts of a class."""

    row: ForgeClass
    pieces: list[CutPiece]
    next: CutRow | None
    next_piece: CutPiece | None
    last: CutRow | None
    done: int
    all: int


def cut_list(forge_class: ForgeClass, *, house: House) -> CutListPage:
    """Everything that the cut list shows."""
    rows = standing_and_cut(forge_class)
    pieces = by_piece(rows, who=who_gets(forge_class), house=house)
    flat = [row for piece in pieces for row in piece.rows]
    following = next((row for row in flat if not row.is_done and not row.waits), None)
    if following is not None:
        following.is_next = True
    last = (
        Entry.objects.filter(set_aside__plan=forge_class.plan_key, corrects=None, corrected_by=None)
        .order_by("-id")
        .values_list("set_aside_id", flat=True)
        .first()
    )
    return CutListPage(
        row=forge_class,
        pieces=pieces,
        next=following,
        next_piece=next((one for one in pieces if following in one.rows), None),
        last=next((row for row in flat if row.row.pk == last), None),
        done=sum(1 for row in flat if row.is_done),
        all=len(flat),
    )


def standing_and_cut(forge_class: ForgeClass) -> list[SetAside]:
    """The set-asides of a class that count, in the order they were planned."""
    return list(
        SetAside.objects.filter(plan=forge_class.plan_key)
        .exclude(state=State.FREED)
        .select_related("piece__material", "piece__cut_from__material", "parent__piece")
        .order_by("id")
    )


def who_gets(forge_class: ForgeClass) -> dict[str, str]:
    """Who each billet is for, by its job."""
    seats = Seat.objects.filter(forge_class=forge_class).exclude(billet=None)
    return {seat.billet.job: str(seat) for seat in seats.select_related("billet") if seat.billet}


def by_piece(rows: Sequence[SetAside], *, who: Mapping[str, str], house: House) -> list[CutPiece]:
    """Rows under the piece that they are cut from, in the order of least walking."""
    ticks = ticks_of(rows)
    book = alloy_book()
    pieces: dict[int, CutPiece] = {}
    for row in rows:
        if row.piece_id not in pieces:
            source = row.piece
            if row.parent is not None and row.piece.cut_from is not None:
                source = row.piece.cut_from
            alloy = row.piece.material.alloy
            name = alloy_name(alloy, book=book)
            pieces[row.piece_id] = CutPiece(row.piece, source, name)
        line = CutRow(row, who.get(row.job, ""))
        tick(line, ticks.get(row.pk, ()))
        pieces[row.piece_id].rows.append(line)
    touched = touched_since(rows)
    for piece in pieces.values():
        piece.is_touched = piece.piece.pk in touched
        if piece.piece.form == Form.FLAT and not piece.is_touched:
            set_stops(piece.rows, house=house)
        elif piece.piece.form == Form.SHEET:
            piece.sheet = drawn(piece)
    return sorted(pieces.values(), key=lambda one: one.goes_first)


def ticks_of(rows: Sequence[SetAside]) -> dict[int, list[Entry]]:
    """The standing entries of each tick."""
    found: dict[int, list[Entry]] = defaultdict(list)
    entries = Entry.objects.filter(
        set_aside__in=[row.pk for row in rows if row.state == State.CUT],
        corrects=None,
        corrected_by=None,
    ).select_related("piece", "by")
    for entry in entries:
        if entry.set_aside_id is not None:
            found[entry.set_aside_id].append(entry)
    return found


def tick(line: CutRow, entries: Sequence[Entry]) -> None:
    """Who ticked a line and when, and the mark to paint on what came of it."""
    for entry in entries:
        line.by, line.at = str(entry.by), entry.at
        if entry.amount > 0:
            line.new_mark = entry.piece.mark


def set_stops(rows: Sequence[CutRow], *, house: House) -> None:
    """Running stops of the cuts that one plan made on a bar."""
    batches: dict[Any, list[CutRow]] = defaultdict(list)
    for row in rows:
        if row.is_blank:
            batches[row.row.made_at].append(row)
    for batch in batches.values():
        stops = running_stops(
            [(line.row.length_nm, max(line.row.amount, line.row.length_nm)) for line in batch],
            system=house.system,
        )
        for line, stop in zip(batch, stops, strict=True):
            line.stop_nm = stop.stop_nm


def touched_since(rows: Sequence[SetAside]) -> set[int]:
    """Pieces that something else was taken from since their cuts were set aside."""
    first = {
        row.piece_id: row.made_at for row in rows if row.parent_id is None and row.kind != Kind.REST
    }
    if not first:
        return set()
    plans = {row.plan for row in rows}
    entries = Entry.objects.filter(
        piece__in=first, at__gt=min(first.values()), corrects=None, corrected_by=None
    ).exclude(Q(set_aside__plan__in=plans))
    return {entry.piece_id for entry in entries if entry.at > first[entry.piece_id]}


def drawn(piece: CutPiece) -> SheetLayout | None:
    """A sheet, or a strip that is off its roll, from above."""
    sheet = piece.piece
    rows = [line.row for line in piece.rows if not line.is_strip]
    if not rows or not (sheet.width_nm and sheet.length_nm):
        return None
    return sheet_layout(
        sheet.width_nm,
        sheet.length_nm,
        placed=[part_of(row) for row in rows if row.kind == Kind.BLANK],
        left=[part_of(row) for row in rows if row.kind == Kind.REST and row.is_kept],
    )


def part_of(row: SetAside) -> SheetPart:
    """One set-aside where it lies on its sheet."""
    name = row.label if row.kind == Kind.BLANK else ""
    return SheetPart(name, row.x_nm, row.y_nm, row.width_nm, row.length_nm)
