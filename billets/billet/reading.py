"""Reads what the pages of billets show: the list, one billet's stages, size, record and metal."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from django.db.models import QuerySet

from billets.errors import ForgingError, length_words
from billets.forging.forecast import drawn_size
from billets.history import writing as history
from billets.history.record import block_of, shop_calibration
from billets.layup.case import case_of
from billets.models import Billet, Heat, Measurement, Step, StepKind
from billets.panel.figures import length_estimate, percent_text, width_estimate
from stock.house import House
from stock.ledger import jobs, marks
from stock.models import Entry, Form, Piece, SetAside, alloy_book

STAGE_ACTS = {
    StepKind.CUT: "It is cut",
    StepKind.CLEANED: "It is cleaned",
    StepKind.WELDED: "It is welded shut",
    StepKind.BONDED: "It is bonded",
    StepKind.DRAWN: "It is drawn out",
    StepKind.FINISHED: "It is finished",
}


@dataclass(frozen=True)
class Stage:
    """One stage of a billet on its page; `step` is who reached it and when."""

    word: str
    state: str  # "done", "now", "failed" or ""
    step: Step | None


@dataclass(frozen=True)
class Compared:
    """One size, predicted and measured."""

    word: str
    predicted: str
    measured: str
    off: str


def billets_found(*, stage: str, layup: str, query: str) -> QuerySet[Billet]:
    """Billets of a stage, a layup, a mark (or part of one); withdrawn ones only by their mark."""
    rows: QuerySet[Any] = Billet.objects.with_stage().select_related("by", "layup")
    if stage in StepKind.values:
        rows = rows.filter(reached=stage)
    if layup.isdecimal() and len(layup) < 12:
        rows = rows.filter(layup_id=int(layup))
    if query.strip():
        return rows.filter(mark__icontains=mark_typed(query))
    return rows.filter(is_withdrawn=False)


def mark_typed(text: str) -> str:
    """A mark as the books have it, or what was typed where no mark looks like that."""
    try:
        return marks.typed_mark(text)
    except marks.MarkError:
        plain = "".join(one for one in text if one.isprintable())
        return plain.strip().upper()[: marks.LONGEST_TYPED]


def stages(steps: Sequence[Step]) -> list[Stage]:
    """The stages in order, as far as a billet has come; a failure stands where it happened."""
    reached = {step.kind: step for step in steps}
    failed = reached.get(StepKind.FAILED)
    last = steps[-1].kind if steps else StepKind.PLANNED
    rows = []
    for kind in history.ORDER:
        step = reached.get(kind)
        state = "now" if kind == last else "done" if step else ""
        rows.append(Stage(StepKind(kind).label, state, step))
        if failed and kind == steps[-2].kind:
            word = f"failed: {failed.get_cause_display()}"
            rows.append(Stage(word, "failed", failed))
    return rows


def waiting_blanks(billet: Billet) -> tuple[int, int]:
    """Blanks without any metal, and blanks whose metal is promised and not cut yet."""
    blanks = list(billet.blanks.select_related("set_aside"))
    bare = sum(1 for blank in blanks if blank.set_aside is None)
    standing = SetAside.State.STANDING
    promised = sum(1 for one in blanks if one.set_aside and one.set_aside.state == standing)
    return bare, promised


def cut_list_of(billet: Billet) -> jobs.JobWords | None:
    """The plan that its uncut blanks are promised to, and where that is worked off."""
    plan = (
        SetAside.objects.filter(blank__billet=billet, state=SetAside.State.STANDING)
        .values_list("plan", flat=True)
        .first()
    )
    return jobs.words_of([plan]).get(plan) if plan else None


def is_cut_for(billet: Billet) -> bool:
    """Whether the ledger has anything cut for it, tied to its blanks or not."""
    cuts = Entry.objects.filter(job=billet.job, kind=Entry.Kind.BLANK)
    return cuts.filter(corrects=None, corrected_by=None).exists()


def spools() -> QuerySet[Piece]:
    """Spools with wire on them."""
    rows = Piece.objects.free().filter(material__form=Form.WIRE)
    return rows.select_related("material").order_by("place", "mark")


def heats_of(billet: Billet) -> list[Heat]:
    """The heat log with its struck lines."""
    return list(billet.heats.select_related("by", "struck_by").order_by("number", "id"))


def last_thickness_nm(billet: Billet) -> int | None:
    """Thickness after the last heat that stands and has one."""
    measured = billet.heats.filter(struck_at=None, thickness_nm__isnull=False)
    return measured.order_by("-number", "-id").values_list("thickness_nm", flat=True).first()


def last_size(billet: Billet) -> Measurement | None:
    """The size that counts."""
    return billet.measurements.select_related("by").order_by("-id").first()


def compared(billet: Billet, row: Measurement, *, house: House) -> tuple[list[Compared], int]:
    """The measured size beside the forecast of this billet, and how many heats that counts."""
    case = case_of(
        billet.design(), alloys=alloy_book(), house=house, calibration=shop_calibration(house)
    )
    try:
        drawn = drawn_size(case)
    except ForgingError:
        return [], 0
    predicted = drawn.finish
    rows = [
        _compared(word, said, getattr(predicted, name), getattr(block_of(row), name), house=house)
        for word, name, said in (
            ("Length", "length_mm", length_estimate),
            ("Width", "width_mm", width_estimate),
            ("Thickness", "thickness_mm", length_words),
        )
    ]
    return rows, len(drawn.stages)


def _compared(
    word: str, said: Callable[..., str], predicted_mm: float, measured_mm: float, *, house: House
) -> Compared:
    ratio = measured_mm / predicted_mm - 1
    sign = "+" if ratio > 0 else "−" if ratio < 0 else "±"
    return Compared(
        word,
        said(predicted_mm, system=house.system),
        length_words(measured_mm, system=house.system),
        f"{sign}{percent_text(abs(ratio))}",
    )
