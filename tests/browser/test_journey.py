"""A new shop's first day in a browser: set up, metal in, a layup, a class, cut, on paper."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect
from pypdf import PdfReader

from tests.browser.conftest import PHONE

pytestmark = pytest.mark.browser

SECONDS = 1000
PASSWORD = "hammer-and-stone-7"
METAL = (  # form, alloy, section, size, price
    ("flat", "1018", "1/8 x 1 1/4 in", "72", "17.50"),
    ("flat", "1095", "3/16 x 1-1/4", "36 in", "24"),
    ("roll", "c11000", "16 oz x 12 in", "10 ft", "168,00"),
)
LAYERS = (  # top face first
    ("1018", "cladding", "1/8"),
    ("c11000", "line", ".0216"),
    ("1095", "core", "3/16"),
    ("c11000", "line", "0.0216 in"),
    ("1018", "cladding", '1/8"'),
)


def set_up(page: Page, *, code: str) -> None:
    """The page that works once."""
    for name, value in (
        ("code", code),
        ("name", "Bracken Yard"),
        ("first_name", "Nell"),
        ("username", "nell"),
        ("password", PASSWORD),
    ):
        page.fill(f"[name={name}]", value)
    page.click("main button[type=submit]")


def receive(page: Page, number: int) -> None:
    """One purchase of one line, its material described in place."""
    form, alloy, section, size, price = METAL[number]
    page.goto("/receive/")
    if number == 0:
        page.select_option("[name=supplier]", "new")
        page.fill("[name=new_supplier]", "Pennock Metals")
    else:
        page.select_option("[name=supplier]", label="Pennock Metals")
    page.select_option("[name=lines-0-material]", "new")
    page.locator("[name=lines-0-new_form]").evaluate(
        "field => field.closest('details').open = true"
    )
    page.select_option("[name=lines-0-new_form]", form)
    page.select_option("[name=lines-0-new_alloy]", alloy)
    if "oz" in section:
        page.select_option("[name=lines-0-new_gauge]", "copper-oz")
    page.fill("[name=lines-0-new_section]", section)
    page.fill("[name=lines-0-size]", size)
    page.fill("[name=lines-0-price_cents]", price)
    page.fill("[name=lines-0-place]", "rack 1")
    page.get_by_role("button", name="Write it down").click()
    expect(page.locator("main .field-error, main .errorlist")).to_have_count(0)


def draft_layup(page: Page) -> None:
    """Five layers, typed as people type."""
    page.goto("/layups/add/")
    for at, (alloy, role, thickness) in enumerate(LAYERS):
        metal = page.locator(f"[name=layer-{at}-metal]")
        label = metal.locator("option").filter(has_text=alloy.upper()).first.get_attribute("value")
        metal.select_option(label)
        page.select_option(f"[name=layer-{at}-role]", role)
        page.fill(f"[name=layer-{at}-thickness]", thickness)
    page.fill("[name=blank_length_nm]", "6 in")
    page.fill("[name=blank_width_nm]", "1 1/4")
    page.fill("[name=finish_thickness_nm]", "3/16")
    page.fill("[name=name]", "House stack")
    page.get_by_role("button", name="Save the layup").click()
    expect(page.locator("h1")).to_have_text("House stack")


def fill_class(page: Page) -> str:
    """A class of two; gives its address."""
    page.goto("/classes/add/")
    page.fill("[name=title]", "First class")
    page.fill("[name=starts_on]", "2027-04-10")
    page.fill("[name=ends_on]", "2027-04-11")
    page.select_option("[name=layup]", label="House stack")
    page.fill("[name=seat_count]", "2")
    page.locator("main").get_by_role("button", name="Add the class").click()
    url = page.url
    page.goto(url + "seats/paste/")
    page.fill("textarea[name=students]", "Ida Morrow\nSam Tilling")
    page.locator("main").get_by_role("button", name="Seat them").click()
    return url


def test_a_new_shop_gets_from_its_first_bar_to_its_first_sheet(
    browser_app: Browser, empty_site: str, tmp_path: Path
) -> None:
    context = browser_app.new_context(
        viewport={"width": PHONE["width"], "height": PHONE["height"]}, base_url=empty_site
    )
    page = context.new_page()
    page.goto("/")
    set_up(page, code=(tmp_path / "first-run-code.txt").read_text())
    for number in range(len(METAL)):
        receive(page, number)
    page.goto("/rack/")
    expect(page.locator("main a.mark")).to_have_count(3)
    draft_layup(page)

    class_url = fill_class(page)
    page.goto(class_url + "plan/")
    page.locator("main").get_by_role("button", name="Make the plan").click()
    confirm = page.locator("form[action$='/plan/confirm/'] button").first
    expect(confirm).to_be_visible(timeout=30 * SECONDS)
    confirm.click()

    page.goto(class_url + "cuts/")
    page.locator(".reach form[action$='/tick/'] button").first.click()
    expect(page.locator("main").get_by_text("Undo").first).to_be_visible()

    sheets = page.request.get(class_url + "sheets.pdf")
    text = "\n".join(one.extract_text() for one in PdfReader(io.BytesIO(sheets.body())).pages)
    assert "Ida Morrow" in text
    assert "Sam Tilling" in text
    assert "1796 °F" in text
    context.close()
