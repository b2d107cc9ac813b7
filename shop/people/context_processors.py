"""What every template knows without being told."""

from __future__ import annotations

from django.http import HttpRequest

from stock.house import House


def house_context(request: HttpRequest) -> dict[str, House]:
    """`house` in every template: the shop's settings, as the middleware put them on the request."""
    return {"house": getattr(request, "house", House())}
