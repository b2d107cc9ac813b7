"""A class clicked through on a phone, from its students to its sizes, with scripts and without."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Opener

pytestmark = pytest.mark.browser

SECONDS = 1000


def press(page: Page, name: str) -> None:
    """Press the button with this name in the page proper."""
    page.locator("main").get_by_role("button", name=name, exact=True).first.click()


@pytest.mark.parametrize("scripts", [True, False], ids=["with scripts", "without scripts"])
def test_a_class_is_planned_cut_and_measured_on_a_phone(open_page: Opener, scripts: bool) -> None:
    page = open_page(scripts=scripts, path="/classes/add/")
    page.get_by_label("Title").fill("One evening" if scripts else "Another evening")
    page.get_by_label("First day").fill("2027-03-06")
    page.get_by_label("Last day").fill("2027-03-06")
    page.locator("select[name=layup]").select_option(label="Five layers, one line")
    page.locator("input[name=seat_count]").fill("2")
    press(page, "Add the class")
    class_url = page.url

    page.goto(class_url + "seats/paste/")
    page.locator("textarea[name=students]").fill("Ida Morrow <ida@example.org>\nSam Tilling")
    press(page, "Seat them")
    expect(page.get_by_text("Ida Morrow").first).to_be_visible()

    page.goto(class_url + "plan/")
    press(page, "Make the plan")
    confirm = page.locator("form[action$='/plan/confirm/'] button")
    expect(confirm.first).to_be_visible(timeout=30 * SECONDS)
    confirm.first.click()

    page.goto(class_url + "cuts/")
    for _ in range(60):
        tick = page.locator(".reach form[action$='/tick/'] button")
        if not tick.count():
            break
        before = page.locator("main").inner_text()
        tick.first.click()
        expect(page.locator("main")).not_to_have_text(before, timeout=10 * SECONDS)
        page.goto(class_url + "cuts/")
    assert page.locator(".reach form[action$='/tick/'] button").count() == 0

    page.goto(class_url)
    marks = page.locator("a.mark[href*='/billets/']").all_inner_texts()
    assert len({mark.strip() for mark in marks}) >= 2

    page.goto(class_url + "after/")
    for name, value in (("length_nm", "10"), ("width_nm", "1.56"), ("thickness_nm", "3/16")):
        page.locator(f"input[name$='-{name}']").first.fill(value)
    page.locator("select[name$='-reached']").first.select_option("finished")
    page.locator("form[method=post] button[type=submit].button").first.click()
    expect(page.locator("main")).to_contain_text(re.compile("written down", re.I))


def test_the_students_sheets_come_as_a_pdf(open_page: Opener) -> None:
    page = open_page(path="/classes/")
    page.get_by_role("link", name="Copper line weekend", exact=True).first.click()
    link = page.locator("a[href$='sheets.pdf']").first
    href = link.get_attribute("href")
    assert href is not None

    answer = page.request.get(href)

    assert answer.status == 200
    assert answer.headers["content-type"] == "application/pdf"
    assert answer.body()[:5] == b"%PDF-"


def test_the_rack_is_searched_as_one_types(open_page: Opener) -> None:
    page = open_page(path="/rack/")
    box = page.locator("form.filters input[type=search], form.filters input[name=q]").first

    box.fill("80crv2")
    box.press("Enter")

    headings = page.locator("main h2")
    expect(headings.filter(has_text="52100")).to_have_count(0)
    expect(headings.filter(has_text="80CrV2")).to_have_count(1)
