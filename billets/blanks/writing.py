"""Cuts the blanks of a billet that is in no class: each from a piece that somebody chose.

The metal is set aside and cut in one transaction through `stock.ledger.set_asides`, so that the
blanks know where they came from; taking the cuts back frees it again.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from django.db import transaction

from billets.blanks.rows_on_a_sheet import Part, Sheared, is_kept, sheared
from billets.history import timed_steps
from billets.history import writing as history
from billets.history.writing import WorkshopError
from billets.models import Billet, Blank, StepKind
from stock.house import House
from stock.ledger import by_hand, set_asides
from stock.ledger.set_asides import Promise
from stock.models import Form, Piece, SetAside
from stock.quantities.areas import amount_text
from stock.who import Person

Kind = SetAside.Kind


class CannotCut(WorkshopError):
    """These blanks cannot be cut so; nothing was written."""


@transaction.atomic
def cut_blanks(
    *,
    billet: Billet,
    pieces: Mapping[int, Piece],
    kerf_nm: int,
    house: House,
    by: Person,
    minutes: int | None = None,
) -> Billet:
    """Cut every blank of a billet from the piece chosen for it, and record that it is cut.

    Args:
        billet: planned, none of its blanks promised or cut.
        pieces: the piece for each blank, by the blank's position.
        kerf_nm: of the saw, for bars; rolls and sheets are sheared.
        house: the shop's settings, for what is worth keeping.
        by: who cuts.
        minutes: how long it took, where somebody knows.

    Raises:
        HoursRefused: minutes beside a clock of one's own that runs for this very work.
        CannotCut: a blank has no piece, is promised already, or does not fit on its piece.
        NotEnough: a bar has less free than is cut off it.
    """
    held = Billet.objects.select_for_update().get(pk=billet.pk)
    blanks = list(held.blanks.all())
    refuse(held, blanks, pieces)
    by_piece: dict[int, list[Blank]] = {}
    for blank in blanks:
        by_piece.setdefault(pieces[blank.position].pk, []).append(blank)
    wanted: list[Promise] = []
    tied: list[Blank] = []
    for group in by_piece.values():
        wanted += promised(
            group,
            piece=pieces[group[0].position],
            at=len(wanted),
            kerf_nm=kerf_nm,
            house=house,
            mark=held.mark,
            job=held.job,
        )
        tied += group
    rows = set_asides.set_aside(plan=held.job, promises=wanted, by=by)
    for row in rows:
        set_asides.tick(set_aside=SetAside.objects.get(pk=row.pk), by=by)
    for blank, row in zip(tied, [row for row in rows if row.kind == Kind.BLANK], strict=True):
        blank.set_aside = row
    Blank.objects.bulk_update(tied, ["set_aside"])
    timed_steps.record_steps(
        billets=[held], kind=StepKind.CUT, by=by, note="cut by hand", minutes=minutes
    )
    return held


def refuse(billet: Billet, blanks: Sequence[Blank], pieces: Mapping[int, Piece]) -> None:
    """Refuse a billet that is past planning, or blanks without a piece."""
    if history.stage(billet) != StepKind.PLANNED or billet.is_withdrawn:
        raise CannotCut(f"{billet.mark} is not waiting to be cut. Reload the page.")
    if any(blank.set_aside_id for blank in blanks):
        raise CannotCut(f"Metal is set aside for {billet.mark} already: use its class's cut list.")
    missing = [str(blank.position + 1) for blank in blanks if blank.position not in pieces]
    if missing:
        raise CannotCut(f"Choose a piece for layer {', '.join(missing)} as well.")


def promised(
    blanks: Sequence[Blank],
    *,
    piece: Piece,
    at: int,
    kerf_nm: int,
    house: House,
    mark: str,
    job: str,
) -> list[Promise]:
    """Like blanks of one piece as promises, in the order in which they are cut.

    `at` is the place of the first promise among all of the billet's.
    """
    keep = piece.material.keep_from_nm
    keep_from_nm = house.keep_from_nm if keep is None else keep
    if piece.form == Form.FLAT:
        return sawn(
            blanks, piece=piece, kerf_nm=kerf_nm, keep_from_nm=keep_from_nm, mark=mark, job=job
        )
    if piece.form in (Form.ROLL, Form.SHEET):
        return shorn(blanks, piece=piece, at=at, keep_from_nm=keep_from_nm, mark=mark, job=job)
    raise CannotCut(f"{piece.mark} is {piece.material.get_form_display()}: no blank comes from it.")


def label(blank: Blank, mark: str) -> str:
    """What is painted on a blank."""
    return f"{mark}-{blank.position + 1}"


def sawn(
    blanks: Sequence[Blank],
    *,
    piece: Piece,
    kerf_nm: int,
    keep_from_nm: int,
    mark: str,
    job: str,
) -> list[Promise]:
    """Blanks off a bar; an end that is too short to keep is scrap of the same billet."""
    left_nm, rows = piece.free, []
    for number, blank in enumerate(blanks, start=1):
        left_nm -= blank.length_nm
        kerf = min(kerf_nm, max(0, left_nm))
        left_nm -= kerf
        rows.append(
            Promise(
                piece_id=piece.pk,
                kind=Kind.BLANK,
                amount=blank.length_nm + kerf,
                job=job,
                position=number,
                label=label(blank, mark),
                kerf_nm=kerf,
                length_nm=blank.length_nm,
                width_nm=blank.width_nm,
            )
        )
    if 0 < left_nm < keep_from_nm and piece.set_aside == 0:
        rows.append(
            Promise(
                piece_id=piece.pk,
                kind=Kind.REST,
                amount=left_nm,
                job=job,
                position=len(rows) + 1,
                label="scrap",
                length_nm=left_nm,
            )
        )
    return rows


def shorn(
    blanks: Sequence[Blank], *, piece: Piece, at: int, keep_from_nm: int, mark: str, job: str
) -> list[Promise]:
    """Blanks off a sheet, or off a strip taken from the end of a roll, with what is left."""
    is_roll = piece.form == Form.ROLL
    layout = laid(blanks, piece=piece)
    rows: list[Promise] = []
    parent = at if is_roll else None
    if is_roll:
        rows.append(
            Promise(
                piece_id=piece.pk,
                kind=Kind.STRIP,
                amount=layout.used_nm,
                job=job,
                position=0,
                label=f"strip off {piece.mark}",
                length_nm=layout.used_nm,
                width_nm=piece.material.width_nm,
            )
        )
    parts = zip(blanks, layout.blanks, strict=True)
    rows += [
        shear_promise(
            piece,
            part,
            kind=Kind.BLANK,
            job=job,
            position=number,
            parent=parent,
            words=label(blank, mark),
        )
        for number, (blank, part) in enumerate(parts, start=1)
    ]
    rests = list(layout.rests)
    if not is_roll and piece.length_nm > layout.used_nm:
        rests.append(Part(0, layout.used_nm, piece.width_nm, piece.length_nm - layout.used_nm))
    for number, part in enumerate(rests, start=len(blanks) + 1):
        keeps = is_kept(part, keep_from_nm=keep_from_nm)
        rows.append(
            shear_promise(
                piece,
                part,
                kind=Kind.REST,
                job=job,
                position=number,
                parent=parent,
                words="offcut" if keeps else "scrap",
                keeps=keeps,
            )
        )
    return rows


def laid(blanks: Sequence[Blank], *, piece: Piece) -> Sheared:
    """The layout of like blanks on a sheet or a roll."""
    material, first = piece.material, blanks[0]
    is_roll = piece.form == Form.ROLL
    layout = sheared(
        len(blanks),
        width_nm=first.width_nm,
        length_nm=first.length_nm,
        stock_width_nm=material.width_nm if is_roll else piece.width_nm,
        stock_length_nm=piece.free if is_roll else piece.length_nm,
        may_turn=not material.grain_matters,
    )
    if layout is None:
        size = " × ".join(amount_text(nm, form="flat") for nm in (first.width_nm, first.length_nm))
        raise CannotCut(
            f"{len(blanks)} blanks of {size} do not fit on {piece.mark}. Choose another piece for "
            "some of them."
        )
    return layout


def shear_promise(
    piece: Piece,
    part: Part,
    *,
    kind: str,
    job: str,
    position: int,
    parent: int | None,
    words: str,
    keeps: bool = False,
) -> Promise:
    """A rectangle of a sheet; on a strip that is still on its roll it has no amount of its own."""
    return Promise(
        piece_id=piece.pk,
        kind=kind,
        amount=part.area_nm2 if parent is None else 0,
        job=job,
        position=position,
        label=words,
        length_nm=part.length_nm,
        width_nm=part.width_nm,
        x_nm=part.x_nm,
        y_nm=part.y_nm,
        is_kept=keeps,
        parent=parent,
    )


def are_cut_by_hand(billet: Billet) -> bool:
    """Whether its blanks were cut outside any class."""
    rows = SetAside.objects.filter(plan=billet.job, state=SetAside.State.CUT)
    return rows.filter(kind=Kind.BLANK).exists()


@transaction.atomic
def put_back(*, billet: Billet, by: Person) -> None:
    """Take back the cuts of a billet that was cut by hand; its metal is on the rack again.

    Raises:
        CannotCut: it has gone further than cut.
        CannotUndo: an offcut of it was used since.
    """
    held = Billet.objects.select_for_update().get(pk=billet.pk)
    reached = history.stage(held)
    if reached != StepKind.CUT or not are_cut_by_hand(held):
        raise CannotCut(
            f"{held.mark} is {StepKind(reached).label}. Its cuts can be taken back only while it "
            "is cut and nothing more."
        )
    history.undo_step(billet=held, by=by)
    rows = SetAside.objects.filter(plan=held.job, state=SetAside.State.CUT).order_by("-id")
    for row in rows:
        entry = row.entries.filter(corrects=None, corrected_by=None).first()
        if entry is not None:
            by_hand.undo(act=entry.act, by=by, why=f"cuts of {held.mark} undone", restand=False)
    held.blanks.update(set_aside=None)
