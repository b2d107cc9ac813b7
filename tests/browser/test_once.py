"""The same press twice, as a phone in a workshop makes it: double tap, Back, a lost answer."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Route, expect

from shop.demo import HELPER, PASSWORD
from tests.browser.conftest import PHONE, WrittenSite

pytestmark = pytest.mark.browser

AGAIN = "That was the same press once more; it is written down once."
NOTE = "pressed twice"


@pytest.fixture(params=["scripts", "no scripts"])
def context(
    browser_app: Browser, written_site: WrittenSite, request: pytest.FixtureRequest
) -> Iterator[BrowserContext]:
    """A phone, with scripts or without."""
    made = browser_app.new_context(
        viewport={"width": PHONE["width"], "height": PHONE["height"]},
        java_script_enabled=request.param == "scripts",
        base_url=written_site.url,
    )
    yield made
    made.close()


@pytest.fixture
def signed_in(context: BrowserContext) -> Page:
    """The shop, signed in as a helper."""
    page = context.new_page()
    page.goto("/sign-in/")
    page.fill("[name=username]", HELPER)
    page.fill("[name=password]", PASSWORD)
    page.click("main button[type=submit]")
    return page


@pytest.fixture
def billet(signed_in: Page) -> Iterator[Page]:
    """A billet's page with its heat typed in; its heats are struck after."""
    page = signed_in
    page.goto("/billets/")
    page.goto(
        str(
            page.locator("main a[href^='/billets/']:has(.mark), main a.mark").first.get_attribute(
                "href"
            )
        )
    )
    page.locator("#heats summary").click()
    page.locator("#heats form [name=note]:visible").fill(NOTE)
    yield page
    page.goto(page.url)
    while written(page):
        page.locator(f"#heats li:not(.is-off):has-text('{NOTE}') button").first.click()
        page.wait_for_timeout(300)


def written(page: Page) -> int:
    """How many of these heats stand."""
    return page.locator(f"#heats li:not(.is-off):has-text('{NOTE}')").count()


def write_down(page: Page) -> None:
    """Press the button of the heat."""
    page.locator("#heats details form button[type=submit]").click()


def test_a_double_tap_is_one_heat(billet: Page) -> None:
    billet.locator("#heats details form button[type=submit]").dblclick(no_wait_after=True)
    expect(billet.locator(f"#heats li:has-text('{NOTE}')").first).to_be_visible()
    billet.wait_for_timeout(500)

    billet.goto(billet.url.split("#")[0])

    assert written(billet) == 1


@pytest.mark.parametrize("context", ["no scripts"], indirect=True)
def test_a_form_gone_back_to_is_empty(billet: Page) -> None:
    write_down(billet)
    expect(billet.locator("#messages")).to_contain_text("is written down")

    billet.go_back()

    expect(billet.locator("#heats form [name=note]")).to_have_value("")


@pytest.mark.parametrize("context", ["scripts"], indirect=True)
def test_a_lost_answer_is_said_and_pressing_again_writes_nothing_more(billet: Page) -> None:
    def lose(route: Route) -> None:
        route.fetch()  # the shop's computer writes it down ...
        route.abort()  # ... and the answer never comes

    billet.route("**/heat/", lose)
    write_down(billet)
    expect(billet.locator("#messages")).to_contain_text("Not sure that it arrived.")
    billet.unroute("**/heat/")

    write_down(billet)

    expect(billet.locator("#messages")).to_contain_text(AGAIN)
    assert written(billet) == 1
