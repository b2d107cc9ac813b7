"""What the small scripts do, in a browser, under the content policy the app sends.

Pages are answered from here by routing, so that no server and no database is needed.
"""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Dialog, Page, Request, Route

pytestmark = pytest.mark.browser

STATIC = Path(__file__).resolve().parents[2] / "shop" / "static" / "shop"
KINDS = {".js": "text/javascript", ".css": "text/css", ".svg": "image/svg+xml"}
SCRIPTS = ("menus", "autosubmit", "confirm", "rows", "unsaved", "trouble")


@pytest.fixture
def page(browser_app: Browser) -> Iterator[Page]:
    """A fresh page with a store of its own."""
    context = browser_app.new_context()
    yield context.new_page()
    context.close()


class Shop:
    """Answers every address: our static files, and one page; remembers what was sent."""

    def __init__(self, page: Page, body: str) -> None:
        self.page = page
        self.sent: list[tuple[str, str]] = []
        self.complaints: list[str] = []
        scripts = "".join(f'<script src="/s/{name}.js" defer></script>' for name in SCRIPTS)
        self.html = (
            '<!doctype html><html lang="en"><title>t</title><script src="/s/theme.js"></script>'
            f'<link rel="stylesheet" href="/s/tokens.css">{scripts}{body}'
        )
        page.on("console", lambda line: self.complaints.append(line.text))
        page.route("**/*", self.answer)
        page.goto("http://shop.test/")

    def answer(self, route: Route, request: Request) -> None:
        """Answer one request."""
        match = re.fullmatch(r"http://shop\.test/s/([\w.-]+)", request.url)
        if match:
            path = STATIC / match[1]
            route.fulfill(body=path.read_text(), content_type=KINDS[path.suffix])
            return
        if "favicon" in request.url:
            route.fulfill(status=204)
            return
        where = request.url.removeprefix("http://shop.test/")
        if where:
            self.sent.append((where, request.post_data or ""))
        policy = {"Content-Security-Policy": "default-src 'self'; img-src 'self' data:"}
        route.fulfill(body=self.html, content_type="text/html", headers=policy)


def test_a_form_that_asks_first_is_sent_only_after_yes(page: Page) -> None:
    shop = Shop(
        page,
        '<form method="post" action="/scrap" data-confirm="Bar K4R goes to scrap.">'
        '<button name="piece" value="K4R">Scrap it</button></form>',
    )

    page.click("form button")
    asked = page.inner_text("dialog p")
    page.click("dialog [data-no]")
    after_no = list(shop.sent)
    page.click("form button")
    page.click("dialog [data-yes]")
    page.wait_for_url("**/scrap")

    assert asked == "Bar K4R goes to scrap."
    assert after_no == []
    assert shop.sent == [("scrap", "piece=K4R")]
    assert shop.complaints == []


def test_a_changed_choice_asks_again_and_needs_no_button(page: Page) -> None:
    shop = Shop(
        page,
        '<form action="/rack" data-autosubmit><select name="form"><option>bar<option>roll</select>'
        "<button data-autosubmit-button>Show</button></form>",
    )

    hidden = page.is_hidden("[data-autosubmit-button]")
    page.select_option("select", "roll")
    page.wait_for_url("**/rack?form=roll")

    assert hidden
    assert shop.sent == [("rack?form=roll", "")]


def test_a_line_is_added_with_the_next_number_and_taken_away_again(page: Page) -> None:
    line = '<div data-row><input name="line-{n}-count">{delete}<button data-row-remove hidden>x'
    Shop(
        page,
        '<form><div data-rows="line"><input type="hidden" name="line-TOTAL_FORMS" value="1">'
        + line.format(n=0, delete='<input type="checkbox" name="line-0-DELETE">')
        + "</button></div><template data-row-blank>"
        + line.format(n="__prefix__", delete="")
        + '</button></div></template><button type="submit" data-row-add>Add</button></div></form>',
    )

    page.click("[data-row-add]")
    page.click("[data-row-add]")
    names = page.eval_on_selector_all(
        "[data-row] input[name$=count]", "all => all.map(i => i.name)"
    )
    total = page.input_value("[name=line-TOTAL_FORMS]")
    focused = page.evaluate("document.activeElement.name")
    page.click("[data-row]:has([name=line-0-count]) [data-row-remove]")
    page.click("[data-row]:has([name=line-1-count]) [data-row-remove]")

    assert names == ["line-0-count", "line-1-count", "line-2-count"]
    assert (total, focused) == ("3", "line-2-count")
    assert page.is_checked("[name=line-0-DELETE]")
    assert page.is_hidden("[name=line-0-count]")
    assert page.locator("[name=line-1-count]").count() == 0


def test_leaving_with_something_typed_and_not_sent_asks_first(page: Page) -> None:
    Shop(page, '<form method="post" action="/save" data-guard><input name="note"></form>')
    asked: list[str] = []

    def stay(dialog: Dialog) -> None:
        asked.append(dialog.type)
        dialog.dismiss()

    page.on("dialog", stay)
    page.click("input")
    page.keyboard.type("K4R")
    page.evaluate("location.href = '/elsewhere'")
    page.wait_for_timeout(300)

    assert asked == ["beforeunload"]
    assert page.url == "http://shop.test/"


def test_what_is_sent_may_be_left_without_asking(page: Page) -> None:
    shop = Shop(page, '<form method="post" action="/save" data-guard><input name="note"></form>')
    asked: list[str] = []
    page.on("dialog", lambda dialog: asked.append(dialog.type))

    page.fill("input", "K4R")
    page.press("input", "Enter")
    page.wait_for_url("**/save")

    assert shop.sent == [("save", "note=K4R")]
    assert asked == []


def test_a_menu_closes_on_escape_and_on_a_press_elsewhere(page: Page) -> None:
    Shop(page, "<details data-menu><summary>More</summary><a>Knives</a></details><p>page</p>")
    opened = "document.querySelector('details').open"

    page.click("summary")
    was_open = page.evaluate(opened)
    page.keyboard.press("Escape")
    after_escape = page.evaluate(opened)
    page.click("summary")
    page.click("p")

    assert (was_open, after_escape, page.evaluate(opened)) == (True, False, False)


def test_a_chosen_theme_is_remembered(page: Page) -> None:
    Shop(
        page,
        "<button data-theme-next hidden>Theme: <span data-theme-word></span></button>",
    )
    theme = "document.documentElement.dataset.theme"

    first = page.inner_text("[data-theme-word]")
    page.click("[data-theme-next]")
    page.click("[data-theme-next]")
    page.reload()

    assert first == "as the device"
    assert page.evaluate(theme) == "dark"
    assert page.inner_text("[data-theme-word]") == "dark"


UNSURE = "Not sure that it arrived. Look before you press again; pressing again is safe"


@pytest.mark.parametrize("event", ["htmx:sendError", "htmx:timeout"])
@pytest.mark.parametrize(
    ("verb", "words"), [("post", UNSURE), ("get", "The shop's computer did not answer")]
)
def test_a_request_without_an_answer_is_said_in_words(
    page: Page, event: str, verb: str, words: str
) -> None:
    Shop(page, '<div id="messages"></div>')

    page.evaluate(
        "([name, verb]) => document.dispatchEvent("
        "new CustomEvent(name, {detail: {requestConfig: {verb}}}))",
        [event, verb],
    )

    assert page.inner_text("#messages").startswith(words)
