"""The layup editor by hand, by keyboard and without a script, on a phone."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Dialog, Page, Route, expect

from tests.browser.conftest import Opener

pytestmark = pytest.mark.browser

FIVE = "Five layers, one line"


@pytest.fixture
def open_editor(open_page: Opener) -> Callable[..., Page]:
    """The editor of the demo's five-layer layup."""

    def build(*, scripts: bool = True) -> Page:
        page = open_page(scripts=scripts, path="/layups/")
        page.get_by_role("link", name=FIVE).click()
        expect(page.get_by_role("heading", level=1)).to_have_text(FIVE)
        return page

    return build


def thicknesses(page: Page) -> list[str]:
    """What stands in the thickness fields, top face first."""
    fields = page.locator("[name$='-thickness']").all()
    return [field.input_value() for field in fields]


def test_the_panel_follows_the_fingers(open_editor: Callable[..., Page]) -> None:
    page = open_editor()
    expect(page.locator("#glance")).to_contain_text("sound")

    page.fill("[name='layer-2-thickness']", "1/16")

    expect(page.locator("#panel .findings")).to_contain_text("The core goes into the stack 1/16 in")
    expect(page.locator("#glance")).to_contain_text("cares")


def test_on_a_phone_findings_and_stack_stand_straight_under_the_layers(
    open_editor: Callable[..., Page],
) -> None:
    page = open_editor()

    tops = [
        page.locator(where).bounding_box()["y"]  # type: ignore[index]  # None fails the test
        for where in (
            "#layers",
            "#before",
            "#stack",
            "[name=blank_length_nm]",
            "#panel h2 >> text=Heat",
        )
    ]

    assert tops == sorted(tops)
    page.locator("#glance").click()
    expect(page.locator("#before")).to_be_in_viewport()


def test_a_size_that_only_one_grind_has_shows_with_that_grind(
    open_editor: Callable[..., Page],
) -> None:
    page = open_editor()
    expect(page.locator("[name=wheel_radius_nm]")).to_be_hidden()

    page.select_option("#editor [name=grind]", "hollow")
    page.fill("[name=bevel_height_nm]", "1 in")
    page.fill("[name=wheel_radius_nm]", "1 in")

    expect(page.locator("[name=bulge_nm]")).to_be_hidden()
    expect(page.locator("#blade [data-refused]")).to_contain_text("A wheel of radius 1.000 in")


def test_a_size_that_cannot_be_read_is_said_beside_its_field_while_the_panel_stays(
    open_editor: Callable[..., Page],
) -> None:
    page = open_editor()
    before = page.locator("#stack figcaption").inner_text()

    page.fill("[name='layer-2-thickness']", "three smoots")

    expect(page.locator("#layer-2-thickness-error")).to_contain_text("is not a length we know")
    expect(page.locator("#panel .message")).to_contain_text("before the marked fields")
    assert page.locator("#stack figcaption").inner_text() == before
    assert page.input_value("[name='layer-2-thickness']") == "three smoots"
    page.fill("[name='layer-2-thickness']", "3/16")
    expect(page.locator("#layer-2-thickness-error")).to_be_empty()
    expect(page.locator("#panel .message")).to_have_count(0)


def test_alt_and_an_arrow_move_a_layer_and_the_focus_goes_along(
    open_editor: Callable[..., Page],
) -> None:
    page = open_editor()
    page.focus("#up-2")

    page.keyboard.press("Alt+ArrowUp")

    expect(page.locator("#up-1")).to_be_focused()
    assert thicknesses(page)[1] == "3/16 in"
    page.keyboard.press("Alt+ArrowDown")
    expect(page.locator("#down-2")).to_be_focused()


def test_a_layer_is_added_removed_and_mirrored_without_leaving_the_page(
    open_editor: Callable[..., Page],
) -> None:
    page = open_editor()

    page.click("#add-row")
    expect(page.locator(".layer-row")).to_have_count(6)
    expect(page.locator("[name='layer-5-metal']")).to_be_focused()
    page.click("#remove-0")
    expect(page.locator(".layer-row")).to_have_count(5)
    page.click("#mirror")
    expect(page.locator(".layer-row")).to_have_count(7)

    sizes = thicknesses(page)
    assert sizes == sizes[::-1]


def test_leaving_after_a_button_of_a_row_asks_first(open_editor: Callable[..., Page]) -> None:
    page = open_editor()
    asked: list[str] = []

    def stay(dialog: Dialog) -> None:
        asked.append(dialog.type)
        dialog.dismiss()

    page.on("dialog", stay)
    page.click("#add-row")
    expect(page.locator(".layer-row")).to_have_count(6)
    page.evaluate("location.href = '/billets/'")
    page.wait_for_timeout(300)

    assert asked == ["beforeunload"]
    expect(page.locator(".layer-row")).to_have_count(6)


def test_stock_from_the_rack_fills_in_its_thickness(open_editor: Callable[..., Page]) -> None:
    page = open_editor()
    words = page.locator("[name='layer-0-metal'] option").all_inner_texts()
    stock = next(one for one in words if re.search(r"15N20 .* 1\.5 × 32 mm", one))

    page.select_option("[name='layer-0-metal']", label=stock)

    assert page.input_value("[name='layer-0-thickness']") == "1.5 mm"
    expect(page.locator("#panel .stack li").first).to_contain_text("15N20")


def test_a_finding_leads_to_its_layer(open_editor: Callable[..., Page]) -> None:
    page = open_editor()
    page.fill("[name='layer-2-thickness']", "1/16")
    link = page.locator("#panel .finding-links a").first
    expect(link).to_have_attribute("href", "#layer-3")

    link.click()

    expect(page.locator("#layer-3")).to_be_in_viewport()


def test_the_blade_moves_after_the_panel_was_renewed(open_editor: Callable[..., Page]) -> None:
    page = open_editor()
    with page.expect_response("**/layups/panel/"):
        page.fill("[name='layer-2-thickness']", "1/4")
    expect(page.locator("#stack figcaption")).to_contain_text("0.543 in")

    page.locator("#blade [name='spine']").evaluate(
        "input => { input.value = input.max;"
        " input.dispatchEvent(new Event('input', {bubbles: true})) }"
    )

    expect(page.locator("#blade")).to_have_attribute("data-ms", re.compile(r"\d"))
    assert float(page.locator("#blade").get_attribute("data-ms") or "999") < 100


def test_without_a_script_every_button_works_and_nothing_is_lost(
    open_editor: Callable[..., Page],
) -> None:
    page = open_editor(scripts=False)
    page.fill("[name='note']", "half a thought")
    page.fill("[name='layer-2-thickness']", "1/16")

    page.click("text=Show what follows")
    expect(page.locator("#panel .findings")).to_contain_text("The core goes into the stack 1/16 in")
    page.click("#up-2")
    page.click("#add-row")

    assert page.input_value("[name='note']").strip() == "half a thought"
    assert thicknesses(page)[1] == "1/16"
    assert len(thicknesses(page)) == 6
    page.goto("/layups/")
    page.get_by_role("link", name=FIVE).click()
    assert thicknesses(page)[2] == "3/16 in"


def test_choosing_copper_makes_a_line_and_steel_after_it_the_core(
    open_editor: Callable[..., Page],
) -> None:
    page = open_editor()
    part = page.locator("[name=layer-0-role]")

    page.select_option("[name=layer-0-metal]", "ac10200")
    expect(part).to_have_value("line")
    expect(page.locator("[name=layer-0-thickness]")).to_have_value("")  # 1/8 in was the steel's
    expect(page.locator("#layer-0-kind rect")).to_have_class("metal-copper")
    page.select_option("[name=layer-0-metal]", "a1084")
    expect(part).to_have_value("cladding")  # there is a core already
    page.select_option("[name=layer-2-metal]", "ac10200")
    page.select_option("[name=layer-2-metal]", "a1095")
    expect(page.locator("[name=layer-2-role]")).to_have_value("core")


def test_the_left_face_shows_the_sizes_of_its_own_grind(open_editor: Callable[..., Page]) -> None:
    page = open_editor()
    sizes = ("edge_off_nm", "left_bevel_height_nm", "left_wheel_radius_nm", "left_bulge_nm")

    def shown(grind: str) -> list[str]:
        page.select_option("#editor [name=left_grind]", grind)
        return [name for name in sizes if page.is_visible(f"#editor [name={name}]")]

    assert [shown(""), shown("none")] == [[], []]
    assert shown("flat") == ["edge_off_nm"]
    assert shown("hollow") == ["edge_off_nm", "left_bevel_height_nm", "left_wheel_radius_nm"]


def test_a_refused_layup_opens_where_it_is_wrong(open_editor: Callable[..., Page]) -> None:
    page = open_editor()

    for _ in range(2):  # the second time the browser remembers where it was
        page.fill("[name=name]", "")
        page.click("[name=save]")

        expect(page.locator("[name=name]")).to_be_focused()
        expect(page.locator("[name=name]")).to_be_in_viewport()


def test_nothing_can_be_typed_into_rows_that_are_about_to_be_replaced(
    open_editor: Callable[..., Page],
) -> None:
    page = open_editor()
    held: list[Route] = []

    def hold(route: Route) -> None:
        held.append(route)

    page.route(lambda url: "/layups/" in url and "/panel/" not in url, hold)

    page.click("#add-row")
    expect(page.locator("[data-layers]")).to_have_js_property("inert", True)
    held[0].continue_()

    expect(page.locator("[data-layer]")).to_have_count(6)
    expect(page.locator("[data-layers]")).to_have_js_property("inert", False)
    expect(page.locator("[name=layer-5-metal]")).to_be_focused()


def test_rows_can_be_typed_into_again_after_an_answer_that_never_came(
    open_editor: Callable[..., Page],
) -> None:
    page = open_editor()
    page.route(lambda url: "/layups/" in url and "/panel/" not in url, lambda route: route.abort())

    page.click("#add-row")

    expect(page.locator("[data-layers]")).to_have_js_property("inert", False)
    expect(page.locator("[data-layer]")).to_have_count(5)
