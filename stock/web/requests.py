"""What every page of every floor shares: the typed request, pages or their parts, who may see.

It holds no rule of the metal; a view gathers, a pure function decides, a writing module records.
"""

from collections.abc import Callable, Mapping
from functools import wraps
from typing import Any, Concatenate, ParamSpec, cast

from django.core.exceptions import PermissionDenied
from django.core.paginator import Page, Paginator
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import render
from django.utils.cache import patch_vary_headers
from django_htmx.middleware import HtmxDetails

from stock.house import House
from stock.who import Person

Rest = ParamSpec("Rest")
PER_PAGE = 50
MOST_DIGITS = 18  # of a row's number: what every database can compare


class HtmxRequest(HttpRequest):
    """A request with what the middleware adds: htmx details and the shop's settings."""

    htmx: HtmxDetails
    house: House


View = Callable[Concatenate[HtmxRequest, Rest], HttpResponse]


def owner_only(view: View[Rest]) -> View[Rest]:
    """Turn away everybody but an owner: money, people and settings."""

    @wraps(view)
    def guarded(request: HtmxRequest, *args: Rest.args, **kwargs: Rest.kwargs) -> HttpResponse:
        if not request.house.is_owner:
            raise PermissionDenied("This page is for the shop's owner.")
        return view(request, *args, **kwargs)

    return cast(View[Rest], guarded)


def page_or_partial(
    request: HtmxRequest,
    template: str,
    partial: str,
    context: Mapping[str, Any],
    *,
    status: int = 200,
) -> HttpResponse:
    """The whole page, or only its changing part when htmx asked for it."""
    wants_part = request.htmx and not request.htmx.history_restore_request
    name = f"{template}#{partial}" if wants_part else template
    response = render(request, name, context, status=status)
    patch_vary_headers(response, ["HX-Request"])
    return response


def person(request: HttpRequest) -> Person:
    """Who is signed in; every page but the first asks for that."""
    return cast(Person, request.user)


def paged(request: HttpRequest, rows: QuerySet[Any], *, per_page: int = PER_PAGE) -> Page[Any]:
    """One page of a long list; a page number that is out of range gives the nearest."""
    return Paginator(rows, per_page).get_page(request.GET.get("page"))


def row_number(given: str) -> int:
    """The number of a row that was sent; 0, which no row has, for what is none."""
    return int(given) if given.isdecimal() and len(given) <= MOST_DIGITS else 0


def plain_words(given: QueryDict, name: str, *, most: int = 60) -> str:
    """What was typed into a field that no form reads: trimmed, short, one line of text."""
    text = given.get(name, "")
    kept = "".join(one for one in str(text) if one.isprintable())
    return kept.strip()[:most]
