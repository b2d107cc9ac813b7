"""The kerf of the shop's usual saw."""

from __future__ import annotations

from stock.models import Saw


def kerf_nm() -> int:
    """Kerf of the saw that the shop usually cuts bars with."""
    saw = Saw.objects.filter(is_usual=True).first() or Saw.objects.first()
    return saw.kerf_nm if saw else 0
