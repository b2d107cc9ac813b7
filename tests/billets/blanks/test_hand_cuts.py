"""Blanks laid on a sheet or on the end of a roll by hand."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from billets.blanks.rows_on_a_sheet import Part, is_kept, sheared

MM = 1_000_000


def lay(count: int, width: int, length: int, across: int, along: int, *, turn: bool = True) -> Any:
    """A layout in millimetres."""
    return sheared(
        count,
        width_nm=width,
        length_nm=length,
        stock_width_nm=across,
        stock_length_nm=along,
        may_turn=turn,
    )


def test_two_blanks_lie_across_a_wide_roll_and_take_the_least_of_it() -> None:
    layout = lay(2, 32, 155, 300, 1000)

    # Lying across: one in a row of 300, two rows of 32. Along: nine in a row, one row of 155.
    assert layout.used_nm == 64
    assert layout.blanks == (Part(0, 0, 155, 32), Part(0, 32, 155, 32))
    assert layout.rests == (Part(155, 0, 145, 32), Part(155, 32, 145, 32))


def test_grain_keeps_the_length_along_the_roll() -> None:
    layout = lay(2, 32, 155, 300, 1000, turn=False)

    assert layout.used_nm == 155
    assert layout.blanks == (Part(0, 0, 32, 155), Part(32, 0, 32, 155))
    assert layout.rests == (Part(64, 0, 236, 155),)


@pytest.mark.parametrize(("across", "along"), [(31, 1000), (300, 31), (31, 31)])
def test_what_does_not_fit_is_no_layout(across: int, along: int) -> None:
    assert lay(1, 32, 155, across, along) is None


def test_a_blank_as_large_as_the_sheet_leaves_nothing() -> None:
    layout = lay(1, 100, 200, 100, 200)

    assert (layout.used_nm, layout.rests) == (200, ())


@given(
    st.integers(1, 12), st.integers(1, 60), st.integers(1, 60), st.integers(1, 200),
    st.integers(1, 400), st.booleans(),
)  # fmt: skip
def test_blanks_and_rests_are_all_of_the_stretch_and_never_overlap(
    count: int, width: int, length: int, across: int, along: int, turn: bool
) -> None:
    layout = lay(count, width, length, across, along, turn=turn)

    if layout is None:
        return
    parts = [*layout.blanks, *layout.rests]
    assert len(layout.blanks) == count
    assert sum(one.area_nm2 for one in parts) == layout.used_nm * across
    assert layout.used_nm <= along
    for one in parts:
        assert one.x_nm + one.width_nm <= across
        assert one.y_nm + one.length_nm <= layout.used_nm
    for at, one in enumerate(parts):
        for other in parts[at + 1 :]:
            apart_x = (
                one.x_nm + one.width_nm <= other.x_nm or other.x_nm + other.width_nm <= one.x_nm
            )
            apart_y = (
                one.y_nm + one.length_nm <= other.y_nm or other.y_nm + other.length_nm <= one.y_nm
            )
            assert apart_x or apart_y


@pytest.mark.parametrize(
    ("width", "length", "kept"), [(60, 20, True), (20, 60, True), (49, 49, False), (60, 12, False)]
)
def test_an_offcut_is_kept_if_it_is_long_enough_and_not_a_sliver(
    width: int, length: int, kept: bool
) -> None:
    assert is_kept(Part(0, 0, width, length), keep_from_nm=50) is kept
