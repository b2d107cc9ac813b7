"""The clock at a billet and for a class, with a thumb on a phone, with scripts and without."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import HELPER, Opener

pytestmark = pytest.mark.browser


def planned_billet(page: Page) -> None:
    """Open a billet that nobody has worked at."""
    page.goto("/billets/?stage=planned")
    page.locator(".billet-rows a.mark").first.click()


@pytest.mark.parametrize("scripts", [True, False], ids=["with scripts", "without"])
def test_a_clock_is_started_seen_and_stopped_at_a_billet(open_page: Opener, scripts: bool) -> None:
    page = open_page(scripts=scripts, who=HELPER)
    planned_billet(page)
    panel = page.locator("#hours")

    panel.get_by_role("button", name="Start the clock: Finish").click()
    expect(panel.locator("[data-since]")).to_have_text(
        re.compile(r"\d\d:\d\d" if scripts else r"since \d\d:\d\d")
    )
    panel.get_by_role("button", name="Stop the clock").click()

    expect(panel.locator("[data-since]")).to_have_count(0)
    expect(panel.get_by_role("button", name="Strike").first).to_be_attached()
    expect(page.locator("body")).not_to_contain_text("$")


def test_a_clock_that_came_with_a_part_of_the_page_counts_on(open_page: Opener) -> None:
    page = open_page()
    planned_billet(page)
    page.locator("#hours").get_by_role("button", name="Start the clock: Forge").click()
    clock = page.locator("#hours [data-since]")
    expect(clock).to_have_text(re.compile(r"\d\d:\d\d"))
    before = clock.inner_text()

    expect(clock).not_to_have_text(before)

    page.locator("#hours").get_by_role("button", name="Stop the clock").click()


def test_return_in_the_minutes_of_a_class_does_nothing_by_itself(open_page: Opener) -> None:
    page = open_page(path="/classes/")
    page.get_by_role("link", name="Copper line weekend", exact=True).first.click()
    page.get_by_role("link", name=re.compile(r"^Work\b")).click()
    page.locator("summary", has_text="Write down minutes").click()
    page.get_by_label("Minutes, for all together").fill("35")

    page.get_by_label("Minutes, for all together").press("Enter")

    expect(page.get_by_role("alert")).to_contain_text("Press one of the buttons")
    expect(page.locator('[name="typed-minutes"]')).to_have_value("35")
