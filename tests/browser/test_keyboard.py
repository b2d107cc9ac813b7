"""The main job without a mouse, and every page on the narrowest screen."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import PHONE, Opener
from tests.browser.test_pages import overflow_px, walk

pytestmark = pytest.mark.browser

TWICE = """
const root = document.documentElement;
root.style.setProperty("font-size", `${2 * parseFloat(getComputedStyle(root).fontSize)}px`);
"""
NARROW = {"width": 320, "height": 640}  # what a page zoomed to 400 % has on a desk


@pytest.fixture
def cut_list(open_page: Opener) -> Page:
    """The cut list that the first page leads to."""
    page = open_page()
    page.locator("main a[href$='/cuts/']").first.click()
    return page


def focused(page: Page) -> str:
    """The id of what has the focus."""
    found: str = page.evaluate("document.activeElement.id || document.activeElement.tagName")
    return found


def settled(page: Page, *, on: str) -> None:
    """The new part is focused, and answered by the script again: a key before that loads a page."""
    expect(page.locator(on)).to_be_focused()
    expect(page.locator(".htmx-added")).to_have_count(0)


def test_cut_after_cut_is_ticked_with_one_key_and_taken_back(cut_list: Page) -> None:
    page, told = cut_list, cut_list.locator("label[for=cut-done]")
    before = page.inner_text("label[for=cut-done]")
    done = int(before.split()[0])

    page.focus("#next-cut")
    for more in (1, 2):
        page.keyboard.press("Enter")
        expect(told).to_contain_text(f"{done + more} of ")
        settled(page, on="#next-cut")
    page.focus("#last-cut-undo")
    for more in (1, 0):
        page.keyboard.press("Enter")
        expect(told).to_contain_text(f"{done + more} of ")
        settled(page, on="#last-cut-undo")

    assert page.inner_text("label[for=cut-done]") == before


def test_a_button_that_goes_away_leaves_the_focus_in_its_part_of_the_page(
    cut_list: Page,
) -> None:
    page = cut_list
    before = page.inner_text("label[for=cut-done]")

    page.locator("#cuts li.next button.box").first.focus()
    page.keyboard.press("Enter")
    expect(page.locator("#cuts .message")).to_be_visible()
    expect(page.locator("body")).not_to_be_focused()
    where = focused(page)
    page.click("#last-cut-undo")

    assert where == "cuts"
    expect(page.locator("label[for=cut-done]")).to_have_text(before)


def test_no_page_is_wider_than_the_narrowest_screen(open_page: Opener) -> None:
    page = open_page(size=NARROW)

    wide = {path: overflow_px(page) for path in walk(page) if overflow_px(page) > 0}

    assert wide == {}


def test_no_page_is_wider_than_a_phone_with_its_text_at_twice_the_size(open_page: Opener) -> None:
    page = open_page(size=PHONE)
    wide: dict[str, int] = {}

    for path in walk(page):
        page.evaluate(TWICE)
        if overflow_px(page) > 0:
            wide[path] = overflow_px(page)

    assert wide == {}
