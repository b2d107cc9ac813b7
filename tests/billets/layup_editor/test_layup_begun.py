"""A layup that is only begun: nobody is blamed yet, and a refusal leads to the field."""

from collections.abc import Callable

import pytest

from billets.models import Layup
from tests.billets.layup_form import FIVE, PANEL, form, layers, soup, url
from tests.conftest import HTMX
from tests.kinds import Client
from tests.pages import one, words

pytestmark = pytest.mark.django_db
BEGUN = (FIVE[0], ("ac10200", "line", ""))


def test_a_thickness_that_is_still_to_be_typed_is_not_blamed_while_it_is_typed(
    as_helper: Client,
) -> None:
    page = soup(as_helper.post(PANEL, form(*BEGUN), headers=HTMX))

    assert one(page, "#layer-1-thickness-error").text == ""
    assert one(page, "#glance").text == "A thickness is still to be typed"
    assert "Type the thickness of each layer" in one(page, "#panel").text


def test_it_is_blamed_when_the_layup_is_saved(as_helper: Client) -> None:
    response = as_helper.post(url("layup-add"), form(*BEGUN))

    assert response.status_code == 422
    assert (
        "Type how thick this layer is bought"
        in one(soup(response), "#layer-1-thickness-error").text
    )


def test_a_field_that_is_wrong_and_not_empty_is_blamed_at_once(as_helper: Client) -> None:
    page = soup(as_helper.post(PANEL, form(*BEGUN, blank_length_nm="long"), headers=HTMX))

    assert "'long'" in one(page, "#blank_length_nm-error").text
    assert one(page, "#glance").text == "Put the marked field right"


def test_a_layup_without_a_layer_shows_no_earlier_stack(as_helper: Client) -> None:
    good = one(soup(as_helper.post(PANEL, form(), headers=HTMX)), "#good")["value"]
    data = form() | layers(FIVE[0]) | {"remove": "0", "good": str(good)}

    page = soup(as_helper.post(url("layup-add"), data, headers=HTMX))

    assert page.select("[data-layer]") == []
    assert one(page, "#glance").text == "No layer yet"
    assert "There is no layer yet." in one(page, "#before").text
    assert page.select("#panel .stack") == []
    assert words(page, "#add-row") == "Add a layer"
    assert one(page, "#add-row").has_attr("autofocus")
    assert page.select("#mirror") == []


def test_a_refused_layup_opens_at_the_first_field_that_is_wrong(as_helper: Client) -> None:
    page = soup(as_helper.post(url("layup-add"), form(name="", blank_width_nm="0")))

    assert "Not saved." in one(page, "#editor [role=alert]").text
    assert [field["name"] for field in page.select("#editor [autofocus]")] == ["blank_width_nm"]


@pytest.mark.slow
def test_a_layup_without_a_name_opens_at_its_name(as_helper: Client) -> None:
    page = soup(as_helper.post(url("layup-add"), form(name="")))

    assert [field["name"] for field in page.select("#editor [autofocus]")] == ["name"]
    assert Layup.objects.count() == 0


@pytest.mark.slow
def test_only_metals_that_melt_low_make_a_row_a_line(as_helper: Client) -> None:
    page = soup(as_helper.get(url("layup-add")))
    lines = {str(option["value"]) for option in page.select("#id_layer-0-metal [data-line]")}

    assert lines >= {"ac10200", "ac11000"}
    assert not lines & {"a1084", "a1095", "a15n20"}


@pytest.mark.parametrize(
    ("name", "typed"),
    [("finish_length_nm", "300 ft"), ("finish_width_nm", "0.0001"), ("blank_length_nm", "0.0001")],
)
def test_a_size_that_the_metal_cannot_become_is_not_called_sound(
    as_helper: Client, name: str, typed: str
) -> None:
    page = soup(as_helper.post(PANEL, form(**{name: typed}), headers=HTMX))

    assert one(page, "#glance").text.endswith("1 care")
    assert "to mind" in one(page, "#before").text


def test_a_layup_is_not_told_while_it_is_typed_that_its_own_name_is_taken(
    as_helper: Client, make_layup: Callable[..., Layup]
) -> None:
    name = make_layup().name

    page = soup(as_helper.post(PANEL, form(name=name), headers=HTMX))

    assert one(page, "#name-error").text == ""
    assert page.select(".errorlist") == []


@pytest.mark.slow
@pytest.mark.parametrize(
    ("changes", "is_open"),
    [
        ({}, False),
        ({"bar_folds": "0"}, False),
        ({"bar_folds": "3"}, True),
        ({"bar_folds": "thirteen"}, True),
        ({"zinc_control": "hood and supplied air"}, True),
        ({"left_grind": "none"}, True),  # a stop, which an owner may answer for
    ],
)
def test_fields_that_few_layups_need_are_folded_until_they_matter(
    as_owner: Client, changes: dict[str, str], is_open: bool
) -> None:
    page = soup(as_owner.post(url("layup-add"), form(**{"name": "", **changes})))

    folded = one(page, "[name=bar_folds]").find_parent("details")
    assert folded is not None
    assert folded.has_attr("open") is is_open
    assert one(page, "[name=override_reason]").find_parent("details") is folded


@pytest.mark.slow
def test_a_layer_is_copied_underneath_itself_and_its_metal_is_asked_for(as_helper: Client) -> None:
    page = soup(as_helper.post(url("layup-add"), form() | {"copy": "1"}, headers=HTMX))

    metals = [str(one["value"]) for one in page.select("[data-metal] [selected]")]
    assert metals == ["a1084", "ac10200", "ac10200", "a1095", "ac10200", "a1084"]
    assert one(page, "#id_layer-2-metal").has_attr("autofocus")
    assert Layup.objects.count() == 0


@pytest.mark.slow
def test_a_stack_that_is_full_says_so_instead_of_a_button(as_helper: Client) -> None:
    rows = [FIVE[0]] * 60

    page = soup(as_helper.post(url("layup-add"), form(*rows) | {"up": "0"}, headers=HTMX))

    assert page.select("#add-row") == []
    assert "A stack has 60 layers at most." in one(page, "#layers").text
