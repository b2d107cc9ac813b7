"""Looks things up in a page that was answered; a thing that is missing fails the test."""

from __future__ import annotations

from bs4 import BeautifulSoup, Tag


def one(page: BeautifulSoup | Tag, selector: str) -> Tag:
    """The first element that a selector finds."""
    found = page.select_one(selector)
    assert found is not None, f"nothing on the page is {selector}"
    return found
