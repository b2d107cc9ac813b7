"""Layups as data, their sums, the working window."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from billets.layup import design as layup_design
from billets.layup import stack, window
from billets.layup.design import Design, DesignError, Layer
from stock.alloys.book import UnknownAlloy, book
from tests.billets.stacks import (
    MM,
    RULES,
    around,
    clad,
    core,
    five,
    lay,
    line,
    nine,
    own,
)


def test_a_layup_survives_being_written_to_json_and_read_back() -> None:
    design = nine(zinc_control="exhaust on", seam_closed=False, finish_width_nm=40 * MM)

    text = json.dumps(design.to_json())

    assert Design.from_json(json.loads(text)) == design


def test_a_layup_written_before_lengths_were_asked_for_is_read_without_one() -> None:
    old = five().to_json()
    del old["finish_length_nm"]
    new = five().to_json() | {"finish_length_nm": 250 * MM}

    assert Design.from_json(old).finish_length_nm is None
    assert Design.from_json(new).finish_length_nm == 250_000_000


def test_a_layup_in_json_is_plain_whole_numbers_and_words() -> None:
    data = five().to_json()

    assert data["layers"][1] == {"alloy": "c11000", "thickness_nm": 500_000, "role": "line"}
    assert data["blank_length_nm"] == 150_000_000
    assert data["finish_width_nm"] is None
    assert data["finish_length_nm"] is None
    assert data["blade"]["grind"] == "flat"


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"blank_length_nm": 1.5}, "'blank_length_nm' of this layup is 1.5; it has to be a whole"),
        ({"blank_width_nm": None}, "'blank_width_nm' of this layup is None"),
        ({"cleaning_loss_nm": True}, "'cleaning_loss_nm' of this layup is True"),
        ({"seam_closed": "yes"}, "'seam_closed' of this layup is 'yes'; it has to be true or"),
        ({"zinc_control": 7}, "'zinc_control' of this layup is 7; it has to be text"),
        ({"layers": "none"}, "'layers' of this layup is 'none'; it has to be a list of layers"),
        ({"layers": ["1084"]}, "'layers' of this layup is '1084'; it has to be a group"),
        (
            {"layers": [{"alloy": "1084", "thickness_nm": 1, "role": "filling"}]},
            "'role' of this layup is 'filling'; it has to be one of cladding, line, core, jacket",
        ),
        ({"blade": {"grind": "chisel"}}, "'grind' of this layup is 'chisel'; it has to be one of"),
        ({"blade": 3}, "'blade' of this layup is 3"),
    ],
)
def test_stored_data_that_is_no_layup_is_refused_with_what_is_wrong(
    change: dict[str, object], sentence: str
) -> None:
    data = five().to_json() | change

    with pytest.raises(DesignError) as refused:
        Design.from_json(data)

    assert sentence in str(refused.value)
    assert refused.value.name in sentence


def test_names_that_a_newer_version_wrote_are_left_alone() -> None:
    data = five().to_json() | {"forged_by_moonlight": True}

    assert Design.from_json(data) == five()


def test_the_height_is_the_sum_of_the_layers() -> None:
    assert stack.stack_height_nm(five()) == 13_000_000


def test_cleaning_takes_both_faces_of_every_layer_but_the_lines() -> None:
    design = five(cleaning_loss_nm=100_000)

    assert stack.cleaned_layers_nm(design) == (
        3_800_000,
        500_000,
        3_800_000,
        500_000,
        3_800_000,
    )
    assert stack.stack_height_nm(design) == 12_400_000


def test_a_layer_that_cleaning_eats_up_is_nothing_and_not_less() -> None:
    design = around(core(mm=0.1), clad(), cleaning_loss_nm=100_000)

    assert stack.cleaned_layers_nm(design)[1] == 0


def test_the_mass_of_a_five_layer_stack() -> None:
    # 150 x 30 x 4 mm of 7850 kg/m3 is 141.3 g; 150 x 30 x 0.5 mm of 8915 kg/m3 is 20.05875 g
    masses = stack.layer_masses_ug(five(), alloys=book())

    assert masses == (141_300_000, 20_058_750, 141_300_000, 20_058_750, 141_300_000)
    assert stack.mass_ug(five(), alloys=book()) == 464_017_500


def test_the_mass_of_an_unknown_alloy_is_refused() -> None:
    with pytest.raises(UnknownAlloy, match="No alloy has the key 'unobtanium'"):
        stack.mass_ug(lay(core("unobtanium"), clad()), alloys=book())


def test_the_cut_allowance_lengthens_every_blank() -> None:
    assert stack.cut_length_nm(five(cut_allowance_nm=3 * MM)) == 153_000_000


@pytest.mark.parametrize(
    ("layers", "place"),
    [
        ((), None),
        ((clad(),), None),
        ((core(),), 0),
        ((clad(), line(), core(), line(), clad()), 2),
        ((clad(), core(), core(), clad()), 1),
        ((core(), line(), core(), line(), core()), 2),
    ],
)
def test_the_core_is_the_layer_called_so_nearest_the_middle(
    layers: tuple[Layer, ...], place: int | None
) -> None:
    assert stack.core_index(lay(*layers)) == place


@pytest.mark.parametrize(
    ("layers", "mirrored"),
    [
        ((clad(), line(), core()), (clad(), line(), core(), line(), clad())),
        ((core(), line(), clad("410")), (clad("410"), line(), core(), line(), clad("410"))),
        ((clad(), core(), core(), clad()), (clad(), core(), clad())),
        (
            (clad(), line(), core(), line("c10200"), clad()),
            (clad(), line(), core(), line(), clad()),
        ),
        ((clad(), line()), (clad(), line(), clad())),
        ((), ()),
    ],
)
def test_mirroring_lays_the_same_layers_on_both_sides_of_one_core(
    layers: tuple[Layer, ...], mirrored: tuple[Layer, ...]
) -> None:
    assert stack.mirror(lay(*layers)).layers == mirrored


@pytest.mark.parametrize(
    ("design", "process"),
    [
        (five(), "bonded"),
        (around(core(), clad(), line("c71500")), "bonded"),
        (around(core(), clad(), line("fine-silver")), "bonded"),
        (around(core(), clad(), line("nickel-200")), "forge-welded"),
        (around(core(), clad("wrought-iron")), "forge-welded"),
        (lay(), "forge-welded"),
        (lay(clad("unobtanium")), "forge-welded"),
    ],
)
def test_one_low_melting_layer_makes_a_stack_bonded(design: Design, process: str) -> None:
    assert stack.process(design, book()) == process


def test_a_shop_alloy_without_a_solidus_is_judged_by_its_family() -> None:
    alloys = {**book(), "mystery": own("mystery", family="bronze")}

    assert stack.process(around(core(), clad(), line("mystery")), alloys) == "bonded"


def test_drawing_to_half_the_height_halves_every_layer() -> None:
    drawn = stack.drawn_layers_nm(five(), thickness_nm=6_500_000)

    assert drawn == (2_000_000, 250_000, 2_000_000, 250_000, 2_000_000)


def test_pressing_thickens_nothing() -> None:
    assert sum(stack.drawn_layers_nm(five(), thickness_nm=20 * MM)) == 13_000_000


def test_grinding_to_the_spine_takes_from_the_outer_layers_only() -> None:
    # 6.5 mm forged, 4 mm at the spine: 1.25 mm off each 2 mm cladding
    assert stack.finished_layers(five()) == (750_000, 250_000, 2_000_000, 250_000, 750_000)


def test_grinding_through_the_cladding_goes_on_into_the_line() -> None:
    # 1, 0.5, 9, 0.5, 1 mm forged to 6 mm is 0.5, 0.25, 4.5, 0.25, 0.5; 1 mm a face comes off
    design = around(core(mm=9.0), clad(mm=1.0), line(), finish_mm=6.0)

    assert stack.finished_layers(design) == (0, 0, 4_000_000, 0, 0)


def test_an_empty_layup_has_no_height_no_layers_and_no_window() -> None:
    found = window.window(lay(), book(), RULES)

    assert stack.stack_height_nm(lay()) == 0
    assert stack.finished_layers(lay()) == ()
    assert (found.ceiling_c, found.floor_c, found.width_c) == (None, None, None)
    assert not found.is_open
    assert found.why("metric") == ()


@given(
    thicknesses=st.lists(st.integers(1, 50 * MM), min_size=1, max_size=40),
    finish=st.integers(1, 100 * MM),
    spine=st.integers(1, 20 * MM),
)
def test_drawn_and_finished_layers_add_up_to_the_nanometre(
    thicknesses: list[int], finish: int, spine: int
) -> None:
    layers = [Layer("1084", nm, "cladding") for nm in thicknesses]
    blade = layup_design.Blade(spine_nm=spine)
    design = lay(*layers, finish_thickness_nm=finish, blade=blade)
    target = min(finish, sum(thicknesses))

    drawn = stack.drawn_layers_nm(design, thickness_nm=finish)
    finished = stack.finished_layers(design)

    assert sum(drawn) == target
    assert sum(finished) == min(spine, target)
    assert all(0 <= left <= before for left, before in zip(finished, drawn, strict=True))
