"""Reads the shop's own record: what came out of its billets, and what that says of the next.

Every page that forecasts asks `shop_calibration`, so that all of them use the same figures.
"""

from __future__ import annotations

from collections.abc import Iterable

from django.db.models import Count, Q

from billets.errors import NM_PER_MM, DrawOutError
from billets.forging.calibration import Calibration, Measured, calibrate
from billets.forging.drawout import Block
from billets.forging.forecast import stack_block
from billets.models import Billet, Measurement
from stock.house import House

MOST_BILLETS = 200  # the latest; older ones were made with other hands and dies


def shop_calibration(house: House) -> Calibration:
    """What the shop's measured billets say about loss and spread, the latest of them."""
    return calibrate(measured_billets(), crop_ratio=house.crop_percent / 100)


def measured_billets() -> list[Measured]:
    """Every measured billet with the last size that was written down for it, latest first."""
    rows = (
        Measurement.objects.filter(pk__in=latest_ids())
        .select_related("billet")
        .annotate(logged=Count("billet__heats", filter=Q(billet__heats__struck_at=None)))
        .order_by("-id")
    )
    found = (measured_of(row.billet, row, logged=row.logged) for row in rows)
    return [one for one in found if one is not None]


def latest_ids() -> Iterable[int]:
    """The last measurement of each billet, latest first."""
    seen: dict[int, int] = {}
    for billet_id, pk in Measurement.objects.order_by("-id").values_list("billet_id", "pk"):
        seen.setdefault(billet_id, pk)
        if len(seen) >= MOST_BILLETS:
            break
    return seen.values()


def measured_of(billet: Billet, row: Measurement, *, logged: int) -> Measured | None:
    """One billet as measured; None where its stack has no size to hold it against."""
    try:
        start = stack_block(billet.design())
    except DrawOutError:
        return None
    heats = row.heats if row.heats is not None else logged
    return Measured(billet.mark, start, heats, block_of(row))


def block_of(row: Measurement) -> Block:
    """A measured size in millimetres."""
    return Block(
        length_mm=row.length_nm / NM_PER_MM,
        width_mm=row.width_nm / NM_PER_MM,
        thickness_mm=row.thickness_nm / NM_PER_MM,
    )
