"""Pieces drawn by length, sheets from above, and the shapes and words they share."""

from itertools import pairwise

import pytest

from stock.drawings.pieces import Cut, PieceSize, bar_cuts, piece_bars
from stock.drawings.shapes import (
    DrawingError,
    lanes,
    metal_kind,
    nice_ticks,
    numbers_text,
    path_text,
    percent,
    text_percent,
)
from stock.drawings.sheets import SheetPart, sheet_layout

IN = 25_400_000
MM = 1_000_000


def test_pieces_share_one_scale_and_the_longest_fills_it() -> None:
    drawing = piece_bars([PieceSize("K4R", 80 * IN), PieceSize("M2A", 20 * IN)])

    assert drawing.longest_nm == 80 * IN
    assert [bar.parts[0].width for bar in drawing.bars] == [100.0, 25.0]


def test_what_is_set_aside_is_drawn_before_what_is_free() -> None:
    bar = piece_bars([PieceSize("K4R", 40 * IN, (10 * IN, 5 * IN))]).bars[0]

    assert [(part.kind, part.x, part.width) for part in bar.parts] == [
        ("is-aside", 0.0, 25.0),
        ("is-aside", 25.0, 12.5),
        ("is-free", 37.5, 62.5),
    ]
    assert (bar.aside_nm, bar.free_nm) == (15 * IN, 25 * IN)


def test_a_piece_that_is_all_set_aside_has_no_free_part() -> None:
    bar = piece_bars([PieceSize("K4R", 10 * IN, (10 * IN,))]).bars[0]

    assert [part.kind for part in bar.parts] == ["is-aside"]


def test_an_empty_rack_draws_no_bars() -> None:
    assert piece_bars([]).bars == ()


def test_more_set_aside_than_there_is_is_refused() -> None:
    with pytest.raises(DrawingError, match=r"K4R has 254 mm and 279.4 mm of it set aside"):
        piece_bars([PieceSize("K4R", 10 * IN, (11 * IN,))])


def test_each_cut_takes_its_kerf_before_the_next_begins() -> None:
    drawing = bar_cuts(
        1000 * MM,
        [Cut("B-1", 200 * MM), Cut("B-2", 300 * MM)],
        kerf_nm=2 * MM,
        keep_from_nm=50 * MM,
    )

    assert [(row.from_nm, row.to_nm) for row in drawing.rows] == [
        (0, 200 * MM),
        (202 * MM, 502 * MM),
    ]
    assert drawing.rest_nm == 496 * MM
    assert [(part.x, part.width) for part in drawing.parts] == [
        (0.0, 20.0),
        (20.2, 30.0),
        (50.4, 49.6),
    ]


def test_a_rest_too_short_to_keep_is_drawn_as_scrap() -> None:
    cuts = [Cut("B-1", 960 * MM)]

    short = bar_cuts(1000 * MM, cuts, kerf_nm=2 * MM, keep_from_nm=50 * MM)
    long = bar_cuts(1000 * MM, cuts, kerf_nm=2 * MM, keep_from_nm=38 * MM)

    assert (short.is_rest_kept, short.parts[-1].kind) == (False, "is-scrap")
    assert (long.is_rest_kept, long.parts[-1].kind) == (True, "is-free")


def test_the_last_cut_may_use_up_the_end_of_the_bar() -> None:
    drawing = bar_cuts(
        402 * MM, [Cut("B-1", 200 * MM), Cut("B-2", 200 * MM)], kerf_nm=2 * MM, keep_from_nm=MM
    )

    assert drawing.rest_nm == 0
    assert [part.kind for part in drawing.parts] == ["is-aside", "is-aside"]


def test_a_narrow_cut_shows_its_number_or_nothing_instead_of_its_mark() -> None:
    cuts = [Cut("B-101", 300 * MM), Cut("B-102", 50 * MM), Cut("B-103", 10 * MM)]

    drawing = bar_cuts(1000 * MM, cuts, kerf_nm=0, keep_from_nm=MM)

    assert [row.fits for row in drawing.rows] == ["mark", "number", ""]


def test_cuts_longer_than_the_bar_are_refused() -> None:
    with pytest.raises(DrawingError, match=r"up to B-2 need 402 mm .* the bar has 401 mm"):
        bar_cuts(
            401 * MM, [Cut("B-1", 200 * MM), Cut("B-2", 200 * MM)], kerf_nm=2 * MM, keep_from_nm=MM
        )


def test_a_sheet_is_drawn_with_its_length_from_left_to_right() -> None:
    drawing = sheet_layout(
        150 * MM,
        600 * MM,
        placed=[SheetPart("B-1", 0, 0, 30 * MM, 150 * MM)],
        left=[SheetPart("rest", 0, 450 * MM, 150 * MM, 150 * MM)],
        is_roll=True,
    )

    assert drawing.view_box == "0 0 600 150"
    placed, left = drawing.parts
    assert (placed.kind, placed.x, placed.y, placed.width, placed.height) == (
        *("is-aside", 0.0, 0.0),
        *(150.0, 30.0),
    )
    assert (left.kind, left.x, left.width) == ("is-free", 450.0, 150.0)
    assert [(name.x, name.y) for name in drawing.names] == [(12.5, 10.0), (87.5, 50.0)]


def test_a_strip_shorter_than_it_is_wide_lies_down_instead_of_filling_screens() -> None:
    drawing = sheet_layout(
        300 * MM,
        30 * MM,
        placed=[SheetPart("F77-4", 0, 0, 150 * MM, 30 * MM)],
        left=[SheetPart("", 150 * MM, 0, 150 * MM, 30 * MM)],
        is_roll=True,
    )

    assert (drawing.view_box, drawing.is_turned) == ("0 0 300 30", True)
    assert [(part.x, part.y, part.width, part.height) for part in drawing.parts] == [
        (0.0, 0.0, 150.0, 30.0),
        (150.0, 0.0, 150.0, 30.0),
    ]
    assert (drawing.names[0].x, drawing.names[0].y, drawing.names[0].fits) == (25.0, 50.0, True)
    assert (drawing.width_nm, drawing.length_nm) == (300 * MM, 30 * MM)


def test_a_name_that_would_not_fit_on_a_phone_is_left_to_the_list() -> None:
    parts = [
        SheetPart("B-1", 0, 0, 30 * MM, 150 * MM),
        SheetPart("B-2", 30 * MM, 0, 30 * MM, 30 * MM),
        SheetPart("B-3", 60 * MM, 0, 10 * MM, 150 * MM),
    ]

    drawing = sheet_layout(150 * MM, 600 * MM, placed=parts)

    assert [name.fits for name in drawing.names] == [True, False, False]


@pytest.mark.parametrize(
    "part",
    [
        SheetPart("B-1", 0, 0, 151 * MM, 10 * MM),
        SheetPart("B-1", -1, 0, 10 * MM, 10 * MM),
        SheetPart("B-1", 0, 595 * MM, 10 * MM, 10 * MM),
        SheetPart("B-1", 0, 0, 0, 10 * MM),
    ],
)
def test_a_part_that_does_not_lie_on_its_sheet_is_refused(part: SheetPart) -> None:
    with pytest.raises(DrawingError, match=r"'B-1' does not lie on its sheet of 150 × 600 mm"):
        sheet_layout(150 * MM, 600 * MM, placed=[part])


def test_a_sheet_without_a_size_is_refused() -> None:
    with pytest.raises(DrawingError, match="give both sizes above 0"):
        sheet_layout(0, 600 * MM, placed=[])


def test_a_core_of_steel_is_drawn_dark_and_one_of_bronze_as_bronze() -> None:
    assert metal_kind(family="stainless", role="core") == "metal-core"
    assert metal_kind(family="bronze", role="core") == "metal-bronze"
    assert metal_kind(family="copper", role="line") == "metal-copper"
    assert metal_kind(family="unobtainium") == "metal-other"


def test_labels_that_would_meet_go_on_different_rows() -> None:
    assert lanes([(0, 30), (31, 60), (20, 50), (55, 80)], gap=2) == (0, 2, 1, 0)
    assert lanes([], gap=2) == ()


def test_rows_of_labels_never_overlap() -> None:
    spans = [(start * 7 % 90, start * 7 % 90 + 5 + start % 9) for start in range(40)]

    rows = lanes(spans, gap=1)

    for row in set(rows):
        inside = sorted(span for span, at in zip(spans, rows, strict=True) if at == row)
        assert all(begin >= end + 1 for (_, end), (begin, _) in pairwise(inside))


@pytest.mark.parametrize(
    ("low", "high", "ticks"),
    [
        (0, 10, (0.0, 2.0, 4.0, 6.0, 8.0, 10.0)),
        (-2.1, 2.1, (-2.0, -1.0, 0.0, 1.0, 2.0)),
        (195, 271, (200.0, 220.0, 240.0, 260.0)),
        (0.0, 0.3, (0.0, 0.1, 0.2, 0.3)),
    ],
)
def test_ticks_are_round_numbers(low: float, high: float, ticks: tuple[float, ...]) -> None:
    assert nice_ticks(low, high) == ticks


def test_an_axis_without_length_is_refused() -> None:
    with pytest.raises(DrawingError, match="has no length"):
        nice_ticks(3, 3)


def test_paths_are_written_short_and_without_negative_zero() -> None:
    assert path_text([(0, -0.00001), (1.23456, 12)], is_closed=False) == "M0 0L1.2346 12"
    assert numbers_text([-0.5, 1000, 2.50]) == "-0.5 1000 2.5"
    with pytest.raises(DrawingError, match="no points"):
        path_text([])


def test_per_cent_of_nothing_is_refused() -> None:
    assert percent(1, whole=3) == 33.333
    with pytest.raises(DrawingError, match="nothing to draw to scale"):
        percent(1, whole=0)


def test_words_are_measured_for_the_narrowest_phone() -> None:
    assert text_percent("1580 °F") == pytest.approx(16.625)
