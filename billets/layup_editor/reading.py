"""Reads what the list of layups shows: each with its stack, its worst finding, its window."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.db.models import Count

from billets.drawings.stack import StackDrawing, drawn_stack
from billets.findings import findings
from billets.layup.case import Case, case_of
from billets.models import Layup
from billets.panel.panel import WORDS
from stock.house import House
from stock.models import alloy_book


@dataclass(frozen=True)
class Strip:
    """One layer of the small drawing: place and height in per cent of the drawing, its metal."""

    y: float
    height: float
    kind: str


@dataclass(frozen=True)
class LayupCard:
    """One layup in the list."""

    layup: Layup
    drawing: StackDrawing | None
    strips: tuple[Strip, ...]
    height_nm: int
    floor_mdegc: int | None
    ceiling_mdegc: int | None
    level: str
    word: str
    billets: int


def cards(*, house: House, shows_retired: bool) -> list[LayupCard]:
    """Layups in use, or those put away."""
    rows = (
        Layup.objects.filter(is_retired=shows_retired)
        .prefetch_related("layers")
        .annotate(made=Count("billets"))
    )
    alloys = alloy_book()
    return [
        card(row, case_of(row.design(), alloys=alloys, house=house), made=row.made) for row in rows
    ]


def card(layup: Layup, case: Case, *, made: int) -> LayupCard:
    """One layup with what there is to know at a glance."""
    level = findings.worst(findings.findings(case)) or ""
    heats, drawing = case.window, drawn_stack(case)
    return LayupCard(
        layup=layup,
        drawing=drawing,
        strips=strips(drawing),
        height_nm=case.height_nm,
        floor_mdegc=heats.floor_mdegc if heats.is_open else None,
        ceiling_mdegc=heats.ceiling_mdegc if heats.is_open else None,
        level=level,
        word=WORDS.get(level, ""),
        billets=made,
    )


def strips(drawing: StackDrawing | None) -> tuple[Strip, ...]:
    """The stack as strips one under the other, in per cent of its drawn height."""
    rows: Sequence[tuple[float, str]] = (
        [(row.height_px, row.rect.kind) for row in drawing.rows] if drawing else []
    )
    whole, at, found = sum(height for height, _ in rows) or 1.0, 0.0, []
    for height, kind in rows:
        share = 100 * height / whole
        found.append(Strip(round(at, 2), round(share, 2), kind))
        at += share
    return tuple(found)
