"""Reads what a class needs and what the rack has free for it, as plain data for planning."""

from __future__ import annotations

import hashlib
from collections.abc import Collection, Iterable
from dataclasses import replace

from django.db.models import Sum

from billets import layup as stack
from billets.models import Blank
from shop.cutplan import CutPlan, FreePiece, Need
from shop.models import ForgeClass, Seat
from stock.house import House
from stock.models import Form, Piece, Saw, SetAside

PLANNED_FORMS = (Form.FLAT, Form.ROLL, Form.SHEET)


def active_seats(forge_class: ForgeClass) -> list[Seat]:
    """Students first, then spares; cancelled seats are left out."""
    rows = forge_class.seats.filter(is_cancelled=False).select_related(
        "layup", "forge_class__layup", "billet__layup"
    )
    return list(rows.order_by("is_spare", "number"))


def seat_design(seat: Seat) -> stack.Design:
    """The design of a seat: its own layup or the class's, with its own blank size if set."""
    design = seat.layup_used.design()
    return replace(
        design,
        blank_length_nm=seat.blank_length_nm or design.blank_length_nm,
        blank_width_nm=seat.blank_width_nm or design.blank_width_nm,
    )


def is_fixed(row: SetAside | None) -> bool:
    """Whether a blank's metal stays as it is when the class is planned again.

    Cut ones stay. So do those on a sheet that is part cut, since what is left of it has no
    simple shape to plan on.
    """
    if row is None or row.state == SetAside.State.FREED:
        return False
    if row.state == SetAside.State.CUT:
        return True
    piece = row.piece
    return piece.form == Form.SHEET and piece.on_hand != piece.width_nm * piece.length_nm


def needs_of(seats: Iterable[Seat]) -> list[Need]:
    """Every blank that is still to be planned, seat by seat."""
    needs: list[Need] = []
    for seat in seats:
        blanks = blanks_by_position(seat)
        design = seat_design(seat)
        materials = {row.position: row.material_id for row in seat.layup_used.layers.all()}
        for position, layer in enumerate(design.layers):
            blank = blanks.get(position)
            if blank is not None and is_fixed(blank.set_aside):
                continue
            needs.append(
                Need(
                    seat_id=seat.pk,
                    position=position,
                    alloy=layer.alloy,
                    role=layer.role,
                    thickness_nm=layer.thickness_nm,
                    width_nm=design.blank_width_nm,
                    length_nm=design.blank_length_nm + design.cut_allowance_nm,
                    material_id=materials.get(position),
                )
            )
    return needs


def blanks_by_position(seat: Seat) -> dict[int, Blank]:
    """The blanks of a seat's billet, if it has one."""
    if seat.billet is None:
        return {}
    rows = seat.billet.blanks.select_related("set_aside__piece__material")
    return {blank.position: blank for blank in rows}


def standing_of(plan: str) -> dict[int, int]:
    """What a plan has set aside and could let go, by piece."""
    rows = SetAside.objects.filter(plan=plan, state=SetAside.State.STANDING).select_related(
        "piece__material"
    )
    own: dict[int, int] = {}
    for row in rows:
        if not is_fixed(row):
            own[row.piece_id] = own.get(row.piece_id, 0) + row.amount
    return own


def free_pieces(*, plan: str, house: House, alloys: Collection[str]) -> list[FreePiece]:
    """Metal of these alloys that a plan may use: free, or set aside by the plan itself."""
    own = standing_of(plan)
    rows = (
        Piece.objects.standing()
        .select_related("material")
        .filter(material__form__in=PLANNED_FORMS, material__alloy__in=alloys)
        .order_by("place", "mark")
    )
    found = (as_free(piece, own=own.get(piece.pk, 0), house=house) for piece in rows)
    return [piece for piece in found if piece is not None]


def as_free(piece: Piece, *, own: int, house: House) -> FreePiece | None:
    """One piece as planning sees it; sheets only when they are whole and unpromised."""
    material = piece.material
    free = piece.free + own
    if piece.form == Form.SHEET:
        if piece.on_hand != piece.width_nm * piece.length_nm or free != piece.on_hand:
            return None
        width, length = piece.width_nm, piece.length_nm
    else:
        width, length = material.width_nm, free
    if length <= 0:
        return None
    return FreePiece(
        piece_id=piece.pk,
        mark=piece.mark,
        material_id=material.pk,
        form=material.form,
        alloy=material.alloy,
        thickness_nm=material.thickness_nm,
        width_nm=width,
        length_nm=length,
        keep_from_nm=material.keep_from_nm
        if material.keep_from_nm is not None
        else house.keep_from_nm,
        grain_matters=material.grain_matters,
        place=piece.place,
    )


def kerf_nm() -> int:
    """Kerf of the saw that the shop usually cuts bars with."""
    saw = Saw.objects.filter(is_usual=True).first() or Saw.objects.first()
    return saw.kerf_nm if saw else 0


def rack_print(*, plan: CutPlan, plan_key: str) -> str:
    """A short print of the pieces that a plan uses, to see whether one has changed since."""
    used = {piece.piece_id for part in plan.parts for piece in part.pieces}
    own = standing_of(plan_key)
    rows = Piece.objects.filter(pk__in=used).order_by("pk")
    state = [(row.pk, row.on_hand, row.set_aside, own.get(row.pk, 0)) for row in rows]
    return hashlib.sha256(repr(state).encode()).hexdigest()


def set_aside_value_cents(plan: str) -> int:
    """What the metal that stands set aside for a plan is worth, by share of its pieces."""
    rows = (
        SetAside.objects.filter(plan=plan, state=SetAside.State.STANDING, amount__gt=0)
        .values("piece__value_cents", "piece__on_hand")
        .annotate(asked=Sum("amount"))
    )
    return sum(
        round(row["piece__value_cents"] * row["asked"] / row["piece__on_hand"])
        for row in rows
        if row["piece__on_hand"]
    )
