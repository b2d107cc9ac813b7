"""A layup drawn to a width and a length: the thickness follows from the metal, or is refused."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from billets.errors import DrawOutError
from billets.forging.forecast import drawn_size, followed, wanted_of
from billets.layup.design import Design
from billets.layup.stack import with_blank
from billets.layup_editor.forms import NEEDS_TWO, TWO_ARE_ENOUGH
from billets.models import Layup
from stock.house import House
from tests.billets.layup_form import form, soup, url
from tests.billets.stacks import MM, cased, five
from tests.conftest import HTMX, IN
from tests.kinds import Client
from tests.pages import one

LOSSLESS = House(system="metric", crop_percent=0, scale_per_heat_nm=0)
TWO = {"finish_thickness_nm": "", "finish_width_nm": "1-1/2", "finish_length_nm": "9"}


def to(width_mm: float, length_mm: float) -> Design:
    """150 by 30 by 13 mm drawn to a width and a length."""
    return five(finish_width_nm=round(width_mm * MM), finish_length_nm=round(length_mm * MM))


def test_width_and_length_give_the_thickness_by_volume() -> None:
    # 150 x 30 x 13 = 58500 mm3; over 36 x 250 mm it is 6.5 mm thick.
    assert followed(cased(to(36, 250), LOSSLESS)).finish_thickness_nm == 6_500_000


def test_what_is_cropped_and_scaled_off_is_missing_in_the_thickness() -> None:
    # 4 % cropped leaves 56160 mm3: 6.24 mm over 36 x 250.
    cropped = replace(LOSSLESS, crop_percent=4)

    assert followed(cased(to(36, 250), cropped)).finish_thickness_nm == 6_240_000
    scaled = followed(cased(to(36, 250), replace(cropped, scale_per_heat_nm=25_000)))
    assert 5_700_000 < scaled.finish_thickness_nm < 6_200_000


def test_the_billet_comes_out_at_the_width_and_length_that_were_asked_for() -> None:
    house = House()

    size = drawn_size(cased(followed(cased(to(36, 250), house)), house)).finish

    assert (size.width_mm, size.length_mm) == pytest.approx((36, 250))


def test_only_width_and_length_together_leave_the_thickness_to_the_metal() -> None:
    both = wanted_of(to(36, 250))
    width_alone = wanted_of(five(finish_width_nm=36 * MM))

    assert (both.thickness_mm, both.width_mm, both.length_mm) == (None, 36, 250)
    assert (width_alone.thickness_mm, width_alone.width_mm) == (6.5, 36)
    assert followed(cased(five(), LOSSLESS)) == five()


@pytest.mark.parametrize(
    ("width_mm", "length_mm", "said"),
    [
        # 56160 mm3 over 36 x 100 mm
        (36, 100, "the metal of this stack would be 15.6 mm thick, but pressing thickens nothing"),
        (30, 120, "Choose a longer billet and cut it"),
        (400, 100, "400 mm is not possible. Choose a width between those, another length, or"),
        (5, 250, "the metal of this stack would be 44.9 mm thick"),
        (36, 3000, "the metal of this stack would be only 0.52 mm thick, and scale leaves"),
        (36, 9_000_000, "Ask for less width or length, or start with a larger blank"),
    ],
)
def test_a_size_beyond_the_metal_is_refused(width_mm: float, length_mm: float, said: str) -> None:
    with pytest.raises(DrawOutError) as refusal:
        followed(cased(to(width_mm, length_mm), House(system="metric")))

    assert said in refusal.value.sentence("metric")


def test_a_seat_s_own_blank_takes_the_thickness_with_its_area() -> None:
    design = replace(to(36, 250), finish_thickness_nm=6 * MM)

    # 120 x 30 of 150 x 30 is four fifths: 4.8 mm; three times as long is more than the stack.
    assert with_blank(design, length_nm=120 * MM, width_nm=30 * MM).finish_thickness_nm == 4_800_000
    assert with_blank(design, length_nm=450 * MM, width_nm=30 * MM).finish_thickness_nm == 13 * MM
    assert with_blank(five(), length_nm=120 * MM, width_nm=30 * MM).finish_thickness_nm == 6_500_000


def test_the_editor_keeps_width_and_length_and_writes_down_what_follows(as_helper: Client) -> None:
    response = as_helper.post(url("layup-add"), form(**TWO))

    layup = Layup.objects.get()
    assert response.status_code == 302
    assert (layup.finish_width_nm, layup.finish_length_nm) == (IN * 3 // 2, 9 * IN)
    # 6 x 1.25 x 0.4775 in less 4 % and scale, over 1.5 x 9 in: a little under 0.2547 in.
    assert 0.24 * IN < layup.finish_thickness_nm < 0.2547 * IN
    page = soup(as_helper.get(url("layup-edit", layup.pk)))
    assert one(page, "[name=finish_thickness_nm]").get("value") is None
    assert one(page, "[name=finish_length_nm]")["value"] == "9 in"


def test_a_saved_layup_may_be_saved_again_as_it_is(
    as_helper: Client, make_layup: Callable[..., Layup]
) -> None:
    layup = make_layup(finish_width_nm=IN * 3 // 2, finish_length_nm=9 * IN)

    response = as_helper.post(url("layup-edit", layup.pk), form(**TWO))

    assert response.status_code == 302


def test_the_panel_says_the_size_that_follows(as_helper: Client) -> None:
    response = as_helper.post(url("layup-panel"), form(**TWO), headers=HTMX)

    assert "about 9 × 1-1/2 × " in response.text


def test_a_width_and_length_that_the_metal_cannot_be_are_refused_beside_the_length(
    as_helper: Client,
) -> None:
    response = as_helper.post(url("layup-add"), form(**TWO | {"finish_length_nm": "3"}))

    assert response.status_code == 422
    assert "pressing thickens nothing" in one(soup(response), "#finish_length_nm-error").text
    assert Layup.objects.count() == 0


@pytest.mark.parametrize(
    "sizes", [{}, {"finish_width_nm": "1-1/2"}, {"finish_length_nm": "9"}], ids=str
)
def test_no_thickness_without_both_others_is_refused(
    as_helper: Client, sizes: dict[str, str]
) -> None:
    response = as_helper.post(url("layup-add"), form(**{"finish_thickness_nm": "", **sizes}))

    assert response.status_code == 422
    assert NEEDS_TWO in one(soup(response), "#finish_thickness_nm-error").text
    assert Layup.objects.count() == 0


def test_all_three_are_one_too_many(as_helper: Client) -> None:
    response = as_helper.post(url("layup-add"), form(**TWO | {"finish_thickness_nm": "3/16"}))

    assert TWO_ARE_ENOUGH in one(soup(response), "#finish_length_nm-error").text
