"""The editor's left face: the same, not ground, or ground with sizes of its own."""

from collections.abc import Callable

import pytest

from billets.history.writing import make_billet
from billets.layup.design import BLADE_FIELDS, Blade, OtherFace
from billets.models import Layup
from tests.billets.layup_form import form, soup, url
from tests.conftest import IN
from tests.kinds import Client, Person

pytestmark = pytest.mark.django_db

CORE_AT_FACE = (
    ("a1084", "cladding", "1/4"),
    ("ac10200", "line", "20 thou"),
    ("a1095", "core", "1/4"),
)


def test_a_left_face_that_is_not_ground_is_kept(as_owner: Client) -> None:
    response = as_owner.post(url("layup-add"), form(*CORE_AT_FACE, left_grind="none"))

    assert response.status_code == 302
    kept = Layup.objects.get()
    assert kept.left_grind == "none"
    assert kept.design().blade.left == OtherFace()


def test_a_left_face_keeps_its_own_sizes_and_where_the_edge_lies(as_owner: Client) -> None:
    changes = {
        "left_grind": "hollow",
        "left_wheel_radius_nm": "6 in",
        "left_bevel_height_nm": "3/4",
        "edge_off_nm": "1/64",
    }

    as_owner.post(url("layup-add"), form(**changes))

    assert Layup.objects.get().design().blade.left == OtherFace(
        "hollow",
        bevel_height_nm=IN * 3 // 4,
        wheel_radius_nm=IN * 6,
        edge_off_nm=IN // 64,
    )


def test_sizes_of_a_left_face_count_for_nothing_while_it_is_the_same(as_owner: Client) -> None:
    as_owner.post(url("layup-add"), form(left_grind="", edge_off_nm="1/64"))

    assert Layup.objects.get().design().blade.left is None


@pytest.mark.slow
@pytest.mark.parametrize(
    ("name", "typed", "said"),
    [
        ("left_wheel_radius_nm", "0", "'0' is not above 0."),
        ("edge_off_nm", "-1/64", "'-1/64'"),
        ("left_bevel_height_nm", "1e9 in", "'1e9 in'"),
        ("left_grind", "scalloped", "Choose one of the list"),
    ],
)
def test_a_left_face_that_cannot_be_read_is_refused_beside_its_field(
    as_owner: Client, name: str, typed: str, said: str
) -> None:
    response = as_owner.post(url("layup-add"), form(**{"left_grind": "hollow", name: typed}))

    assert response.status_code == 422
    (error,) = soup(response).select(f"#{name}-error")
    assert said in error.text
    assert not Layup.objects.exists()


def test_a_chisel_grind_of_a_core_in_the_middle_is_a_stop_at_once(as_owner: Client) -> None:
    response = as_owner.post(url("layup-panel"), form(left_grind="none"))

    assert "Make the core the bottom layer, or grind both faces." in response.text


@pytest.mark.slow
def test_the_blade_of_a_chisel_grind_is_drawn_with_its_edge_on_the_left_face(
    as_owner: Client,
) -> None:
    response = as_owner.post(url("layup-panel"), form(*CORE_AT_FACE, left_grind="none"))

    page = soup(response)
    (edge,) = page.select("[data-edge]")
    assert "The edge lies in the core" in edge.text
    assert [one.text for one in page.select("[data-lines=left] li")] == [
        "Is not ground, and is core from edge to spine."
    ]


@pytest.mark.slow
def test_a_layup_of_before_opens_with_both_faces_the_same(
    as_owner: Client, make_layup: Callable[..., Layup]
) -> None:
    page = soup(as_owner.get(url("layup-edit", make_layup().pk)))

    chosen = page.select_one("#editor [name=left_grind] [selected]")
    assert chosen is not None
    assert chosen.text == "the same as the right face"


def test_a_billet_keeps_the_left_face_that_it_was_made_for(
    owner: Person, make_layup: Callable[..., Layup]
) -> None:
    layup = make_layup(left_grind="none")
    billet = make_billet(layup=layup, by=owner)

    layup.left_grind = ""
    layup.save()
    billet.refresh_from_db()

    assert billet.design().blade.left == OtherFace()
    assert layup.design().blade.left is None


def test_every_field_of_the_blade_is_one_of_the_layup_s() -> None:
    assert {field.name for field in Layup._meta.fields} >= set(BLADE_FIELDS)
    assert Layup().design_of(()).blade == Blade(3_968_750, 31_750_000)
