"""How we know in a browser: folded on a screen, whole on paper, opened by its index."""

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import Opener

pytestmark = pytest.mark.browser

SHOWN = "Array.from(document.querySelectorAll('.sources'), (one) => one.checkVisibility())"


@pytest.mark.parametrize("scripts", [True, False])
def test_what_is_folded_on_the_screen_stands_on_paper(open_page: Opener, scripts: bool) -> None:
    page = open_page(path="/how-we-know/", scripts=scripts)
    on_screen = page.evaluate(SHOWN)

    page.emulate_media(media="print")

    on_paper = page.evaluate(SHOWN)
    assert len(on_paper) > 100
    assert not any(on_screen)
    assert all(on_paper)


def test_a_link_of_the_index_opens_its_part(open_page: Opener) -> None:
    page = open_page(path="/how-we-know/")

    page.click(".known-index a[href='#part-stock-cutting']")

    expect(page.locator(".known-part[open] h2")).to_have_text("Cutting")


def test_a_chosen_alloy_is_asked_for_at_once(open_page: Opener) -> None:
    page = open_page(path="/how-we-know/")

    page.select_option("#alloy", "c11000")

    expect(page.locator("details.known[id]")).to_have_count(1)
    expect(page.locator("#alloy-c11000 .sources")).to_be_visible()
