"""Every page of the demo shop, on a phone and on a desk: whole, quiet, and usable by all."""

from __future__ import annotations

import re
from collections import Counter, deque
from collections.abc import Iterator
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from tests.browser.conftest import DESK, HELPER, PHONE, Opener

pytestmark = pytest.mark.browser

MOST_PAGES = 160  # of each kind a few are opened; this only ends a runaway walk
EACH_KIND = 2
NO_PAGE = re.compile(r"\.(pdf|csv|ics)(\?|$)|/static/|/sign-out/|/file/|^/calendar/")
MONEY = re.compile(r"\$\s?\d")


def kind_of(path: str) -> str:
    """Addresses that differ in marks and numbers only are one kind of page."""
    bare = path.split("?", 1)[0]
    return re.sub(r"/(\d+|[A-Z]+\d+)(?=/|$)", "/#", bare)


def walk(page: Page, start: str = "/") -> Iterator[str]:
    """Follow links from a page, a few of each kind, stopping at each for a look."""
    opened: Counter[str] = Counter()
    waiting = deque([start])
    seen = {start}
    while waiting and opened.total() < MOST_PAGES:
        path = waiting.popleft()
        if opened[kind_of(path)] >= EACH_KIND:
            continue
        response = page.goto(path)
        assert response is not None
        assert response.status == 200, f"{path}: {response.status}"
        opened[kind_of(path)] += 1
        yield path
        hrefs: list[str] = page.eval_on_selector_all(
            "a[href]", "links => links.map(a => a.getAttribute('href'))"
        )
        for href in hrefs:
            bare = href.split("#", 1)[0]
            if bare.startswith("/") and bare not in seen and not NO_PAGE.search(bare):
                seen.add(bare)
                waiting.append(bare)
    assert opened.total() < MOST_PAGES, "the walk ran away, or there are more pages now"


def complaints_of(page: Page) -> list[str]:
    """Collects what the browser complains about: blocked scripts, missing files, errors."""
    complaints: list[str] = []
    page.on("console", lambda one: complaints.append(one.text) if one.type == "error" else None)
    page.on("pageerror", lambda error: complaints.append(str(error)))
    return complaints


def overflow_px(page: Page) -> int:
    """How far a page can be pushed sideways."""
    script = "document.documentElement.scrollWidth - document.documentElement.clientWidth"
    width: int = page.evaluate(script)
    return width


# A field that must be filled and cannot be seen stops every button of its form that can.
STOPPED = """() => [...document.querySelectorAll("form:not([novalidate]) button")].filter(
  act => act.type === "submit" && !act.formNoValidate && act.checkVisibility() &&
    [...act.form.elements].some(
      one => one.willValidate && !one.validity.valid && !one.checkVisibility())
).map(act => act.textContent.trim())"""


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_every_page_fits_the_screen_and_the_browser_has_no_complaint(
    open_page: Opener, size: dict[str, int]
) -> None:
    page = open_page(size=size)
    complaints = complaints_of(page)
    wrong: list[str] = []

    for path in walk(page):
        if overflow_px(page) > 0:
            wrong.append(f"{path} is {overflow_px(page)} px too wide")
        wrong += [f"{path}: {text}" for text in complaints]
        wrong += [f"{path}: '{act}' is stopped unseen" for act in page.evaluate(STOPPED)]
        complaints.clear()

    assert wrong == []


def test_every_page_can_be_used_with_a_screen_reader(open_page: Opener) -> None:
    page = open_page()
    wrong: list[str] = []

    for path in walk(page):
        found: dict[str, Any] = Axe().run(page).response
        wrong += [
            f"{path}: {one['id']}: {one['nodes'][0]['html'][:160]}" for one in found["violations"]
        ]

    assert wrong == []


def test_a_helper_sees_no_money_on_any_page(open_page: Opener) -> None:
    page = open_page(who=HELPER, size=DESK)
    wrong: list[str] = []

    for path in walk(page):
        shown = MONEY.search(page.inner_text("body"))
        if shown:
            wrong.append(f"{path}: {shown.group()}")

    assert wrong == []
