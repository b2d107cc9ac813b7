"""Every button of the demo shop is pressed once: each changes something, or says something.

Buttons that do the same on the same kind of page (the ticks of a cut list) are pressed once for
all. What a press wrote is taken back by putting the demo's database back as it was.
"""

from __future__ import annotations

import re
import sqlite3
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Download, Page, Request

from shop.demo import OWNER, PASSWORD
from tests.browser.conftest import DESK, PHONE, WrittenSite
from tests.browser.test_pages import kind_of, walk

pytestmark = [pytest.mark.browser, pytest.mark.slow]

SETTLED_MS = 80
PATIENCE_MS = 15_000
MANY, FEW = 100, 5  # fewer were pressed than there are: the test itself went blind
BUTTONS = "button, input[type=submit]"
OPEN_ALL = "for (const one of document.querySelectorAll('details')) one.open = true"
OPEN_AROUND = """one => {
  for (let at = one; at; at = at.parentElement) if (at.matches("details")) at.open = true;
  one.scrollIntoView({block: "center"});
}"""

# Buttons that can be seen, by their place among all, with what tells one act from another.
SIGNS = """buttons => buttons.map((one, place) => ({
  place,
  isSeen: one.checkVisibility({visibilityProperty: true})
    && !one.disabled && !one.closest("[aria-hidden=true], template"),
  words: one.textContent.replace(/\\s+/g, " ").trim(),
  name: one.name,
  isOfPage: one.closest("main") !== null,
  at: one.getAttribute("formaction") || one.form?.getAttribute("action") || "",
})).filter(one => one.isSeen)"""

# What a person can tell has changed: words, what is typed or chosen, what is open, hidden, focused.
SEEN = """() => {
  const told = [location.href, document.body.innerText, document.title];
  for (const one of document.querySelectorAll("input:not([type=hidden]), select, textarea"))
    told.push(one.type === "checkbox" || one.type === "radio" ? one.checked : one.value);
  for (const one of document.querySelectorAll("details, dialog")) told.push(one.open);
  told.push(document.documentElement.dataset.theme || "");
  return JSON.stringify(told);
}"""


# The browser itself says what is missing, beside the field that it went to.
ASKS = """() => {
  const at = document.activeElement;
  return Boolean(at?.matches("input:invalid, select:invalid, textarea:invalid"))
    && at.checkVisibility();
}"""


@dataclass
class Shop:
    """A demo shop in a browser of its own size, and its database as it was at first."""

    page: Page
    database: Path
    asked: list[Request] = field(default_factory=list)
    waiting: set[Request] = field(default_factory=set)
    answers: list[tuple[str, int]] = field(default_factory=list)
    files: list[Download] = field(default_factory=list)

    def begin(self) -> None:
        """Sign in, listen, and keep the database."""
        page = self.page
        page.on("dialog", lambda one: one.accept())
        page.goto("/sign-in/")
        page.fill("[name=username]", OWNER)
        page.fill("[name=password]", PASSWORD)
        page.click("main button[type=submit]")
        self.cookies = page.context.cookies()
        self.kept = sqlite3.connect(":memory:", check_same_thread=False)
        with closing(sqlite3.connect(self.database)) as live:
            live.backup(self.kept)
        page.on("download", self.got)
        page.on("request", self.ask)
        page.on("requestfinished", self.answered)
        page.on("requestfailed", self.answered)
        page.on("response", lambda one: self.answers.append((one.url, one.status)))

    def ask(self, request: Request) -> None:
        """The page asks for something."""
        self.asked.append(request)
        self.waiting.add(request)

    def answered(self, request: Request) -> None:
        """It came, or will not."""
        self.waiting.discard(request)

    def got(self, file: Download) -> None:
        """A file came instead of a page."""
        self.files.append(file)

    def put_back(self) -> None:
        """The shop as it was, and nobody signed out."""
        with closing(sqlite3.connect(self.database, timeout=20)) as live:
            self.kept.backup(live)
        self.page.context.clear_cookies()
        self.page.context.add_cookies(self.cookies)  # type: ignore[arg-type]  # as they were read

    def opened(self, path: str, *, unfolded: bool) -> list[dict[str, Any]]:
        """The buttons of a page that can be seen, all its folds opened or as they came."""
        self.page.goto(path)
        if unfolded:
            self.page.evaluate(OPEN_ALL)
        found: list[dict[str, Any]] = self.page.locator(BUTTONS).evaluate_all(SIGNS)
        return found

    def press(self, path: str, place: int) -> str:
        """Press one; what is wrong with what came of it, nothing where it did or said something."""
        page = self.page
        page.goto(path)
        button = page.locator(BUTTONS).nth(place)
        button.evaluate(OPEN_AROUND)
        before = page.evaluate(SEEN)
        self.asked.clear()
        self.answers.clear()
        self.files.clear()
        button.click(timeout=5_000)
        self.settle()
        wrong = [f"{url} answered {status}" for url, status in self.answers if is_wrong(status)]
        if wrong:
            return wrong[0]
        looked = any(one.method == "GET" and one.is_navigation_request() for one in self.asked)
        wrote = any(one.method == "POST" for one in self.asked)
        is_same = page.evaluate(SEEN) == before and not self.files
        is_dead = is_same and (wrote or not looked) and (wrote or not page.evaluate(ASKS))
        if wrote:
            self.put_back()
        return "nothing changed and nothing was said" if is_dead else ""

    def settle(self) -> None:
        """Wait until what was asked is answered and drawn."""
        self.page.wait_for_timeout(SETTLED_MS)
        for _ in range(PATIENCE_MS // SETTLED_MS):
            if not self.waiting:
                break
            self.page.wait_for_timeout(SETTLED_MS)
        self.waiting.clear()
        self.page.wait_for_load_state()


def is_wrong(status: int) -> bool:
    """Whether an answer is none that a button may lead to; 422 is a refusal in words."""
    return status >= 400 and status != 422


def begun(
    browser: Browser, site: WrittenSite, *, size: dict[str, int], scripts: bool = True
) -> Shop:
    """The shop in a browser that is signed in."""
    context = browser.new_context(
        viewport={"width": size["width"], "height": size["height"]},
        java_script_enabled=scripts,
        base_url=site.url,
        accept_downloads=True,
    )
    shop = Shop(context.new_page(), site.database)
    shop.begin()
    return shop


def sign_of(path: str, button: dict[str, Any]) -> tuple[str, str, str, str]:
    """Buttons of one kind of page that do the same have the same one."""
    words = re.sub(r"[A-Z]+\d+(-\d+)?|\d+([-/.×]\d+)*", "#", button["words"])
    where = kind_of(path) if button["isOfPage"] else "every page"
    return where, words, button["name"], kind_of(button["at"])


def dead_buttons(shop: Shop, paths: list[str]) -> tuple[list[str], int]:
    """Buttons of these pages that do nothing, with folds closed and open; how many were pressed."""
    wrong: list[str] = []
    pressed: set[tuple[str, str, str, str]] = set()
    for path in paths:
        for unfolded in (False, True):
            for button in shop.opened(path, unfolded=unfolded):
                sign = sign_of(path, button)
                if sign not in pressed:
                    pressed.add(sign)
                    if told := shop.press(path, button["place"]):
                        wrong.append(f"{path} '{button['words']}': {told}")
    return wrong, len(pressed)


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_every_button_changes_something_or_says_something(
    browser_app: Browser, written_site: WrittenSite, size: dict[str, int]
) -> None:
    shop = begun(browser_app, written_site, size=size)
    paths = list(walk(shop.page))

    wrong, count = dead_buttons(shop, paths)

    assert wrong == []
    assert count > MANY


def test_the_clock_and_the_next_step_of_a_class_work_without_scripts(
    browser_app: Browser, written_site: WrittenSite
) -> None:
    shop = begun(browser_app, written_site, size=PHONE, scripts=False)
    paths = [one for one in walk(shop.page) if kind_of(one) == "/classes/#/hours/"]

    wrong, count = dead_buttons(shop, paths)

    assert paths
    assert wrong == []
    assert count > FEW
