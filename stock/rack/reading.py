"""Reads one piece as its page shows it: how much, promised to what, from where, gone where."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any, TypedDict

from django.db.models import Max, Q

from stock.alloys import book as alloys
from stock.alloys.book import alloy_name
from stock.drawings.pieces import PieceBar, PieceSize, piece_bars
from stock.house import House
from stock.ledger import jobs, receiving
from stock.ledger.jobs import JobWords
from stock.ledger_page.reading import ActWords, ReturnWords, acts_of_piece, return_words
from stock.materials.names import material_title, section_words
from stock.models import (
    LENGTH_FORMS,
    Entry,
    Form,
    Material,
    Piece,
    Purchase,
    SetAside,
    alloy_book,
)
from stock.output.qr_code import QrCode, qr_code
from stock.quantities import units
from stock.quantities.areas import amount_text
from stock.rack.rack_reading import SheetPicture, sheet_picture

WORDS = {
    Form.FLAT: "Bar", Form.ROUND: "Bar", Form.ROLL: "Roll", Form.SHEET: "Sheet",
    Form.WIRE: "Spool", Form.COUNTED: "Box",
}  # fmt: skip


@dataclass(frozen=True)
class Promised:
    """Metal of the piece that is set aside for something."""

    label: str
    amount: str
    job: JobWords | None
    plan: JobWords | None
    by: str
    at: Any


@dataclass(frozen=True)
class Offcut:
    """What was parted from the piece, and what is left of that."""

    piece: Piece
    size: str
    left: str  # empty when nothing is


def piece_word(piece: Piece) -> str:
    """What a thing of that form is called."""
    return WORDS[Form(piece.form)]


class PiecePage(TypedDict):
    """One piece, but for the forms of what can be done to it."""

    piece: Piece
    word: str
    title: str
    size: str
    figures: list[dict[str, str]]
    promised: list[Promised]
    bar: PieceBar | None
    sheet: SheetPicture | None
    offcuts: list[Offcut]
    acts: list[ActWords]
    purchase: Purchase | None
    sent_back: list[ReturnWords]
    made_by: JobWords | None
    latest: ActWords | None
    seen: int


def piece_page(piece: Piece, *, house: House) -> PiecePage:
    """All that the page of one piece shows, but its forms."""
    asides = list(
        piece.set_asides.filter(
            Q(state=SetAside.State.STANDING) | Q(state=SetAside.State.CUT)
        ).select_related("by")
    )
    standing = [row for row in asides if row.state == SetAside.State.STANDING]
    acts = acts_of_piece(piece, house=house)
    line = piece.line
    return PiecePage(
        piece=piece,
        word=piece_word(piece),
        title=material_title(piece.material, book=alloy_book(), system=house.system),
        size=size_text(piece, house=house),
        figures=figures_of(piece, house=house),
        promised=promised_of(standing, form=piece.form, house=house),
        bar=bar_of(piece, standing=standing),
        sheet=picture_of(piece, rows=asides),
        offcuts=offcuts_of(piece, house=house),
        acts=acts,
        purchase=line.purchase if line is not None and piece.cut_from_id is None else None,
        sent_back=returns_of(piece, house=house) if has_gone_back(acts, house=house) else [],
        made_by=jobs.words_of([piece.made_by]).get(piece.made_by),
        latest=latest_undoable(acts),
        seen=last_line(piece),
    )


def last_line(piece: Piece) -> int:
    """Number of its last line in the ledger: how new a page about it is."""
    return int(piece.entries.aggregate(last=Max("id"))["last"] or 0)


def size_text(piece: Piece, *, house: House) -> str:
    """The size that it came with: length of a bar, both sides of a sheet; else nothing."""
    if piece.form == Form.SHEET:
        return units.section_text((piece.width_nm, piece.length_nm), system=house.system)
    if piece.form in LENGTH_FORMS:
        return units.length_text(piece.length_nm, system=house.system)
    return ""


def figures_of(piece: Piece, *, house: House) -> list[dict[str, str]]:
    """On hand, free, set aside; with the other system beside what can be measured."""
    other = units.other_system(house.system)

    def figure(word: str, amount: int) -> dict[str, str]:
        first = amount_text(amount, form=piece.form, system=house.system)
        second = amount_text(amount, form=piece.form, system=other)
        return {"word": word, "text": first, "second": second if second != first else ""}

    found = [figure("on hand", piece.on_hand)]
    if piece.set_aside:
        found += [figure("free", piece.free), figure("set aside", piece.set_aside)]
    return found


def promised_of(rows: Iterable[SetAside], *, form: str, house: House) -> list[Promised]:
    """What stands set aside, in the order of cutting."""
    rows = list(rows)
    words = jobs.words_of([*(row.job for row in rows), *(row.plan for row in rows)])
    return [
        Promised(
            label=row.label or row.get_kind_display(),
            amount=promise_text(row, form=form, house=house),
            job=words.get(row.job),
            plan=words.get(row.plan) if row.plan != row.job else None,
            by=str(row.by),
            at=row.made_at,
        )
        for row in rows
    ]


def promise_text(row: SetAside, *, form: str, house: House) -> str:
    """Size of what is to be cut; without its kerf."""
    if form == Form.SHEET or (row.width_nm and not row.amount):
        return units.section_text((row.width_nm, row.length_nm), system=house.system)
    return amount_text(row.length_nm or row.amount, form=form, system=house.system)


def bar_of(piece: Piece, *, standing: Iterable[SetAside]) -> PieceBar | None:
    """A bar or a roll drawn by its length; gone ones are not drawn."""
    if piece.form not in LENGTH_FORMS or not piece.on_hand:
        return None
    asides = tuple(row.amount for row in standing if row.amount)
    return piece_bars([PieceSize(piece.mark, piece.on_hand, asides)]).bars[0]


def picture_of(piece: Piece, *, rows: Iterable[SetAside]) -> SheetPicture | None:
    """A sheet from above; gone ones are not drawn."""
    if piece.form != Form.SHEET or not piece.on_hand:
        return None
    return sheet_picture(piece, rows=list(rows), longest_nm=piece.length_nm)


def offcuts_of(piece: Piece, *, house: House) -> list[Offcut]:
    """Pieces parted from this one."""
    rows = piece.offcuts.select_related("material").order_by("id")
    return [
        Offcut(
            piece=row,
            size=size_text(row, house=house),
            left=amount_text(row.on_hand, form=row.form, system=house.system)
            if row.on_hand
            else "",
        )
        for row in rows
    ]


def has_gone_back(acts: Iterable[ActWords], *, house: House) -> bool:
    """Whether anything of it stands as sent back, and may be told with its credit."""
    sent = Entry.Kind.RETURNED.label
    standing = (act for act in acts if not act.is_off and not act.is_correction)
    return house.sees_money and any(line.kind == sent for act in standing for line in act.lines)


def returns_of(piece: Piece, *, house: House) -> list[ReturnWords]:
    """What of it went back to its supplier, and what was credited; for those who see money."""
    sent_back = receiving.standing().filter(piece=piece)
    return [return_words(row, house=house) for row in sent_back]


def latest_undoable(acts: Iterable[ActWords]) -> ActWords | None:
    """The last thing done to the piece, if it can be taken back here."""
    standing = [act for act in acts if not act.is_off and not act.is_correction]
    return standing[0] if standing and standing[0].can_undo else None


MOST_LABELS = 400


@dataclass(frozen=True)
class Label:
    """One label; `code` holds the address of the piece's page."""

    mark: str
    alloy: str  # the name of a counted thing
    section: str
    lot: str
    code: QrCode


def section_line(material: Material, *, system: str) -> str:
    """Form and section; a counted thing has neither."""
    if material.form == Form.COUNTED:
        return ""
    return f"{material.get_form_display()} {section_words(material, system=system)}".strip()


def labels_for(
    pieces: Sequence[Piece], *, address: Callable[[str], str], book: alloys.Book, house: House
) -> list[Label]:
    """One label a piece, in the order given.

    Args:
        pieces: read with their material.
        address: the whole address of a mark, as a phone in the shop can open it.
        book: names of alloys.
        house: the shop's units.
    """
    return [
        Label(
            mark=piece.mark,
            alloy=piece.material.name
            if piece.form == Form.COUNTED
            else alloy_name(piece.material.alloy, book=book),
            section=section_line(piece.material, system=house.system),
            lot=piece.heat_lot,
            code=qr_code(address(piece.mark)),
        )
        for piece in pieces
    ]
