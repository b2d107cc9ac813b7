"""Reads which pieces the blanks of a billet could be cut from, and proposes one for each."""

from __future__ import annotations

from dataclasses import dataclass

from billets.blanks.metal_choices import LAYER_FORMS
from billets.models import Billet, Blank
from stock.house import House
from stock.materials.matching import is_stock_for
from stock.models import Form, Piece
from stock.quantities.by_form import amount_text

MOST_PIECES = 300


@dataclass(frozen=True)
class BlankChoices:
    """One blank and the pieces that it could come from; `usual` is the one proposed."""

    blank: Blank
    pieces: tuple[Piece, ...]
    usual: Piece | None


def choices_for(billet: Billet) -> list[BlankChoices]:
    """Every blank with its matching free pieces, short ends first, so that they are used up."""
    blanks = list(billet.blanks.select_related("material"))
    rows = (
        Piece.objects.free()
        .select_related("material")
        .filter(material__form__in=LAYER_FORMS, material__alloy__in={one.alloy for one in blanks})
        .order_by("on_hand", "mark")[:MOST_PIECES]
    )
    pieces = [piece for piece in rows if is_whole(piece)]
    left = {piece.pk: piece.free for piece in pieces}
    found = []
    for blank in blanks:
        fitting = tuple(piece for piece in pieces if fits(blank, piece))
        usual = next((piece for piece in fitting if takes(blank, piece, left)), None)
        if usual is not None:
            left[usual.pk] -= need_of(blank, usual)
        found.append(BlankChoices(blank, fitting, usual))
    return found


def is_whole(piece: Piece) -> bool:
    """Whether it can be cut by hand: a sheet only while nothing is cut from it or promised."""
    return piece.form != Form.SHEET or piece.free == piece.width_nm * piece.length_nm


def fits(blank: Blank, piece: Piece) -> bool:
    """Whether a blank can come from a piece: alloy, section, length; only its own stock if tied."""
    material = piece.material
    is_tied = blank.material_id is not None and blank.material_id != material.pk
    is_offcut = piece.form == Form.SHEET and material.alloy == blank.alloy
    if material.alloy != blank.alloy or (is_tied and not is_offcut):
        return False
    if not is_stock_for(
        form=material.form,
        thickness_nm=material.thickness_nm,
        width_nm=material.width_nm,
        wanted_thickness_nm=blank.thickness_nm,
        wanted_width_nm=blank.width_nm,
    ):
        return False
    return is_long_enough(blank, piece)


def is_long_enough(blank: Blank, piece: Piece) -> bool:
    """Whether one blank lies on the piece, either way round on a sheet or a roll."""
    if piece.form == Form.FLAT:
        return blank.length_nm <= piece.free
    is_roll = piece.form == Form.ROLL
    wide = piece.material.width_nm if is_roll else piece.width_nm
    long = piece.free if is_roll else piece.length_nm
    ways = [(blank.width_nm, blank.length_nm), (blank.length_nm, blank.width_nm)]
    may = ways[:1] if piece.material.grain_matters else ways
    return any(across <= wide and along <= long for across, along in may)


def need_of(blank: Blank, piece: Piece) -> int:
    """What a blank takes of a piece, about: for proposing only."""
    if piece.form == Form.FLAT:
        return blank.length_nm
    if piece.form == Form.ROLL:
        return blank.width_nm * blank.length_nm // max(1, piece.material.width_nm)
    return blank.width_nm * blank.length_nm


def takes(blank: Blank, piece: Piece, left: dict[int, int]) -> bool:
    """Whether the piece still has room after what was proposed from it so far."""
    return need_of(blank, piece) <= left[piece.pk]


def piece_words(piece: Piece, *, house: House) -> str:
    """A piece in a list: mark, what is free, where it lies."""
    if piece.form == Form.SHEET:
        sizes = (piece.width_nm, piece.length_nm)
        free = " × ".join(amount_text(nm, form="flat", system=house.system) for nm in sizes)
    else:
        free = amount_text(piece.free, form=piece.form, system=house.system) + " free"
    place = f" · {piece.place}" if piece.place else ""
    lot = f" · lot {piece.heat_lot}" if piece.heat_lot else ""
    return f"{piece.mark} · {piece.material.get_form_display()} · {free}{place}{lot}"
