"""A cut plan as promises: one set-aside for each strip, blank and rest, in the order of cutting.

Used by `shop.planning.writing` inside its transaction. It leaves out whether a plan may be
confirmed.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence

from django.db.models import Max

from billets.models import Billet, Blank
from shop.models import ForgeClass
from shop.planning import metal
from shop.planning.cut_plan import CutPlan, PlannedCut, PlannedPiece, PlannedRest
from stock.ledger import set_asides
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
        piece_id=piece.piece_id,
        kind=SetAside.Kind.STRIP,
        amount=piece.strip_nm,
        job=plan_key,
        position=0,
        length_nm=piece.strip_nm,
        width_nm=piece.width_nm,
        label=f"strip off {piece.mark}",
    )


def blank_promise(
    piece: PlannedPiece, cut: PlannedCut, *, blank: Blank, number: int, parent: int | None
) -> Promise:
    """One blank; on a strip that is still on its roll it has no amount of its own."""
    return Promise(
        piece_id=piece.piece_id,
        kind=SetAside.Kind.BLANK,
        amount=cut.amount if parent is None else 0,
        job=blank.billet.job,
        position=number,
        label=f"{blank.billet.mark}-{blank.position + 1}",
        kerf_nm=cut.amount - cut.length_nm if piece.form == "flat" else 0,
        length_nm=cut.length_nm,
        width_nm=cut.width_nm,
        x_nm=cut.x_nm,
        y_nm=cut.y_nm,
        parent=parent,
    )


def rest_promise(
    piece: PlannedPiece, rest: PlannedRest, *, plan_key: str, number: int, parent: int | None
) -> Promise:
    """What is left: an offcut for the rack, or scrap."""
    return Promise(
        piece_id=piece.piece_id,
        kind=SetAside.Kind.REST,
        amount=rest.amount if parent is None else 0,
        job=plan_key,
        position=number,
        label="offcut" if rest.is_kept else "scrap",
        length_nm=rest.length_nm,
        width_nm=rest.width_nm,
        x_nm=rest.x_nm,
        y_nm=rest.y_nm,
        is_kept=rest.is_kept,
        parent=parent,
    )


def tie_blanks(rows: Sequence[SetAside], *, plan: CutPlan, blanks: dict[str, Blank]) -> None:
    """Let each blank know its set-aside; both come in the same order."""
    needs = [cut.need for piece in planned(plan) for cut in piece.cuts]
    cuts = [row for row in rows if row.kind == SetAside.Kind.BLANK]
    tied = []
    for row, need in zip(cuts, needs, strict=True):
        blanks[need].set_aside = row
        tied.append(blanks[need])
    Blank.objects.bulk_update(tied, ["set_aside"])


Freed = SetAside.Freed


def let_go(
    forge_class: ForgeClass,
    *,
    jobs: Collection[str] | None = None,
    is_all: bool = False,
    why: SetAside.Freed = Freed.PLAN,
) -> int:
    """Free what stands for a class; tells how many.

    Args:
        forge_class: whose.
        jobs: only the blanks of these billets.
        is_all: also what stands on part-cut sheets, which planning again would leave there.
        why: kept with what is freed.
    """
    rows = SetAside.objects.filter(
        plan=forge_class.plan_key, state=SetAside.State.STANDING
    ).select_related("piece__material")
    free = [
        row.pk
        for row in rows
        if (is_all or not metal.is_fixed(row)) and (jobs is None or row.job in jobs)
    ]
    if is_all:
        forget_freed(forge_class, jobs=jobs)
    return free_rows(free, why=why)


def forget_freed(forge_class: ForgeClass, *, jobs: Collection[str] | None) -> None:
    """Metal that failed billets let go is not theirs to take back once the plan is closed."""
    rows = SetAside.objects.filter(plan=forge_class.plan_key, state=SetAside.State.FREED)
    if jobs is not None:
        rows = rows.filter(job__in=jobs)
    Blank.objects.filter(set_aside__in=rows).update(set_aside=None)


def free_rows(ids: Sequence[int], *, why: SetAside.Freed = Freed.PLAN) -> int:
    """Free set-asides and let their blanks forget them."""
    count = set_asides.free(ids=ids, why=why)
    Blank.objects.filter(set_aside_id__in=ids, set_aside__state=SetAside.State.FREED).update(
        set_aside=None
    )
    return count


def take_back(forge_class: ForgeClass) -> int:
    """Set aside again what the end of a class freed, where it is still free; tells how many.

    Billets that failed since are left out, and so are blanks whose metal was freed before.
    """
    wanting = {
        f"{seat.billet.mark}-{blank.position + 1}": blank
        for seat in forge_class.seats.active().with_metal()
        if seat.billet is not None and not seat.has_failed
        for blank in seat.blanks_by_position().values()
        if blank.set_aside_id is None
    }
    rows = SetAside.objects.filter(plan=forge_class.plan_key, label__in=wanting)
    latest = rows.values("label").annotate(last=Max("pk")).values_list("last", flat=True)
    freed = SetAside.objects.filter(
        pk__in=list(latest), state=SetAside.State.FREED, freed_why=Freed.OVER
    )
    labels = dict(freed.values_list("pk", "label"))
    stood = set_asides.stand_again(ids=list(labels))
    for pk in stood:
        blank = wanting[labels[pk]]
        blank.set_aside_id = pk
        blank.save(update_fields=["set_aside"])
    return len(stood)
