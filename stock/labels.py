"""Labels for pieces: a code that a phone opens the piece from, the mark large, what it is."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from stock import alloys
from stock.alloys import alloy_name
from stock.house import House
from stock.material_words import section_words
from stock.models import Form, Material, Piece
from stock.qr import QrCode, qr_code

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
