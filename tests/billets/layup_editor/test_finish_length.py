"""A layup drawn to a length: the width follows, two sizes are enough, panel and sheet say so."""

from typing import Any

import pytest

from billets.forging.forecast import outlook_of
from billets.layup_editor.forms import TWO_ARE_ENOUGH
from billets.models import Layup
from tests.billets.layup_form import form, soup, url
from tests.billets.stacks import cased
from tests.conftest import HTMX, IN
from tests.kinds import Client, MakeBillet, MakeLayup
from tests.pages import one


def drawn_out(page: Any) -> str:
    """What the panel or a billet's page says it comes out at."""
    found: str = page.find("h2", string="Drawn out").find_parent("section").text
    return found


@pytest.mark.slow
def test_a_length_is_kept_and_the_panel_draws_to_it(as_helper: Client) -> None:
    as_helper.post(url("layup-add"), form(finish_length_nm="13"))

    layup = Layup.objects.get()
    assert (layup.finish_length_nm, layup.finish_width_nm) == (13 * IN, None)
    page = soup(as_helper.get(url("layup-edit", layup.pk)))
    assert one(page, "[name=finish_length_nm]")["value"] == "13 in"
    assert "about 13 × " in drawn_out(page)
    assert "from the sizes asked for" in drawn_out(page)


def test_an_emptied_length_is_let_go(as_helper: Client, make_layup: MakeLayup) -> None:
    layup = make_layup(finish_length_nm=13 * IN)

    as_helper.post(url("layup-edit", layup.pk), form(finish_length_nm=""))

    layup.refresh_from_db()
    assert layup.finish_length_nm is None


@pytest.mark.slow
def test_three_sizes_are_refused_beside_the_length_and_nothing_is_kept(as_helper: Client) -> None:
    response = as_helper.post(
        url("layup-add"), form(finish_length_nm="13", finish_width_nm="1-1/2")
    )

    page = soup(response)
    assert response.status_code == 422
    assert TWO_ARE_ENOUGH in one(page, "#finish_length_nm-error").text
    assert one(page, "[name=finish_length_nm]")["value"] == "13"
    assert Layup.objects.count() == 0


@pytest.mark.slow
@pytest.mark.parametrize("typed", ["0", "-3", "three smoots", "9**9**9 in"])
def test_a_length_that_is_none_is_refused_beside_its_field(as_helper: Client, typed: str) -> None:
    response = as_helper.post(url("layup-add"), form(finish_length_nm=typed))

    assert response.status_code == 422
    assert one(soup(response), "#finish_length_nm-error").text.strip()
    assert Layup.objects.count() == 0


def test_a_length_beyond_the_metal_is_said_by_the_live_panel(as_helper: Client) -> None:
    data = form(finish_length_nm="60")

    response = as_helper.post(url("layup-panel"), data, headers=HTMX)

    assert "60.000 in is not possible. Choose a length between those" in drawn_out(soup(response))


def test_a_billet_keeps_the_length_it_was_made_for(
    as_helper: Client, make_layup: MakeLayup, make_billet: MakeBillet
) -> None:
    billet = make_billet(layup=make_layup(finish_length_nm=13 * IN))

    Layup.objects.update(finish_length_nm=None)

    page = soup(as_helper.get(url("billet-detail", billet.mark)))
    assert billet.design().finish_length_nm == 13 * IN
    assert "about 13 × " in drawn_out(page)


def test_the_sheet_is_drawn_to_the_length(make_layup: MakeLayup) -> None:
    from shop.sheets.press import press_on_paper

    case = cased(make_layup(finish_length_nm=13 * IN).design())

    paper = press_on_paper(case, outlook=outlook_of(case))

    assert paper.length_mm == pytest.approx(330.2, rel=1e-9)  # 13 in
    assert paper.finish is not None
    assert "13" in paper.finish.first
