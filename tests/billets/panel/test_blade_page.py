"""The blade's page: sizes from a form, sliders that stand where the blade is, refusals kept."""

import json
from dataclasses import replace

import pytest

from billets.blade.sizes import BladeSizes, asked_sizes, section_of_sizes, sizes_of
from billets.blade.sliders import Slider
from billets.drawings.halves import halves
from billets.layup.design import Blade
from billets.panel.blade import BladePage, Laminate, blade_page
from stock.quantities.units import UnitsError

USUAL = BladeSizes(spine_nm=4_000_000, height_nm=30_000_000, edge_nm=400_000)


def laminate() -> Laminate:
    right, left = halves(
        [1.4, 0.2, 2.0, 0.2, 1.4],
        kinds=[
            *("metal-carbon-steel", "metal-copper", "metal-core"),
            *("metal-copper", "metal-carbon-steel"),
        ],
        roles=["cladding", "line", "core", "line", "cladding"],
    )
    return Laminate(right, left, "K7M4", 140.0, 20.0)


def page_of(sizes: BladeSizes = USUAL, system: str = "metric") -> BladePage:
    return blade_page(sizes, laminate=laminate(), system=system)


def slider(page: BladePage, name: str) -> Slider:
    return next(one for one in page.sliders if one.name == name)


def test_sizes_are_read_as_they_are_typed_in_the_shop_s_unit() -> None:
    query = {"spine": "5/32", "height": "1-1/4 in", "drift": "-.01", "grind": "convex"}

    asked = asked_sizes(query, usual=USUAL, unit="in")

    assert (asked.spine_nm, asked.height_nm) == (3_968_750, 31_750_000)
    assert asked.drift_nm == -254_000
    assert asked.grind == "convex"
    assert asked.edge_nm == 400_000


def test_a_core_may_be_on_centre_and_an_edge_ground_to_nothing() -> None:
    asked = asked_sizes({"drift": "0", "edge": "0", "valley": "0"}, usual=USUAL, unit="mm")

    assert (asked.drift_nm, asked.edge_nm, asked.valley_nm) == (0, 0, 0)


def test_an_empty_field_keeps_what_was_there() -> None:
    assert asked_sizes({"spine": " ", "angle": ""}, usual=USUAL, unit="mm") == USUAL


@pytest.mark.parametrize(
    ("name", "text", "said"),
    [
        ("spine", "12 smoots", "'12 smoots'"),
        ("spine", "-3", "-3"),
        ("height", "0", "0"),
        ("angle", "steep", "'steep' is not an angle we know. Write degrees, such as 20."),
        ("angle", "nan", "'nan' is not an angle we know."),
        ("angle", "1e400", "'1e400' is not an angle we know."),
        ("angle", "-20", "'-20' is not an angle we know."),
        ("spine", "9**9**9 mm", "9**9**9"),
    ],
)
def test_a_size_that_cannot_be_read_is_refused(name: str, text: str, said: str) -> None:
    with pytest.raises(UnitsError) as refusal:
        asked_sizes({name: text}, usual=USUAL, unit="mm")

    assert said in str(refusal.value)


def test_a_layup_s_blade_gives_its_sizes() -> None:
    blade = Blade(
        spine_nm=4_000_000, height_nm=30_000_000, grind="hollow", wheel_radius_nm=150_000_000
    )

    sizes = sizes_of(blade, edge_nm=400_000, drift_nm=-100_000)

    assert (sizes.wheel_nm, sizes.bevel_nm, sizes.drift_nm) == (150_000_000, None, -100_000)
    assert section_of_sizes(sizes).right.radius_mm == 150.0


def test_the_page_has_three_drawings_and_a_sentence_for_each_face() -> None:
    page = page_of()

    assert page.refusal == ""
    assert page.section is not None
    assert page.right is not None
    assert page.left is not None
    assert [face.side for face in page.faces] == ["right", "left"]
    assert page.faces[0].lines[0].startswith("Comes out 13.3 mm above the edge")
    assert page.edge.startswith("The edge lies in the core and stays in it")


def test_lines_are_numbered_where_there_is_more_than_one() -> None:
    right, left = halves(
        [0.6, 0.2, 0.4, 0.2, 1.6, 0.2, 0.4, 0.2, 0.6],
        kinds=["metal-copper"] * 9,
        roles=[
            *("cladding", "line", "jacket", "line", "core"),
            *("line", "jacket", "line", "cladding"),
        ],
    )

    page = blade_page(USUAL, laminate=Laminate(right, left, "K7M4", 140.0, 20.0), system="metric")

    assert [line[:18] for line in page.faces[1].lines] == [
        "Line 1: Comes out ",
        "Line 2: Comes out ",
    ]


def test_sizes_that_make_no_blade_are_refused_and_the_sliders_stay() -> None:
    page = page_of(BladeSizes(spine_nm=300_000, height_nm=30_000_000, edge_nm=400_000))

    assert page.section is None
    assert "make the spine thicker than the edge" in page.refusal
    assert slider(page, "spine").text == "0.3 mm"
    assert float(slider(page, "spine").low) <= 0.3


def test_sliders_stand_where_the_blade_is_in_the_shop_s_unit() -> None:
    metric, inch = page_of(system="metric"), page_of(system="inch")

    assert (slider(metric, "height").value, slider(metric, "height").unit) == ("30", "mm")
    assert (slider(inch, "height").value, slider(inch, "height").text) == ("1.1811", "1.181 in")
    assert (slider(inch, "angle").value, slider(inch, "angle").unit) == ("20", "°")


def test_only_the_sliders_of_the_chosen_grind_are_shown() -> None:
    hidden = {
        grind: {
            one.name
            for one in page_of(BladeSizes(4_000_000, 30_000_000, grind)).sliders
            if one.is_hidden
        }
        for grind in ("flat", "sabre", "hollow", "convex")
    }

    other = {"left_bevel", "left_wheel", "left_bulge", "off"}
    assert hidden == {
        "flat": {"bevel", "wheel", "bulge"} | other,
        "sabre": {"wheel", "bulge"} | other,
        "hollow": {"bulge"} | other,
        "convex": {"wheel"} | other,
    }


def test_the_left_face_has_sliders_of_its_own_only_where_it_is_ground_differently() -> None:
    shown = {
        left: {
            one.name
            for one in page_of(replace(USUAL, left=left)).sliders
            if one.face == "left" and not one.is_hidden
        }
        for left in ("", "none", "flat", "hollow")
    }

    assert shown == {
        "": set(),
        "none": set(),
        "flat": {"off"},
        "hollow": {"left_bevel", "left_wheel", "off"},
    }


def test_a_left_face_is_read_as_it_is_chosen() -> None:
    left_hollow = replace(USUAL, left="hollow", left_wheel_nm=150_000_000)

    asked = asked_sizes({"left": "flat", "off": "0.3"}, usual=left_hollow, unit="mm")

    assert (asked.left, asked.off_nm) == ("flat", 300_000)
    assert asked_sizes({"left": ""}, usual=left_hollow, unit="mm").left == ""
    assert asked_sizes({"spine": "5"}, usual=left_hollow, unit="mm").left == "hollow"


def test_an_unknown_grind_of_the_left_face_is_refused_in_words() -> None:
    assert page_of(replace(USUAL, left="scalloped")).refusal == (
        "'scalloped' is not a grind we know; choose one of: flat, sabre, hollow, convex."
    )


def test_a_grind_s_own_slider_stands_where_the_grind_put_it() -> None:
    page = page_of(BladeSizes(4_000_000, 30_000_000, "sabre", edge_nm=400_000))

    assert slider(page, "bevel").value == "18"


@pytest.mark.parametrize("grind", ["sabre", "hollow", "convex"])
def test_choosing_another_grind_gives_a_blade_at_once(grind: str) -> None:
    stands = {one.name: one.value for one in page_of().sliders}

    asked = asked_sizes(stands | {"grind": grind}, usual=USUAL, unit="mm")

    assert page_of(asked).refusal == ""


@pytest.mark.parametrize("left", ["none", "flat", "sabre", "hollow", "convex"])
def test_choosing_another_left_face_gives_a_blade_at_once(left: str) -> None:
    stands = {one.name: one.value for one in page_of().sliders}

    asked = asked_sizes(stands | {"left": left}, usual=USUAL, unit="mm")

    assert page_of(asked).refusal == ""


def test_the_script_is_told_the_laminate_and_the_wording() -> None:
    told = json.loads(page_of().script)

    assert told["system"] == "metric"
    assert told["halves"]["right"][1] == {"outer": pytest.approx(1.2), "isLine": True}
    assert len(told["waves"]["left"]) == 97
    assert set(told["says"]) == {"line", "wear", "wave", "edge", "refusal"}
