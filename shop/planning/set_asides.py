"""A cut plan as promises: one set-aside for each strip, blank and rest, in the order of cutting.

Used by `shop.planning.writing` inside its transaction. It leaves out whether a plan may be
confirmed.
"""

from __future__ import annotations

from collections.abc import Sequence

from billets.models import Billet, Blank
from shop.planning.cut_plan import CutPlan, PlannedCut, PlannedPiece, PlannedRest
from stock.ledger.set_asides import Promise
from stock.models import SetAside


def planned(plan: CutPlan) -> list[PlannedPiece]:
    """All planned pieces of a plan, in order."""
    return [piece for part in plan.parts for piece in part.pieces]


def blanks_of(billets: dict[int, Billet]) -> dict[str, Blank]:
    """Blanks by the name that plans give them."""
    return {
        f"{seat_id}/{blank.position}": blank
        for seat_id, billet in billets.items()
        for blank in billet.blanks.select_related("billet")
    }


def promises_of(plan: CutPlan, *, blanks: dict[str, Blank], plan_key: str) -> list[Promise]:
    """A plan as promises: each strip before its blanks, the rests last."""
    rows: list[Promise] = []
    for piece in planned(plan):
        parent = None
        if piece.strip_nm:
            parent = len(rows)
            rows.append(strip_promise(piece, plan_key=plan_key))
        rows += [
            blank_promise(piece, cut, blank=blanks[cut.need], number=number, parent=parent)
            for number, cut in enumerate(piece.cuts, start=1)
        ]
        rows += [
            rest_promise(piece, rest, plan_key=plan_key, number=number, parent=parent)
            for number, rest in enumerate(piece.rests, start=len(piece.cuts) + 1)
        ]
    return rows


def strip_promise(piece: PlannedPiece, *, plan_key: str) -> Promise:
    """The length to take off a roll."""
    return Promise(
        piece_id=piece.piece_id, kind=SetAside.Kind.STRIP, amount=piece.strip_nm, job=plan_key,
        position=0, length_nm=piece.strip_nm, width_nm=piece.width_nm,
        label=f"strip off {piece.mark}",
    )  # fmt: skip


def blank_promise(
    piece: PlannedPiece, cut: PlannedCut, *, blank: Blank, number: int, parent: int | None
) -> Promise:
    """One blank; on a strip that is still on its roll it has no amount of its own."""
    return Promise(
        piece_id=piece.piece_id, kind=SetAside.Kind.BLANK,
        amount=cut.amount if parent is None else 0, job=blank.billet.job, position=number,
        label=f"{blank.billet.mark}-{blank.position + 1}",
        kerf_nm=cut.amount - cut.length_nm if piece.form == "flat" else 0,
        length_nm=cut.length_nm, width_nm=cut.width_nm, x_nm=cut.x_nm, y_nm=cut.y_nm,
        parent=parent,
    )  # fmt: skip


def rest_promise(
    piece: PlannedPiece, rest: PlannedRest, *, plan_key: str, number: int, parent: int | None
) -> Promise:
    """What is left: an offcut for the rack, or scrap."""
    return Promise(
        piece_id=piece.piece_id, kind=SetAside.Kind.REST,
        amount=rest.amount if parent is None else 0, job=plan_key, position=number,
        label="offcut" if rest.is_kept else "scrap", length_nm=rest.length_nm,
        width_nm=rest.width_nm, x_nm=rest.x_nm, y_nm=rest.y_nm, is_kept=rest.is_kept,
        parent=parent,
    )  # fmt: skip


def tie_blanks(rows: Sequence[SetAside], *, plan: CutPlan, blanks: dict[str, Blank]) -> None:
    """Let each blank know its set-aside; both come in the same order."""
    needs = [cut.need for piece in planned(plan) for cut in piece.cuts]
    cuts = [row for row in rows if row.kind == SetAside.Kind.BLANK]
    tied = []
    for row, need in zip(cuts, needs, strict=True):
        blanks[need].set_aside = row
        tied.append(blanks[need])
    Blank.objects.bulk_update(tied, ["set_aside"])
