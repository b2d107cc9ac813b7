"""Where a page belongs, and what is offered to whom."""

import pytest
from django.http import HttpRequest
from django.test import RequestFactory
from django.urls import ResolverMatch

from shop.templatetags.navigation import PLACES, place_of, places
from stock.house import House


def a_request(view_name: str) -> HttpRequest:
    """A request that was answered by the view of this name."""
    request = RequestFactory().get("/")
    space, _, name = view_name.partition(":")
    request.resolver_match = ResolverMatch(
        lambda request: None, (), {}, url_name=name, namespaces=[space]
    )
    return request


@pytest.mark.parametrize(
    ("view_name", "place"),
    [
        ("shop:home", "home"),
        ("stock:rack", "rack"),
        ("stock:piece-cut", "rack"),
        ("billets:layup-edit", "layups"),
        ("billets:billet-list", "billets"),
        ("shop:class-plan", "classes"),
        ("shop:knife-list", "knives"),
        ("stock:ledger", "ledger"),
        ("shop:sign-in", ""),
        ("", ""),
    ],
)
def test_a_page_belongs_to_the_place_its_address_is_named_for(view_name: str, place: str) -> None:
    assert place_of(view_name) == place


def test_five_places_lie_under_the_thumb() -> None:
    under_thumb = [place.word for place in PLACES if place.under_thumb]

    assert under_thumb == ["Home", "Rack", "Layups", "Billets", "Classes"]


@pytest.mark.urls("tests.shop.place_urls")
def test_the_page_s_own_place_is_marked_and_only_that() -> None:
    entries = places({"request": a_request("stock:rack"), "house": House(is_owner=True)})

    assert [entry.key for entry in entries if entry.is_current] == ["rack"]
    assert entries[0].url == "/home/"


@pytest.mark.urls("tests.shop.place_urls")
def test_a_page_may_say_itself_where_it_belongs() -> None:
    context = {"request": a_request("stock:rack"), "place": "classes", "house": House()}

    assert [entry.key for entry in places(context) if entry.is_current] == ["classes"]


@pytest.mark.urls("tests.shop.place_urls")
def test_a_helper_is_not_offered_the_shop_s_settings() -> None:
    offered = {entry.key for entry in places({"house": House(is_owner=False)})}
    owner_s = {entry.key for entry in places({"house": House(is_owner=True)})}

    assert owner_s - offered == {"shop"}


@pytest.mark.urls("tests.shop.no_urls")
def test_a_place_without_an_address_is_left_out_and_nothing_breaks() -> None:
    assert places({"house": House(is_owner=True)}) == []
