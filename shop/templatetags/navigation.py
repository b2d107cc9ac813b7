"""The places a person can go, and which of them this page belongs to.

A page belongs to the place whose `covers` its URL name starts with; a page that fits none, or
fits another better, puts `place` (such as "classes") into its context. Rights are not decided
here: a place that is not offered is refused by its own view.
"""

from dataclasses import dataclass
from typing import Any

from django import template
from django.urls import NoReverseMatch, reverse

register = template.Library()


@dataclass(frozen=True)
class Place:
    """One entry of the navigation."""

    key: str
    word: str
    url_name: str
    covers: tuple[str, ...] = ()
    under_thumb: bool = False  # in the row at the bottom of a phone
    owner_only: bool = False


@dataclass(frozen=True)
class Entry:
    """A place as this page shows it."""

    key: str
    word: str
    url: str
    under_thumb: bool
    is_current: bool


PLACES = (
    Place("home", "Home", "shop:home", under_thumb=True),
    Place(
        "rack",
        "Rack",
        "stock:rack",
        ("stock:rack", "stock:piece", "stock:material", "stock:receive", "stock:label"),
        under_thumb=True,
    ),
    Place("layups", "Layups", "billets:layup-list", ("billets:layup",), under_thumb=True),
    Place("billets", "Billets", "billets:billet-list", ("billets:billet",), under_thumb=True),
    Place(
        "classes",
        "Classes",
        "shop:class-list",
        ("shop:class", "shop:seat", "shop:plan", "shop:cut"),
        under_thumb=True,
    ),
    Place("knives", "Knives", "shop:knife-list", ("shop:knife",)),
    Place(
        "buying",
        "Buying",
        "shop:buying",
        ("shop:buying", "stock:purchase", "stock:supplier", "stock:offer"),
    ),
    Place("ledger", "Ledger", "stock:ledger", ("stock:ledger", "stock:entry")),
    Place(
        "shop",
        "Shop",
        "shop:settings",
        ("shop:settings", "shop:person", "shop:people", "shop:backup", "shop:rates"),
        owner_only=True,
    ),
)


def place_of(view_name: str) -> str:
    """Key of the place that a URL name belongs to; empty when none claims it."""
    for place in PLACES:
        if view_name == place.url_name or view_name.startswith(place.covers):
            return place.key
    return ""


@register.simple_tag(takes_context=True)
def places(context: dict[str, Any]) -> list[Entry]:
    """The places this person may go, with the page's own place marked."""
    match = getattr(context.get("request"), "resolver_match", None)
    current = context.get("place") or place_of(match.view_name if match else "")
    house = context.get("house")
    return [
        Entry(place.key, place.word, url, place.under_thumb, place.key == current)
        for place in PLACES
        if (url := _url(place.url_name))
        and (not place.owner_only or getattr(house, "is_owner", False))
    ]


def _url(name: str) -> str:
    """Address of a place; empty in an installation that leaves the place out."""
    try:
        return reverse(name)
    except NoReverseMatch:
        return ""
