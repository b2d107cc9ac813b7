"""Who is asking, and the shop's settings for that person, put on every request.

Also what somebody sees who is not signed in, or who opens an address that only takes forms.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, cast

from django.contrib import messages
from django.contrib.auth.middleware import LoginRequiredMiddleware
from django.contrib.auth.views import redirect_to_login
from django.http import (
    Http404,
    HttpRequest,
    HttpResponse,
    HttpResponseNotAllowed,
    HttpResponseRedirect,
)
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.http import url_has_allowed_host_and_scheme
from django_htmx.http import HttpResponseClientRedirect

from shop.models import Person, ShopSettings
from stock.house import House
from stock.web.requests import HtmxRequest

SIGNED_OUT = "You were signed out, so nothing was written. Sign in, then do it once more."
LARGEST_KEY = 2**63 - 1  # of a row, in every database that the app speaks
NOT_KEPT = "private, no-store"
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
        with timezone.override(asked.house.zone or None):  # None: as the machine keeps it
            response = self.get_response(request)
        if asked.house.sees_money:  # "back" on a shared phone shows a helper no owner's page
            response.headers.setdefault("Cache-Control", NOT_KEPT)
        return response


class KnownNumbersMiddleware:
    """A number in an address that no row can have leads nowhere, as any unknown one does."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Answer one request."""
        return self.get_response(request)

    def process_view(self, request: HttpRequest, view: Any, args: Any, kwargs: Any) -> None:
        """Databases answer such a number with an error of their own."""
        if any(isinstance(one, int) and one > LARGEST_KEY for one in kwargs.values()):
            raise Http404


class DoorMiddleware(LoginRequiredMiddleware):
    """Send strangers to the sign-in page, and from there to a page that can be shown again.

    A form that was sent after signing out cannot be sent again by itself: its page is shown.
    """

    def handle_no_permission(self, request: HttpRequest, view_func: Any) -> HttpResponseRedirect:
        """To the door."""
        asked = cast(HtmxRequest, request)
        is_page = request.method in ("GET", "HEAD") and not asked.htmx
        wanted = request.get_full_path() if is_page else page_before(request)
        door = redirect_to_login(wanted, str(self.get_login_url(view_func)))
        if request.method not in ("GET", "HEAD"):
            messages.info(request, SIGNED_OUT)
        if asked.htmx:  # a redirect would put the door into a part of the page
            return cast(HttpResponseRedirect, HttpResponseClientRedirect(door.url))
        return door


def page_before(request: HttpRequest) -> str:
    """The page that a form stood on, if that is one of ours; else the first page."""
    before = request.headers.get("Referer", "")
    is_ours = url_has_allowed_host_and_scheme(
        before, allowed_hosts={request.get_host()}, require_https=request.is_secure()
    )
    return before if is_ours else reverse("shop:home")


class FormsOnlyMiddleware:
    """Say in words that an address only takes forms; a browser would show an empty page."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Answer one request."""
        response = self.get_response(request)
        if not isinstance(response, HttpResponseNotAllowed) or response.content:
            return response
        page = render(request, "405.html", status=405)
        page["Allow"] = response["Allow"]
        return page


def house_context(request: HttpRequest) -> dict[str, House]:
    """`house` in every template."""
    return {"house": getattr(request, "house", House())}
