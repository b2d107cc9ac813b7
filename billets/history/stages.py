"""Reads how far a billet has come; `billets.history.writing` writes its steps, and has these."""

from __future__ import annotations

from collections.abc import Collection

from billets.models import Billet, Step, StepKind
from stock.ledger.jobs import JobWords

ORDER = [
    StepKind.PLANNED,
    StepKind.CUT,
    StepKind.CLEANED,
    StepKind.WELDED,
    StepKind.BONDED,
    StepKind.DRAWN,
    StepKind.FINISHED,
]


def standing_steps(billet: Billet) -> list[Step]:
    """Steps that were not undone, oldest first."""
    rows = list(billet.steps.select_related("by").order_by("id"))
    undone = {row.undoes_id for row in rows if row.undoes_id}
    return [row for row in rows if not row.undoes_id and row.pk not in undone]


def stage(billet: Billet) -> str:
    """The stage that a billet has reached."""
    steps = standing_steps(billet)
    return steps[-1].kind if steps else StepKind.PLANNED


def next_stages(billet: Billet) -> list[str]:
    """What may be recorded next."""
    reached = stage(billet)
    if reached == StepKind.FAILED or reached == StepKind.FINISHED or billet.is_withdrawn:
        return []
    after = ORDER.index(StepKind(reached)) + 1
    return [ORDER[after], StepKind.FAILED]


def billets_named(numbers: Collection[int]) -> dict[int, JobWords]:
    """Billets by number, in one query."""
    rows = Billet.objects.filter(pk__in=numbers).only("mark")
    return {row.pk: JobWords(f"billet {row}", row.get_absolute_url()) for row in rows}
