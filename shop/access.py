"""Who is asking, and the shop's settings for that person, put on every request."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, cast

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse

from shop.models import Person, ShopSettings
from stock.house import House
from stock.web import HtmxRequest

OPEN_PATHS = ("/static/", "/first-run/", "/alive/", "/calendar/")


class HouseMiddleware:
    """Fill `request.house`; a shop that is not set up yet shows its first-run page only."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Answer one request."""
        asked = cast(HtmxRequest, request)
        if request.path.startswith("/static/"):
            asked.house = House()
            return self.get_response(request)
        row = ShopSettings.objects.first()
        if row is None and not request.path.startswith(OPEN_PATHS):
            return redirect(reverse("shop:first-run"))
        person = request.user if isinstance(request.user, Person) else None
        asked.house = row.house(person=person) if row else House()
        return self.get_response(request)


def house_context(request: HttpRequest) -> dict[str, Any]:
    """`house` in every template."""
    return {"house": getattr(request, "house", House())}
