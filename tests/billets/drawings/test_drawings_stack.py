"""The stack to scale: heights, one honest factor for thin layers, room for every label."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from billets.drawings.stack import ROW_PX, StackLayer, drawn_stack, stack_drawing
from billets.layup.design import Design, Layer
from stock.drawings.shapes import DrawingError
from tests.billets.stacks import cased

MM = 1_000_000


def steel(mm: float, role: str = "cladding") -> StackLayer:
    return StackLayer("80CrV2", role, "carbon-steel", round(mm * MM))


def copper(mm: float) -> StackLayer:
    return StackLayer("C10200", "line", "copper", round(mm * MM))


def five() -> list[StackLayer]:
    return [steel(3.2), copper(0.5), steel(4.0, "core"), copper(0.5), steel(3.2)]


def test_the_top_face_is_drawn_first_and_numbers_count_from_the_bottom() -> None:
    stack = [steel(3.2), copper(0.5), steel(4.0, "core"), copper(0.4), steel(2.8)]

    drawing = stack_drawing(stack)

    assert [row.number for row in drawing.rows] == [5, 4, 3, 2, 1]
    assert drawing.rows[0].thickness_nm == 2_800_000
    assert drawing.height_nm == 10_900_000


def test_layers_that_are_not_magnified_are_to_one_scale() -> None:
    rows = {row.number: row for row in stack_drawing(five()).rows}

    assert rows[3].height_px / rows[1].height_px == pytest.approx(4.0 / 3.2, abs=0.005)
    assert not rows[1].is_magnified


def test_copper_is_magnified_by_one_factor_that_is_written() -> None:
    drawing = stack_drawing([steel(3.2), copper(0.3), steel(4.0, "core"), copper(0.5), steel(3.2)])
    rows = {row.number: row for row in drawing.rows}

    assert drawing.magnified > 1
    for number, mm in ((2, 0.3), (4, 0.5)):
        to_scale_px = mm * drawing.px_per_mm
        assert rows[number].height_px / to_scale_px == pytest.approx(drawing.magnified, rel=0.005)
    assert drawing.magnified_names == ("C10200",)


def test_a_stack_of_thick_layers_is_not_magnified() -> None:
    drawing = stack_drawing([steel(3.0), steel(5.0, "core"), steel(3.0)])

    assert drawing.magnified == 1
    assert drawing.magnified_names == ()
    assert drawing.height_px == pytest.approx(200, abs=0.2)


def test_a_jacket_between_lines_keeps_the_scale_of_the_cladding() -> None:
    stack = [
        *(steel(3.2), copper(0.3), steel(1.6, "jacket"), copper(0.3)),
        *(steel(4.0, "core"), copper(0.3), steel(1.6, "jacket"), copper(0.3), steel(3.2)),
    ]

    rows = {row.number: row for row in stack_drawing(stack).rows}

    assert rows[1].height_px / rows[3].height_px == pytest.approx(2.0, abs=0.01)
    assert not rows[3].is_magnified


@given(st.lists(st.tuples(st.floats(0.05, 12), st.booleans()), min_size=1, max_size=15))
def test_every_row_has_room_for_its_label(layers: list[tuple[float, bool]]) -> None:
    stack = [copper(mm) if is_line else steel(mm) for mm, is_line in layers]

    drawing = stack_drawing(stack)

    assert min(row.height_px for row in drawing.rows) >= ROW_PX - 0.05
    plain = [row for row in drawing.rows if not row.is_magnified]
    for row in plain:
        assert row.height_px == pytest.approx(
            row.thickness_nm / MM * drawing.px_per_mm, rel=0.003, abs=0.06
        )


def test_metals_are_told_apart() -> None:
    kinds = [row.rect.kind for row in stack_drawing(five()).rows]

    assert kinds == [
        "metal-carbon-steel",
        "metal-copper",
        "metal-core",
        "metal-copper",
        "metal-carbon-steel",
    ]


def test_a_layup_gives_its_layers() -> None:
    design = Design(
        layers=(Layer("80crv2", 3_200_000), Layer("52100", 4_000_000, "core")),
        blank_length_nm=140 * MM,
        blank_width_nm=32 * MM,
        finish_thickness_nm=5 * MM,
    )

    drawing = drawn_stack(cased(design))

    assert drawing is not None
    assert [(row.name, row.role, row.rect.kind) for row in drawing.rows] == [
        ("52100", "core", "metal-core"),
        ("80CrV2", "cladding", "metal-carbon-steel"),
    ]


def test_a_layup_without_a_layer_is_not_drawn() -> None:
    design = Design(
        layers=(),
        blank_length_nm=140 * MM,
        blank_width_nm=32 * MM,
        finish_thickness_nm=5 * MM,
    )

    assert drawn_stack(cased(design)) is None


@pytest.mark.parametrize("layers", [[], [steel(3.0), steel(0.0)]])
def test_a_stack_without_thickness_is_refused(layers: list[StackLayer]) -> None:
    with pytest.raises(DrawingError, match="add a layer above 0"):
        stack_drawing(layers)
