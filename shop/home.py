"""Reads what the first page shows: the next classes, cuts waiting, billets in work."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from django.utils import timezone

from billets import workshop
from billets.models import Billet
from shop import planning
from shop.models import ForgeClass
from stock.house import House
from stock.models import Material, Piece, SetAside

LATELY = timedelta(days=120)


def home_figures(*, house: House) -> dict[str, Any]:
    """Everything the first page needs."""
    today = timezone.localdate()
    rows = ForgeClass.objects.filter(ends_on__gte=today).exclude(state="cancelled")
    coming = list(rows.select_related("layup").order_by("starts_on")[:6])
    return {
        "today": today,
        "classes": [class_line(row, today=today) for row in coming],
        "in_work": in_work(),
        "piece_count": Piece.objects.standing().count(),
        "material_count": Material.objects.filter(is_retired=False).count(),
    }


def class_line(row: ForgeClass, *, today: Any) -> dict[str, Any]:
    """One coming class: how far it is, what is left to do."""
    asides = SetAside.objects.filter(plan=row.plan_key).exclude(state=SetAside.State.FREED)
    blanks = asides.filter(kind=SetAside.Kind.BLANK)
    seats = row.seats.filter(is_cancelled=False)
    return {
        "row": row,
        "days": (row.starts_on - today).days,
        "taken": seats.filter(is_spare=False).exclude(student="").count(),
        "cut": blanks.filter(state=SetAside.State.CUT).count(),
        "blanks": blanks.count(),
        "unplanned": planning.unplanned_count(row),
    }


def in_work() -> list[dict[str, Any]]:
    """Billets begun and not finished, newest first."""
    since = timezone.now() - LATELY
    rows = Billet.objects.filter(made_at__gte=since, is_withdrawn=False)
    found = [{"billet": row, "stage": workshop.stage(row)} for row in rows[:60]]
    begun = [one for one in found if one["stage"] not in ("planned", "finished", "failed")]
    return begun[:12]
