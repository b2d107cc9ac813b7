"""Filler for the seam: section, length, weight."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from billets.layup import seam as filler


def test_a_half_inch_fillet_has_an_eighth_of_a_square_inch() -> None:
    assert filler.fillet_section_nm2(12_700_000) == 80_645_000_000_000


def test_a_rounded_face_adds_its_share() -> None:
    assert filler.fillet_section_nm2(4_000_000, reinforcement_percent=10) == 8_800_000_000_000


def test_the_seam_runs_round_all_four_edges() -> None:
    seam = filler.seam_length_nm(length_nm=152_400_000, width_nm=38_100_000, beads=2)

    assert seam == 762_000_000


def test_what_is_fed_exceeds_what_stays_in_the_bead() -> None:
    # 8 mm² x 1 m x 7 850 kg/m³ = 62.8 g; at 80 % that takes 78.5 g
    mass = filler.filler_ug(
        section_nm2=8_000_000_000_000,
        seam_nm=1_000_000_000,
        density_kg_m3=7_850,
        deposition_percent=80,
    )

    assert mass == 78_500_000


def test_a_part_of_a_microgram_is_rounded_up() -> None:
    mass = filler.filler_ug(
        section_nm2=10**9, seam_nm=10**6, density_kg_m3=1, deposition_percent=100
    )

    assert mass == 1


@pytest.mark.parametrize("percent", [0, -5, 101])
def test_an_impossible_efficiency_is_refused(percent: int) -> None:
    with pytest.raises(filler.FillerError, match=f"efficiency of {percent} %"):
        filler.filler_ug(section_nm2=1, seam_nm=1, density_kg_m3=7_850, deposition_percent=percent)


@pytest.mark.parametrize(
    "sizes",
    [
        {"section_nm2": -1, "seam_nm": 1, "density_kg_m3": 1},
        {"section_nm2": 1, "seam_nm": -1, "density_kg_m3": 1},
        {"section_nm2": 1, "seam_nm": 1, "density_kg_m3": 0},
    ],
)
def test_a_bead_that_cannot_be_is_refused(sizes: dict[str, int]) -> None:
    with pytest.raises(filler.FillerError, match="density above 0"):
        filler.filler_ug(**sizes, deposition_percent=95)


def test_a_leg_of_nothing_is_refused() -> None:
    with pytest.raises(filler.FillerError, match="must be above 0"):
        filler.fillet_section_nm2(0)


def test_a_face_cannot_take_metal_away() -> None:
    with pytest.raises(filler.FillerError, match="cannot add -1 %"):
        filler.fillet_section_nm2(1, reinforcement_percent=-1)


def test_a_stack_without_width_has_no_seam() -> None:
    with pytest.raises(filler.FillerError, match="no edges"):
        filler.seam_length_nm(length_nm=1, width_nm=0)


def test_a_closed_seam_needs_a_bead() -> None:
    with pytest.raises(filler.FillerError, match="at least 1 bead"):
        filler.seam_length_nm(length_nm=1, width_nm=1, beads=0)


@given(st.integers(1, 100), st.integers(1, 10**10))
def test_a_worse_efficiency_never_takes_less_wire(percent: int, seam_nm: int) -> None:
    def fed(efficiency: int) -> int:
        return filler.filler_ug(
            section_nm2=8 * 10**12,
            seam_nm=seam_nm,
            density_kg_m3=7_850,
            deposition_percent=efficiency,
        )

    assert fed(percent) >= fed(100)
