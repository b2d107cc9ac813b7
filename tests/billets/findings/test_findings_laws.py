"""What holds for the findings of any layup at all, however odd."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from billets.layup import design as layup_design
from billets.layup import stack
from billets.layup.design import Blade, Design, Layer
from stock.alloys.book import book
from tests.billets.stacks import MM, judged

LAYERS = st.builds(
    Layer,
    alloy=st.sampled_from([*book(), "unobtanium", ""]),
    thickness_nm=st.integers(-MM, 20 * MM),
    role=st.sampled_from(layup_design.ROLES),
)
DESIGNS = st.builds(
    Design,
    layers=st.lists(LAYERS, max_size=40).map(tuple),
    blank_length_nm=st.integers(-MM, 500 * MM),
    blank_width_nm=st.integers(-MM, 100 * MM),
    finish_thickness_nm=st.integers(-MM, 100 * MM),
    cleaning_loss_nm=st.integers(-MM, MM),
    seam_closed=st.booleans(),
    zinc_control=st.text(max_size=20),
    blade=st.builds(
        Blade,
        spine_nm=st.integers(-MM, 10 * MM),
        height_nm=st.integers(-MM, 80 * MM),
        grind=st.sampled_from(layup_design.GRINDS),
    ),
)
SOUND = st.builds(
    Layer,
    alloy=st.sampled_from(list(book())),
    thickness_nm=st.integers(1, 20 * MM),
    role=st.sampled_from(layup_design.ROLES),
)


@pytest.mark.slow
@given(DESIGNS)
def test_any_layup_is_judged_without_raising_and_named_by_its_own_layers(design: Design) -> None:
    for one in judged(design):
        assert all(0 <= place < len(design.layers) for place in one.layers)
        assert one.sentence("inch")
        assert one.sentence("metric")


@pytest.mark.slow
@given(DESIGNS)
def test_any_layup_survives_json(design: Design) -> None:
    assert Design.from_json(design.to_json()) == design


@pytest.mark.slow
@given(st.lists(SOUND, min_size=1, max_size=20))
def test_a_mirrored_layup_is_never_uneven(layers: list[Layer]) -> None:
    design = Design(
        layers=tuple(layers),
        blank_length_nm=150 * MM,
        blank_width_nm=30 * MM,
        finish_thickness_nm=6 * MM,
    )

    found = judged(stack.mirror(design))

    assert "asymmetric" not in {one.code for one in found}


@pytest.mark.slow
@given(st.lists(SOUND, min_size=2, max_size=20))
def test_a_bonded_stack_is_sound_only_if_every_joint_has_a_low_melting_side(
    layers: list[Layer],
) -> None:
    design = Design(
        layers=tuple(layers),
        blank_length_nm=150 * MM,
        blank_width_nm=30 * MM,
        finish_thickness_nm=6 * MM,
    )
    low = [book()[layer.alloy].is_low_melting for layer in layers]
    never = sum(not one and not other for one, other in itertools.pairwise(low))

    found = judged(design)

    said = [one for one in found if one.code in {"steel-on-steel", "nickel-on-steel"}]
    assert len(said) == (never if any(low) else 0)
