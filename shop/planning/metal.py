"""Reads what a class needs and what the rack has free for it, as plain data for planning."""

from __future__ import annotations

import hashlib
from collections.abc import Collection, Iterable
from dataclasses import dataclass

from django.db.models import Sum

from shop.models import ForgeClass, Seat
from shop.planning.cut_plan import CutPlan, FreePiece, Need
from stock.house import House
from stock.materials.saw import kerf_nm
from stock.models import Form, Piece, SetAside

PLANNED_FORMS = (Form.FLAT, Form.ROLL, Form.SHEET)


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
    """Every blank that is still to be planned, seat by seat; failed billets need none."""
    needs: list[Need] = []
    for seat in seats:
        if seat.has_failed:
            continue
        blanks = seat.blanks_by_position()
        design = seat.design()
        materials = {row.position: row.material_id for row in seat.layup_used.layers.all()}
        materials |= {position: blank.material_id for position, blank in blanks.items()}
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
    kerf = kerf_nm()
    found = (as_free(one, own=own.get(one.pk, 0), house=house, kerf_nm=kerf) for one in rows)
    return [piece for piece in found if piece is not None]


def as_free(piece: Piece, *, own: int, house: House, kerf_nm: int = 0) -> FreePiece | None:
    """One piece as planning sees it; sheets only when they are whole and unpromised.

    A bar that carries cuts of another plan gives up one kerf more: its last cut must be whole.
    """
    material = piece.material
    free = piece.free + own
    is_shared = piece.form == Form.FLAT and piece.set_aside > own
    if piece.form == Form.SHEET:
        if piece.on_hand != piece.width_nm * piece.length_nm or free != piece.on_hand:
            return None
        width, length = piece.width_nm, piece.length_nm
    else:
        width, length = material.width_nm, free - (kerf_nm if is_shared else 0)
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
        is_shared=is_shared,
    )


@dataclass(frozen=True)
class Facts:
    """What every plan of a class rests on at one moment."""

    pieces: dict[int, tuple[int, int, int]]  # on hand, set aside, of that the class's own
    needs: tuple[Need, ...]


def facts(forge_class: ForgeClass) -> Facts:
    """The rack and the wants of a class as they are now; read before a plan is computed."""
    own = standing_of(forge_class.plan_key)
    rows = Piece.objects.standing().filter(material__form__in=PLANNED_FORMS)
    return Facts(
        pieces={row.pk: (row.on_hand, row.set_aside, own.get(row.pk, 0)) for row in rows},
        needs=tuple(needs_of(forge_class.seats.active().with_metal())),
    )


def rack_print(*, plan: CutPlan, facts: Facts) -> str:
    """A short print of what a plan rests on, to see whether any of it has changed since.

    These are the pieces that it uses, and the blanks of the seats that it is for.
    """
    used = sorted({piece.piece_id for part in plan.parts for piece in part.pieces})
    pieces = [(piece_id, facts.pieces.get(piece_id)) for piece_id in used]
    needs = [need for need in facts.needs if need.seat_id in plan.seats]
    return hashlib.sha256(repr((pieces, needs)).encode()).hexdigest()


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
