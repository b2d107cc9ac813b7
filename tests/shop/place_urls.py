"""Addresses for the navigation tests: every place, answered by nothing."""

from django.http import HttpRequest, HttpResponse
from django.urls import include, path


def nothing(request: HttpRequest) -> HttpResponse:
    """An empty answer."""
    return HttpResponse("")


SHOP = (
    [path(f"{name}/", nothing, name=name) for name in ("home", "class-list", "knife-list")]
    + [path(f"{name}/", nothing, name=name) for name in ("buying", "settings", "sign-out")],
    "shop",
)
STOCK = ([path(f"{name}/", nothing, name=name) for name in ("rack", "ledger")], "stock")
BILLETS = (
    [path(f"{name}/", nothing, name=name) for name in ("layup-list", "billet-list")],
    "billets",
)

urlpatterns = [path("", include(SHOP)), path("", include(STOCK)), path("", include(BILLETS))]
